// Whole engines, simulated.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/engine/ceiling.h"
#include "core/engine/faults.h"
#include "core/engine/machines.h"
#include "core/engine/trace.h"
#include "tests/engine_case.h"

namespace crankwise::engine {
namespace {

std::vector<Member> sweep(const Design& d, std::initializer_list<double> rpm) {
  std::vector<Member> out;
  for (const double r : rpm) out.push_back({.design = d, .around = {}, .rpm = r});
  return out;
}

TEST(EngineRun, IsTheSameForAnyNumberOfLanesAndAnyNeighbours) {
  for (const Design& d : {test::plain_two_stroke(), test::plain_four_stroke()}) {
    const auto members = sweep(d, {7000, 8200, 9400, 7600, 8800});
    const auto wide = run(members, {}), narrow = run_any(members, {});
    for (size_t i = 0; i < members.size(); ++i) {
      const auto alone = run(std::span(&members[i], 1), {});
      EXPECT_EQ(alone.front().power_w, wide[i].power_w) << "what runs beside does not matter";
      EXPECT_EQ(wide[i].state, Outcome::State::repeats);
      // Other lanes are other machine code; a cycle more or less until it repeats is what differs.
      EXPECT_NEAR(narrow[i].power_w / wide[i].power_w, 1, 0.01) << members[i].rpm;
    }
  }
}

TEST(EngineRun, FuelAndAirAreWhatTheMixtureSays) {
  for (const Design& d : {test::plain_two_stroke(), test::plain_four_stroke()}) {
    const Outcome o = run(sweep(d, {8000}), {}).front();
    ASSERT_EQ(o.state, Outcome::State::repeats);
    const double per_s = 8000.0 / 60 / (d.cycle == Cycle::two_stroke ? 1 : 2);
    const double air = o.delivery_ratio * 101325 / (d.fuel.gas.air.constant_j_kg_k * 293.15) *
                       displacement_m3(d.train.bore_m, d.train.stroke_m) * per_s;
    EXPECT_NEAR(air / (o.fuel_kg_s * 14.6), d.mixture.lambda, 0.02);
    EXPECT_NEAR(o.lambda, d.mixture.lambda, 0.03) << "and so it is at the spark";
    // No more work than the heat of the fuel: brake, indicated.
    EXPECT_LT(o.power_w, 0.42 * o.fuel_kg_s * d.fuel.heat_j_kg);
    EXPECT_GT(o.power_w, 0.12 * o.fuel_kg_s * d.fuel.heat_j_kg);
    EXPECT_NEAR(o.torque_nm * 8000 / 60 * 2 * std::numbers::pi, o.power_w, 1);
    EXPECT_NEAR(o.imep_pa + o.pumping_pa - o.fmep_pa, o.bmep_pa, 1);
  }
}

TEST(EngineRun, WithoutSparksItIsAPump) {
  Design d = test::plain_four_stroke();
  d.burn.missing = 1;
  const Outcome o = run(sweep(d, {6000}), {}).front();
  EXPECT_LT(o.imep_pa, 0);
  EXPECT_GT(o.imep_pa, -1.2e5) << "wide open, the gas exchange takes some tenths of a bar";
  EXPECT_NEAR(o.misfire, 1, 1e-6);
  // A ratio of 12.8 from what the intake brings: between n 1.2 from the air outside and n 1.4 from a fifth above it.
  EXPECT_GT(o.peak_pa, 101325 * std::pow(12.8, 1.2));
  EXPECT_LT(o.peak_pa, 1.2 * 101325 * std::pow(12.8, 1.4));
}

TEST(EngineRun, WhatCannotRunIsSaid) {
  Design d = test::plain_two_stroke();
  const auto members = sweep(d, {9000});
  RunOptions few;
  few.most_cycles = 5;
  EXPECT_EQ(run(members, few).front().state, Outcome::State::does_not_repeat);
  // Gas that is not there.
  d.clearance_m3 = std::nan("");
  EXPECT_EQ(run(sweep(d, {9000}), {}).front().state, Outcome::State::lost_gas);
}

TEST(EngineRun, NamesThePlaceWhereTheGasIsLost) {
  // A wall so cold that it takes more than all energy, in the second of three stretches; and fuel that takes heat.
  Design pipe = test::plain_two_stroke();
  pipe.exhaust[3].wall_k = -3e6;
  const Outcome o = run(sweep(pipe, {9000}), {}).front();
  ASSERT_EQ(o.state, Outcome::State::lost_gas);
  EXPECT_EQ(o.lost.place, LostGas::Place::exhaust);
  EXPECT_GT(o.lost.at_m, 0.55);
  EXPECT_LT(o.lost.at_m, 0.90) << "in the stretch from 0.61 to 0.83 m";
  EXPECT_GE(o.lost.cycle, 1);
  Design cold = test::plain_four_stroke();
  cold.burn.efficiency = -20;
  const Outcome c = run(sweep(cold, {9000}), {}).front();
  ASSERT_EQ(c.state, Outcome::State::lost_gas);
  EXPECT_EQ(c.lost.place, LostGas::Place::cylinder);
  EXPECT_NE(in_words(c.lost).find("in the cylinder, "), std::string::npos) << in_words(c.lost);
  EXPECT_NE(in_words(o.lost).find("mm from where the gas enters"), std::string::npos) << in_words(o.lost);
  EXPECT_EQ(trace(sweep(cold, {9000}).front(), {}).state, Outcome::State::lost_gas);
  // One that is lost does not harm the one beside it.
  std::vector<Member> both = sweep(test::plain_two_stroke(), {9000});
  const Outcome alone = run(both, {}).front();
  both.push_back(sweep(pipe, {9000}).front());
  EXPECT_EQ(run(both, {}).front().power_w, alone.power_w);
}

TEST(EngineFaults, ChangeTheEngineByDegrees) {
  for (Design d : {test::plain_two_stroke(), test::plain_four_stroke()}) {
    for (const Fuelling by : {Fuelling::carburettor, Fuelling::injection}) {
      d.mixture.by = by;
      for (const SimulatedFault& fault : simulated_faults()) {
        if (!applies(fault, d)) continue;
        const auto all = [](const Design& x) {
          double sum = 0;
          for (const double v : {x.clearance_m3 * 1e6,
                                 x.box.filter_m2 * 1e4,
                                 x.box.inlet_m2 * 1e4,
                                 x.throttle.open,
                                 x.tail_open,
                                 x.two.reed.gap_m2 * 1e5,
                                 x.two.reed.natural_hz,
                                 x.two.exhaust_port.opens_rad,
                                 x.two.exhaust_port.width_m,
                                 x.two.exhaust_valve.low_opens_rad,
                                 x.two.exhaust_valve.up_rpm,
                                 x.burn.spark,
                                 x.burn.missing,
                                 x.burn.duration_rad,
                                 x.burn.spark_rad.points.front().y,
                                 x.fuel.heat_j_kg * 1e-7,
                                 x.leaks.intake_m2 * 1e5,
                                 x.leaks.case_m2 * 1e5,
                                 x.leaks.head_m2 * 1e6,
                                 x.leaks.rings_m2 * 1e6,
                                 x.leaks.header_m2 * 1e6,
                                 x.leaks.pipe_m2 * 1e6,
                                 x.silencer.resistance_pa_s_m,
                                 x.fuel.octane,
                                 x.mixture.jets.main_m2 * 1e6,
                                 x.mixture.jets.needle_m2 * 1e6,
                                 x.mixture.jets.pilot_m2 * 1e6,
                                 x.mixture.jets.lip_m * 1e3,
                                 x.mixture.jets.vent,
                                 x.mixture.supply_kg_s,
                                 x.mixture.injected_share,
                                 x.four.inlet.leak_m2 * 1e6,
                                 x.four.exhaust.leak_m2 * 1e6,
                                 x.four.inlet.lift_m * 1e3,
                                 x.four.inlet.opens_rad,
                                 x.mixture.lambda})
            sum = 1.000001 * sum + v;
          for (const auto& e : x.exhaust)
            sum += 1e6 * e.length_m * (e.from_m * e.from_m + e.from_m * e.to_m + e.to_m * e.to_m);
          return sum;
        };
        d.silencer.volume_m3 = 1e-3;
        d.mixture.jets.main_m2 = 2e-6, d.mixture.jets.needle_m2 = 4e-6, d.mixture.jets.pilot_m2 = 2e-7;
        const double healthy = all(d);
        EXPECT_EQ(all(with_fault(d, fault, 0)), healthy) << fault.id;
        EXPECT_GT(std::abs(all(with_fault(d, fault, 1)) - healthy), 1e-6) << fault.id;
        EXPECT_NE(fault.words.find("{}"), std::string_view::npos) << fault.id;
      }
    }
  }
  EXPECT_EQ(find_fault("no-such-fault"), nullptr);
}

TEST(EngineFaults, LeaveTheirMarks) {
  Design d = test::plain_two_stroke();
  const auto at = [&](const char* fault, double severity, double rpm) {
    return run(sweep(with_fault(d, *find_fault(fault), severity), {rpm}), {}).front();
  };
  const Outcome healthy = run(sweep(d, {9400}), {}).front();
  EXPECT_LT(at("silencer-core-carboned", 0.85, 9400).power_w, 0.9 * healthy.power_w);
  EXPECT_GT(at("crank-seal-ignition", 1, 9400).lambda, healthy.lambda + 0.02) << "the left seal draws air";
  EXPECT_LT(at("head-gasket-leaking", 1, 9400).peak_pa, healthy.peak_pa);
  EXPECT_GT(at("flywheel-key-sheared", 1, 9400).exhaust_k, healthy.exhaust_k + 30) << "late sparks burn into the pipe";
  EXPECT_NEAR(at("ignition-box-bad", 0.3, 9400).misfire, 0.3, 0.03);
}

TEST(EngineTrace, ShowsOneWholeCycle) {
  const Design d = test::plain_four_stroke();
  const Trace t = trace({.design = d, .around = {}, .rpm = 7000}, {});
  ASSERT_EQ(t.state, Outcome::State::repeats);
  ASSERT_GT(t.at.size(), 500U);
  EXPECT_NEAR(t.at.back().crank_rad - t.at.front().crank_rad, 4 * std::numbers::pi, 0.1);
  double work = 0;
  for (size_t i = 1; i < t.at.size(); ++i)
    work += 0.5 * (t.at[i].cylinder_pa + t.at[i - 1].cylinder_pa) * (t.at[i].cylinder_m3 - t.at[i - 1].cylinder_m3);
  const Outcome o = run(sweep(d, {7000}), {}).front();
  EXPECT_NEAR(work / displacement_m3(d.train.bore_m, d.train.stroke_m) / o.imep_pa, 1, 0.02) << "its area is the work";
}

Outcome point(double rpm, double torque_nm, double lambda = 0.85, double misfire = 0) {
  Outcome o;
  o.state = Outcome::State::repeats;
  o.rpm = rpm, o.torque_nm = torque_nm, o.power_w = torque_nm * rpm / 60 * 2 * std::numbers::pi;
  o.lambda = lambda, o.misfire = misfire;
  return o;
}

TEST(EngineCeiling, IsWhereTheTorqueEndsAndSaysHow) {
  const std::vector<Outcome> fades = {point(6000, 20), point(7000, 22), point(8000, 18),
                                      point(9000, 12), point(10000, 6), point(11000, -2)};
  const Ceiling a = neutral_ceiling(fades, 14000);
  EXPECT_NEAR(a.rpm, 10750, 1);
  EXPECT_EQ(a.how, Stop::flat);
  EXPECT_EQ(neutral_ceiling(fades, 9500).how, Stop::limit);
  EXPECT_EQ(neutral_ceiling(fades, 9500).rpm, 9500);
  const std::vector<Outcome> wall = {point(8000, 20), point(8300, 21), point(8600, 20), point(8900, -15)};
  EXPECT_EQ(neutral_ceiling(wall, 14000).how, Stop::sharp);
  const std::vector<Outcome> rich = {point(6000, 20), point(7000, 15, 0.62, 0.2), point(8000, -3, 0.55, 0.9)};
  EXPECT_EQ(neutral_ceiling(rich, 14000).how, Stop::rich_misfires);
  const std::vector<Outcome> lean = {point(6000, 20), point(7000, 15, 1.3, 0.2), point(8000, -3, 1.5, 0.9)};
  EXPECT_EQ(neutral_ceiling(lean, 14000).how, Stop::lean_misfires);
  const std::vector<Outcome> weak = {point(6000, 20), point(7000, 15, 0.85, 0.2), point(8000, -3, 0.85, 0.9)};
  EXPECT_EQ(neutral_ceiling(weak, 14000).how, Stop::spark_misfires);
  EXPECT_EQ(neutral_ceiling(std::vector{point(5000, -1), point(6000, -2), point(7000, -3)}, 14000).how,
            Stop::never_pulls);
  // Above the last speed that repeats nothing is known, and no ceiling is made of it.
  std::vector<Outcome> open_end = {point(8000, 20), point(9000, 21), point(10000, 20), point(11000, 0)};
  open_end.back().state = Outcome::State::does_not_repeat;
  EXPECT_EQ(neutral_ceiling(open_end, 14000).how, Stop::unknown);
  EXPECT_EQ(neutral_ceiling(open_end, 10000).how, Stop::limit);
  // In a gear it ends earlier.
  const Ride ride{.wheel_m_per_turn = 0.13};
  EXPECT_LT(gear_ceiling(fades, ride, 14000).rpm, a.rpm);
  // The peak by a parabola: of torque 20, 22, 18 at 6, 7 and 8 thousand it lies at 6833.
  EXPECT_NEAR(torque_peak(fades).rpm, 6833.3, 0.1);
}

TEST(EngineRide, TakesThePowerOfDragRollingAndALittleRise) {
  // 100 km/h: 190 kg (0.03 g + 0.25 m/s2) + 0.5 1.2 0.55 27.78^2 = 358.0 N; times 27.78 m/s over 0.88: 11.3 kW.
  const Ride ride{.wheel_m_per_turn = 27.7778 / 150};
  EXPECT_NEAR(ride.power_w(9000), 11300, 60);
}

}  // namespace
}  // namespace crankwise::engine
