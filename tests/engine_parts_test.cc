// The parts of a simulated engine, each alone.
#include <gtest/gtest.h>

#include "core/calc/geometry.h"
#include "core/engine/burning.h"
#include "core/engine/crank.h"
#include "core/engine/gates.h"
#include "core/engine/reed.h"
#include "tests/engine_case.h"

namespace crankwise::engine {
namespace {

using test::kDegree;
constexpr double kPi = std::numbers::pi;

TEST(EngineCrank, IsThatOfTheSliderCrank) {
  // 54.5 mm stroke, 105 mm rod: 10, 45, 82, 114 and 150 degrees (slider-crank, Heywood section 2.2).
  const Crank<double> crank{.radius_m = 0.02725, .rod_m = 0.105, .piston_m2 = 1, .clearance_m3 = 0, .case_m3 = 0};
  for (const auto& [deg, mm] : {std::pair{10, 0.5207}, {45, 9.7645}, {82, 26.9843}, {114, 41.3273}, {150, 51.7369}}) {
    EXPECT_NEAR(1e3 * crank.drop(deg * kDegree), mm, 1e-4);
    EXPECT_NEAR(1e3 * crank.drop((360 - deg) * kDegree), mm, 1e-4) << "the other way";
  }
  const CrankTrain train{.bore_m = 0.054, .stroke_m = 0.0545, .rod_m = 0.105};
  for (int deg = 0; deg <= 360; ++deg)
    EXPECT_NEAR(crank.drop(deg * kDegree), piston_drop_m(train, deg * kDegree), 2e-9) << deg;
  using Many = flow::Lanes<float, 4, flow::Isa::any>;
  const Crank<Many> many{Many(0.02725), Many(0.105), Many(1), Many(0), Many(0)};
  EXPECT_NEAR(static_cast<double>(many.drop(Many(82 * kDegree))[3]), 0.0269843, 2e-8);
}

TEST(EnginePort, ItsAngleAreaIsThatOfTheSum) {
  // Opens 82 degrees after top, 40 mm wide: 140,954.9 mm2 degrees (the integral of the open area).
  const CrankTrain train{.bore_m = 0.054, .stroke_m = 0.0545, .rod_m = 0.105};
  const Crank<double> crank{0.02725, 0.105, 1, 0, 0};
  PortGate<double> gate{};
  gate.set(0, {.opens_rad = 82 * kDegree, .width_m = 0.040, .discharge = 1}, train, 82 * kDegree);
  double sum = 0;
  constexpr int kSteps = 36000;
  for (int i = 0; i < kSteps; ++i) sum += gate.area_m2(crank.drop((i + 0.5) * 2 * kPi / kSteps)) * 360.0 / kSteps;
  EXPECT_NEAR(sum * 1e6, 140954.9, 15);
  EXPECT_EQ(gate.area_m2(crank.drop(81 * kDegree)), 0);
}

TEST(EngineValve, OpensOnlyBetweenItsAngles) {
  ValveGate<double> gate{};
  const Valve v{.count = 2, .head_m = 0.038, .lift_m = 0.010, .discharge = 0.6, .leak_m2 = 1e-7};
  gate.set(0, v, 340 * kDegree, 262 * kDegree);
  EXPECT_NEAR(gate.area_m2(339 * kDegree), 1e-7, 1e-12);
  EXPECT_NEAR(gate.area_m2(603 * kDegree), 1e-7, 1e-12);
  EXPECT_NEAR(gate.area_m2(100 * kDegree), 1e-7, 1e-12);
  const double middle = gate.area_m2(471 * kDegree);
  EXPECT_NEAR(middle, 1e-7 + 0.6 * std::min(2 * kPi * 0.038 * 0.010, 2 * kPi / 4 * 0.038 * 0.038 * 0.8), 1e-9);
  // A quarter of the way up the lift is half of it: the curtain alone counts there.
  EXPECT_NEAR(gate.area_m2((340 + 262.0 / 4) * kDegree), 1e-7 + 0.6 * 2 * kPi * 0.038 * 0.005, 1e-9);
  // Round the end of the cycle.
  gate.set(0, v, 700 * kDegree, 100 * kDegree);
  EXPECT_GT(gate.area_m2(10 * kDegree), 1e-5);
}

TEST(EngineReed, FollowsThePressureAndSwingsAtItsOwnFrequency) {
  const Reed reed{
      .window_m2 = 1e-3, .edge_m = 0.2, .natural_hz = 200, .lift_m_pa = 1e-6, .damping = 0.02, .stop_m = 0.01};
  ReedValve<double> valve{};
  valve.set(0, reed);
  // Let go at a lift, with pressure that holds it halfway: it swings about there.
  valve.lift_m = 0.006;
  constexpr double kStep = 1e-6;
  int crossings = 0;
  double before = valve.lift_m, first = 0, last = 0;
  for (int i = 0; i < 40000; ++i) {
    valve.move(4000, kStep);
    if (before < 0.004 && valve.lift_m >= 0.004) {
      ++crossings;
      (crossings == 1 ? first : last) = i * kStep;
    }
    before = valve.lift_m;
  }
  EXPECT_NEAR((crossings - 1) / (last - first), 200, 2);
  for (int i = 0; i < 400000; ++i) valve.move(4000, kStep);
  EXPECT_NEAR(valve.lift_m, 0.004, 1e-5);
  for (int i = 0; i < 100000; ++i) valve.move(1e6, kStep);
  EXPECT_EQ(valve.lift_m, reed.stop_m);
  for (int i = 0; i < 100000; ++i) valve.move(-1e5, kStep);
  EXPECT_EQ(valve.lift_m, 0);
  EXPECT_EQ(valve.area_m2(), 0);
}

flow::Volume<double> charge(double lambda, double residual) {
  flow::Volume<double> v;
  v.m3 = 12e-6;
  v.mass = 1.2e-4;
  v.burned = residual * v.mass;
  v.fuel = (v.mass - v.burned) / (1 + 14.6 * lambda);
  v.energy = v.mass * 750 * 650;
  return v;
}

Burning<double> burning() {
  Burning<double> b;
  b.spark_rad = -0.3, b.duration_rad = 1, b.shape = 2, b.efficiency = 0.9, b.air_to_fuel = 14.6, b.heat_j_kg = 43.4e6;
  b.strength = 1, b.missing = 0, b.turns_per_s = 150;
  return b;
}

TEST(EngineBurning, GivesTheHeatOfWhatBurnsAndKeepsTheMass) {
  const flow::Gas<double> gas(thermo::working_gas(thermo::petrol()));
  for (const double lambda : {0.8, 0.9, 1.0, 1.15}) {
    flow::Volume<double> v = charge(lambda, 0.08);
    const double mass = v.mass, fuel = v.fuel, energy = v.energy, air = v.mass - v.fuel - v.burned;
    Burning<double> b = burning();
    b.spark(true, false, -0.3, v, v.rest(gas));
    for (double a = -0.3; a < 4; a += 0.01) b.burn(a, v);
    EXPECT_EQ(v.mass, mass);
    EXPECT_LT(b.misfire, 0.02) << lambda;
    const double heat = std::min(fuel, air / 14.6) * 43.4e6 * 0.9 * kUsualLimits.most_complete;
    EXPECT_NEAR((v.energy - energy) / heat, 1, 0.05) << lambda << ": near the limits a part is left";
    EXPECT_NEAR(v.fuel / fuel, 0, 0.03) << lambda << ": rich mixtures burn to carbon monoxide";
  }
}

TEST(EngineBurning, FailsOutsideTheLimitsAndWithAWeakSparkInADenseCharge) {
  const flow::Gas<double> gas(thermo::working_gas(thermo::petrol()));
  const auto misfire = [&](double lambda, double strength, double missing) {
    const flow::Volume<double> v = charge(lambda, 0.08);
    Burning<double> b = burning();
    b.strength = strength, b.missing = missing;
    b.spark(true, false, -0.3, v, v.rest(gas));
    return b.misfire;
  };
  EXPECT_GT(misfire(0.45, 1, 0), 0.9);
  EXPECT_GT(misfire(1.7, 1, 0), 0.9);
  EXPECT_GT(misfire(0.9, 0.2, 0), 0.8);
  EXPECT_NEAR(misfire(0.9, 1, 0.25), 0.25, 0.02);
}

}  // namespace
}  // namespace crankwise::engine
