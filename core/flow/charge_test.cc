#include "core/flow/charge.h"

#include <gtest/gtest.h>

#include "core/flow/state.h"
#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

TEST(FlowCharge, TemperatureIsTheInverseOfEnergy) {
  const Gas<double> warm(three_gases()), plain(perfect_gas());
  for (const Gas<double>* gas : {&warm, &plain}) {
    for (const Shares<double>& y : {Shares<double>{0, 0}, {0.065, 0}, {0, 1}, {0.03, 0.6}, {1, 0}}) {
      const Charge<double> c = charge_of(*gas, y);
      for (double t = 200; t <= 3500; t += 50) EXPECT_NEAR(c.temperature(c.energy(t)), t, 1e-12 * t);
    }
  }
}

// cv is the slope of the energy, cp that of the enthalpy, and they differ by R.
TEST(FlowCharge, HeatCapacitiesAreSlopes) {
  const Charge<double> c = charge_of(Gas<double>(three_gases()), Shares<double>{0.05, 0.2});
  for (double t = 250; t < 3000; t += 250) {
    EXPECT_NEAR((c.energy(t + 1) - c.energy(t - 1)) / 2, c.cv(t), 1e-8 * c.cv(t));
    EXPECT_NEAR((c.enthalpy(t + 1) - c.enthalpy(t - 1)) / 2, c.cp(t), 1e-8 * c.cp(t));
    EXPECT_DOUBLE_EQ(c.gamma(t), c.cp(t) / c.cv(t));
  }
}

// By mass: what is not fuel or burned gas is air.
TEST(FlowCharge, MixturesGoByMass) {
  const thermo::WorkingGas g = three_gases();
  const Charge<double> c = charge_of(Gas<double>(g), Shares<double>{0.1, 0.3});
  EXPECT_NEAR(c.constant, 0.6 * g.air.constant_j_kg_k + 0.1 * g.fuel.constant_j_kg_k + 0.3 * g.burned.constant_j_kg_k,
              1e-12 * c.constant);
  EXPECT_NEAR(c.cv0, 0.6 * g.air.cv0_j_kg_k + 0.1 * g.fuel.cv0_j_kg_k + 0.3 * g.burned.cv0_j_kg_k, 1e-12 * c.cv0);
  EXPECT_NEAR(c.cv1, 0.6 * g.air.cv1_j_kg_k2 + 0.1 * g.fuel.cv1_j_kg_k2 + 0.3 * g.burned.cv1_j_kg_k2, 1e-12 * c.cv1);
}

// Speed of sound in dry air, sqrt(1.4 R T).
TEST(FlowCharge, SpeedOfSound) {
  const Gas<double> gas(perfect_gas());
  const double rows[][2] = {{-10, 325.20}, {0, 331.32}, {20, 343.23}, {40, 354.75}, {100, 387.24}};
  for (const auto& [celsius, sound] : rows) {
    const double rho = 101325 / (kAirConstant * (celsius + 273.15));
    EXPECT_NEAR(side_of(gas, Primitive<double>{rho, 5, 101325, {}}).sound, sound, 1e-4 * sound);
  }
}

TEST(FlowCharge, SeenAndConservedBelongTogether) {
  const Gas<double> gas(three_gases());
  for (const double u : {-700.0, 0.0, 30.0}) {
    const Primitive<double> w{0.7, u, 3e5, {0.04, 0.3}}, back = primitive_of(gas, conserved_of(gas, w));
    EXPECT_NEAR(back.rho, w.rho, 1e-14);
    EXPECT_NEAR(back.u, w.u, 1e-11);
    EXPECT_NEAR(back.p / w.p, 1, 1e-12);
    EXPECT_NEAR(back.y.fuel, w.y.fuel, 1e-15);
    EXPECT_NEAR(back.y.burned, w.y.burned, 1e-15);
  }
}

}  // namespace
}  // namespace crankwise::flow
