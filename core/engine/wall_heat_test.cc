#include "core/engine/wall_heat.h"

#include <gtest/gtest.h>

#include <cmath>

#include "core/engine/friction.h"
#include "core/engine/knock.h"

namespace crankwise::engine {
namespace {

TEST(EngineWallHeat, Woschni) {
  // Heywood, eq. 12.19.
  EXPECT_NEAR(woschni_w_m2_k(0.054, 4e6, 2300.0, 2.28 * 20) / 1338.5, 1, 1e-4);
  const MotoredState<double> motored{
      .swept_m3 = 125e-6, .volume_m3 = 135e-6, .temp_k = 400, .p_pa = 150e3, .motored_pa = 1.5e6};
  const double gas = woschni_gas_m_s(kWoschniClosed, 20.0, kWoschniBurning, 4e6, motored);
  EXPECT_NEAR(gas / 65.600, 1, 1e-4);
  EXPECT_NEAR(woschni_w_m2_k(0.054, 4e6, 2300.0, gas) / 1790.4, 1, 1e-4);
  EXPECT_NEAR(woschni_gas_m_s(kWoschniClosed, 20.0, kWoschniBurning, 1e6, motored), 45.6, 1e-12);  // below motored
  EXPECT_NEAR(woschni_gas_m_s(kWoschniGasExchange, 20.0, 0.0, 4e6, motored), 123.6, 1e-12);        // Woschni 1967
}

TEST(EngineWallHeat, TheOtherPairOfWoschniIsNotThisOne) {
  // The form of the original exponents, p in Pa: 0.013 B^-0.2 p^0.8 T^-0.53 w^0.8.
  const double other = 0.013 * std::pow(0.054, -0.2) * std::pow(4e6, 0.8) * std::pow(2300, -0.53) * std::pow(45.6, 0.8);
  EXPECT_NEAR(other / 1565.2, 1, 1e-4);
  EXPECT_NEAR(other / woschni_w_m2_k(0.054, 4e6, 2300.0, 45.6), 1.17, 0.003);
}

TEST(EngineWallHeat, Annand) {
  const double density = 4e6 / (287.05 * 2300);
  const double reynolds = annand_reynolds(density, 20.0, 0.054, 6.5e-5);
  EXPECT_NEAR(reynolds / 100684, 1, 1e-3);
  // Annand 1963; Blair uses 0.26 for two-strokes, 0.49 for four-strokes.
  EXPECT_NEAR(annand_w_m2_k(kAnnandTwoStroke, reynolds, 0.14, 0.054) / 2141.8, 1, 1e-3);
  EXPECT_NEAR(annand_w_m2_k(kAnnandFourStroke, reynolds, 0.14, 0.054) / 4036.5, 1, 1e-3);
  EXPECT_NEAR(annand_w_m2_k(0.70, reynolds, 0.14, 0.054) / 5766, 1, 1e-3);
  EXPECT_NEAR(gas_viscosity_pa_s(300.0) / 1.85e-5, 1, 0.05);                            // air, any handbook
  EXPECT_NEAR(gas_viscosity_pa_s(1000.0) / 4.24e-5, 1, 0.05);                           // air, any handbook
  EXPECT_NEAR(gas_conductivity_w_m_k(1005.0, gas_viscosity_pa_s(300.0)), 0.026, 1e-3);  // air, any handbook
}

TEST(EngineFriction, ChenFlynn) {
  // Coefficients in common use, from memory.
  EXPECT_NEAR(chen_flynn_pa(70e5, 20.0) / 2.910e5, 1, 1e-4);
  EXPECT_NEAR(chen_flynn_pa(80e5, 23.36) / 3.394e5, 1, 1e-3);
}

TEST(EngineFriction, RollingBearings) {
  EXPECT_NEAR(rolling_friction_pa(0.0545, 11000 / 60.0), 0.90e5, 0.005e5);  // Blair, from memory
}

TEST(EngineKnock, InductionTime) {
  // By hand from the formula of Douaud and Eyzat: 40 atm, 800 K, octane 100.
  EXPECT_NEAR(induction_s(100.0, 40 * 101325.0, 800.0), 17.68e-3 * 1.8906e-3 * 115.58, 5e-6);
  EXPECT_NEAR(induction_s(90.0, 4e6, 800.0) / induction_s(100.0, 4e6, 800.0), std::pow(0.9, 3.402), 1e-9);
  // The other print of it, 18.69 ms with p in kgf/cm2, is the same within 0.2 %.
  const double other = 18.69e-3 * std::pow(40 * 1.03323, -1.7) * std::exp(3800 / 800.0);
  EXPECT_NEAR(induction_s(100.0, 40 * 101325.0, 800.0) / other, 1, 2e-3);
  // Livengood and Wu: a gas held at one state goes off after its induction time.
  double integral = 0, t = 0;
  const double dt = 1e-6;
  for (; integral < 1; t += dt) integral += induction_rate(95.0, 5e6, 850.0) * dt;
  EXPECT_NEAR(t, induction_s(95.0, 5e6, 850.0), 2 * dt);
}

}  // namespace
}  // namespace crankwise::engine
