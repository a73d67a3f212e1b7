// The helpers themselves, and every function of time stepping with two lanes against one lane at a time.
#include "core/engine/real.h"

#include <gtest/gtest.h>

#include <cmath>

#include "core/engine/burn.h"
#include "core/engine/carburettor.h"
#include "core/engine/friction.h"
#include "core/engine/knock.h"
#include "core/engine/scavenge.h"
#include "core/engine/wall_heat.h"

namespace crankwise::engine {
namespace {

using Two = flow::Lanes<float, 2, flow::Isa::any>;

TEST(EngineReal, Helpers) {
  EXPECT_EQ(max(3.0, -2.0), 3);
  EXPECT_EQ(min(3.0, -2.0), -2);
  EXPECT_EQ(within(5.0, 0.0, 1.0), 1);
  EXPECT_EQ(within(-5.0, 0.0, 1.0), 0);
  EXPECT_EQ(within(0.25, 0.0, 1.0), 0.25);
  EXPECT_EQ(soft_step(0.0), 0.5);
  EXPECT_NEAR(soft_step(1e9), 1, 1e-12);
  EXPECT_NEAR(soft_step(-1e9), 0, 1e-12);
  EXPECT_NEAR(soft_step(2.0), 1 / (1 + std::exp(-2.0)), 1e-15);
  EXPECT_NEAR(soft_root(400.0, 1.0), 20, 1e-4);
  EXPECT_EQ(soft_root(-400.0, 1.0), 0);
  EXPECT_NEAR(soft_root(1e-6, 1.0), 1e-6, 1e-12);
}

/// f with two lanes gives what it gives for each number alone, to what a float can hold.
template <class F>
void lanes_agree(const F& f, double first, double second) {
  Two x;
  x.set(0, first);
  x.set(1, second);
  const Two both = f(x);
  const double alone[] = {f(first), f(second)};
  for (int i : {0, 1}) EXPECT_NEAR(both[i], alone[i], 1e-5 * std::abs(alone[i]) + 1e-30) << i;
}

TEST(EngineReal, LanesOfBurning) {
  lanes_agree([](auto x) { return vibe_burned(x, kVibeComplete); }, 0.3, 1.2);
  lanes_agree([](auto x) { return vibe_rate(x, kVibeHeywood); }, 0.0, 0.7);
  const auto state = []<class Real>(Real lambda) {
    return ChargeState<Real>{.lambda = lambda, .residual = Real(0.1), .spark = Real(0.5), .turns_per_s = Real(150)};
  };
  const auto burn = [&](auto lambda) {
    using Real = decltype(lambda);
    return charge_burn(state(lambda), state(Real(1)), kPetrolFlame, kUsualLimits);
  };
  lanes_agree([&](auto l) { return burn(l).angle_factor; }, 0.8, 1.3);
  lanes_agree([&](auto l) { return burn(l).complete; }, 0.6, 1.3);
  lanes_agree([&](auto l) { return burn(l).misfire; }, 0.6, 1.3);
  lanes_agree([](auto t) { return induction_rate(decltype(t)(95), decltype(t)(4e6), t); }, 700, 900);
}

TEST(EngineReal, LanesOfWallsFrictionAndScavenging) {
  lanes_agree(
      [](auto p) {
        using Real = decltype(p);
        const MotoredState<Real> motored{Real(125e-6), Real(135e-6), Real(400), Real(150e3), Real(1.5e6)};
        const Real gas = woschni_gas_m_s(Real(kWoschniClosed), Real(20), Real(kWoschniBurning), p, motored);
        return woschni_w_m2_k(Real(0.054), p, Real(2300), gas);
      },
      1e6, 4e6);
  lanes_agree(
      [](auto t) {
        using Real = decltype(t);
        const Real viscosity = gas_viscosity_pa_s(t);
        const Real reynolds = annand_reynolds(Real(6), Real(20), Real(0.054), viscosity);
        return annand_w_m2_k(Real(0.26), reynolds, gas_conductivity_w_m_k(Real(1300), viscosity), Real(0.054));
      },
      600, 2300);
  lanes_agree([](auto p) { return chen_flynn_pa(p, decltype(p)(20)); }, 1e6, 7e6);
  lanes_agree([](auto n) { return rolling_friction_pa(decltype(n)(0.0545), n); }, 30, 180);
  lanes_agree([](auto f) { return fresh_leaving({0.4, 0.1}, f, decltype(f)(0.8)); }, 0.3, 0.6);
}

TEST(EngineReal, LanesOfTheCarburettor) {
  lanes_agree(
      [](auto signal) {
        using Real = decltype(signal);
        const TaperNeedle<Real> needle{Real(2.5e-3), Real(5e-3), Real(0.03)};
        FuelCircuit<Real> circuit;
        circuit.jet_m2 = hole_m2(Real(1.75e-3));
        circuit.ring_m2 = needle_ring_m2(Real(2.7e-3), needle_thickness_m(needle, Real(0.02)));
        circuit.bleed_m2 = hole_m2(Real(1e-3));
        circuit.lip_m = Real(0.015);
        const CarburettorAir<Real> air{Real(101325) - signal, Real(101325) - signal, Real(1.2)};
        return carburettor_fuel_kg_s({circuit, circuit}, {}, Bowl<Real>{}, air);
      },
      50, 3000);
  lanes_agree(
      [](auto speed) {
        using Real = decltype(speed);
        return venturi_air_kg_s(Real(0.8), Real(1e-3), Real(1.2), venturi_drop_pa(Real(1.2), speed));
      },
      -20, 60);
  lanes_agree([](auto lip) { return lip_air_m_s(lip, decltype(lip)(745), decltype(lip)(1.2)); }, 0.005, 0.015);
}

}  // namespace
}  // namespace crankwise::engine
