#include "core/sound/pull.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

/// The 450's fourth gear and tyre of row 11.5: 62/22, 21/20, 48/14, 2.1382 m; 9,500 rpm are 120.1 km/h.
const Gearing kFourth{.primary = {62, 22}, .gear = {21, 20}, .final_drive = {48, 14}};
constexpr double kCircumference = 2.1382, kRpmPerMS = 9500 / (120.1 / 3.6);

/// Row 11.3: 175 kg, CdA 0.60, Crr 0.030, 1.2 kg/m3, 5 % rotating share; on the level, no slip.
PullSetup setup() {
  PullSetup s;
  s.gearing = kFourth;
  s.circumference_m = kCircumference;
  s.load = {.mass_kg = 175, .drag_area_m2 = 0.60, .rolling = 0.030, .air_kg_m3 = 1.2, .rotating_share = 0.05};
  s.slip = 0;
  return s;
}

const PowerPoint& nearest(const Pull& pull, double v) {
  return *std::min_element(pull.points.begin(), pull.points.end(), [v](const PowerPoint& a, const PowerPoint& b) {
    return std::abs(a.speed_m_s - v) < std::abs(b.speed_m_s - v);
  });
}

/// 3 m/s2 from 12 m/s on.
double steady_pull(double t) { return kRpmPerMS * (12 + 3 * t); }

TEST(Pull, PowerFromAccelerationAsInTheTable) {
  // Row 11.7: at 20 m/s and 3 m/s2, 14,935 W; moved to the point's own speed by the formula of row 11.3.
  const auto pull = pull_of(track_of(steady_pull, 6), setup());
  ASSERT_TRUE(pull);
  const PowerPoint& p = nearest(*pull, 20);
  EXPECT_NEAR(p.acceleration_m_s2.value, 3, 0.02);
  const double drag = 0.03 * 175 * 9.80665 + 0.6 * p.speed_m_s * p.speed_m_s * 0.6;
  EXPECT_NEAR(p.road_w.value, p.speed_m_s * (1.05 * 175 * 3 + drag), 0.005 * 14935);
  EXPECT_NEAR(20 * (1.05 * 175 * 3 + 0.03 * 175 * 9.80665 + 0.36 * 400), 14935, 15);
  // Row 11.5, 11.6: speed by gearing.
  EXPECT_NEAR(p.rpm / p.speed_m_s, kRpmPerMS, 1e-3 * kRpmPerMS);
  EXPECT_EQ(pull->flattens_rpm.why_not(), Why::never_flattens);
}

/// 26 kW at the wheel at all speeds, from 15 m/s on, by small steps.
std::vector<double> speeds_at_26_kw(double seconds) {
  std::vector<double> v = {15};
  for (double t = 0; t < seconds; t += 0.001) {
    const double drag = 0.03 * 175 * 9.80665 + 0.36 * v.back() * v.back();
    v.push_back(v.back() + 0.001 * (26000 / v.back() - drag) / (1.05 * 175));
  }
  return v;
}

TEST(Pull, ItFlattensAtTheTopSpeedOfTheTable) {
  // Row 11.3: 26 kW is used up at 40.50 m/s.
  const auto v = speeds_at_26_kw(40);
  const RpmAt rpm = [&](double t) { return kRpmPerMS * v[static_cast<size_t>(t * 1000)]; };
  const auto pull = pull_of(track_of(rpm, 30), setup());
  ASSERT_TRUE(pull);
  for (const PowerPoint& p : pull->points) EXPECT_NEAR(p.road_w.value, 26000, 0.02 * 26000) << p.speed_m_s;
  EXPECT_NEAR(pull->points.back().speed_m_s, 40.5, 0.6);
  EXPECT_NEAR(pull->peak_w.value, 26000, 2 * pull->peak_w.sigma);
  ASSERT_TRUE(pull->flattens_rpm);
  // A quarter of its greatest acceleration.
  const double most = nearest(*pull, 15).acceleration_m_s2.value;
  EXPECT_NEAR(nearest(*pull, *pull->flattens_rpm / kRpmPerMS).acceleration_m_s2.value, most / 4, most / 12);
}

TEST(Pull, SlopeSlipAndSpreadCount) {
  const Track track = track_of(steady_pull, 6);
  const double level = nearest(*pull_of(track, setup()), 20).road_w.value;
  PullSetup hill = setup();
  hill.slope = 0.05;
  const PowerPoint up = nearest(*pull_of(track, hill), 20);
  EXPECT_NEAR(up.road_w.value - level, 175 * 9.80665 * std::sin(std::atan(0.05)) * up.speed_m_s, 1);
  PullSetup slips = setup();
  slips.slip = 0.1;
  EXPECT_NEAR(pull_of(track, slips)->points.front().speed_m_s, 0.9 * pull_of(track, setup())->points.front().speed_m_s,
              1e-9);
  // Ten to fifteen per cent in all, as such pulls are said to be good for.
  const auto pull = pull_of(track, setup());
  EXPECT_GT(pull->common_share, 0.06);
  EXPECT_LT(pull->common_share, 0.16);
  EXPECT_GT(pull->peak_w.sigma, pull->common_share * pull->peak_w.value);
}

TEST(Pull, SigmaOfTheFit) {
  // sigma_v sqrt(12 / (n T^2)), 0.3 % of v, T 0.4 s, four independent values.
  const auto pull = pull_of(track_of(steady_pull, 6, 0.003), setup());
  ASSERT_TRUE(pull);
  const PowerPoint& p = nearest(*pull, 20);
  const double one = 0.003 * p.speed_m_s * std::sqrt(12.0 / 4) / 0.4;
  EXPECT_LT(p.acceleration_m_s2.sigma, one * 1.01);  // windows within a band are averaged
  EXPECT_GT(p.acceleration_m_s2.sigma, one / 2);
  EXPECT_NEAR(p.road_w.sigma, 1.05 * 175 * p.speed_m_s * p.acceleration_m_s2.sigma, 1e-6 * p.road_w.value);
}

TEST(Pull, TheLongestGearIsTakenAndShiftsPartThem) {
  const RpmAt gears = [](double t) {
    if (t < 2) return 5000 + 1500 * t;
    if (t < 2.1) return 6000.0;
    return 6000 + 800 * (t - 2.1);
  };
  const auto pull = pull_of(track_of(gears, 6), setup());
  ASSERT_TRUE(pull);
  EXPECT_GE(pull->from_s, 2);
  EXPECT_NEAR(pull->to_s, 6, 0.1);
}

TEST(Pull, WhatIsNoPullIsRefused) {
  EXPECT_EQ(pull_of(track_of([](double) { return 6000.0; }, 6), setup()).why_not(), Why::no_pull);
  EXPECT_EQ(pull_of(track_of([](double t) { return 9000 - 800 * t; }, 6), setup()).why_not(), Why::no_pull);
  // From 3,000 to 11,000 in 1.6 s: 17 m/s2 in fourth.
  EXPECT_EQ(pull_of(track_of([](double t) { return std::min(11000.0, 3000 + 5000 * t); }, 3), setup()).why_not(),
            Why::rises_too_fast);
  EXPECT_EQ(pull_of({}, setup()).why_not(), Why::no_pull);
  Track open = track_of(steady_pull, 6);
  open.octave = Octave::open;
  EXPECT_EQ(pull_of(open, setup()).why_not(), Why::octave_open);
}

TEST(Pull, WheelsAndEngineAsAShareOfTheMass) {
  // 0.6 kg m2 of wheels at 0.3403 m and 0.005 of the engine by 10.1455 squared: (0.6 + 0.5147) / (0.1158 175) = 5.5 %.
  EXPECT_NEAR(rotating_share(kFourth, kCircumference, 175, 0.6, 0.005), 0.0550, 0.0001);
}

TEST(Pull, AbsurdFiguresAreNamed) {
  EXPECT_TRUE(problems(setup()).empty());
  using Field = PullProblem::Field;
  const auto named = [](const PullSetup& s, Field field) {
    const auto found = problems(s);
    return found.size() == 1 && found[0].field == field && found[0].low < found[0].high;
  };
  const auto with = [](auto change) {
    PullSetup s = setup();
    change(s);
    return s;
  };
  EXPECT_TRUE(named(with([](PullSetup& s) { s.load.mass_kg = 0; }), Field::mass_kg));
  EXPECT_TRUE(named(with([](PullSetup& s) { s.load.mass_kg = std::nan(""); }), Field::mass_kg));
  EXPECT_TRUE(named(with([](PullSetup& s) { s.gearing.gear.driving = 0; }), Field::tooth_pair));
  EXPECT_TRUE(named(with([](PullSetup& s) { s.gearing.final_drive = {14, 48}; }), Field::overall_ratio));
  EXPECT_TRUE(named(with([](PullSetup& s) { s.circumference_m = 2138; }), Field::circumference_m));
  EXPECT_TRUE(named(with([](PullSetup& s) { s.slip = 5; }), Field::slip));
  EXPECT_TRUE(named(with([](PullSetup& s) { s.slope = 5; }), Field::slope));
  EXPECT_TRUE(named(with([](PullSetup& s) { s.load.air_kg_m3 = 1200; }), Field::air_kg_m3));
}

}  // namespace
}  // namespace crankwise::sound
