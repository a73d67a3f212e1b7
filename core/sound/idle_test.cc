#include "core/sound/idle.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

Engine engine(std::optional<double> idle_rpm = {}) {
  Engine e = engine_of(Cycle::four_stroke);
  e.idle_rpm = idle_rpm;
  return e;
}

/// Idle, a blip at 2 s that dips by a fifth for 0.25 s at its end, idle.
double with_a_dip(double t) {
  if (t < 2 || t > 4) return 1800;
  if (t < 2.5) return 1800 + 12000 * (t - 2);
  if (t < 3.75) return 7800 - 4800 * (t - 2.5);
  return 1440;
}

TEST(Idle, ItIsThePlateauAndNotTheDip) {
  const auto idle = idle_of(track_of(with_a_dip, 7, 0.003, 0.004), engine());
  ASSERT_TRUE(idle);
  EXPECT_NEAR(idle->rpm.value, 1800, 2 * idle->rpm.sigma);
  EXPECT_LT(idle->rpm.sigma, 25);
  EXPECT_NEAR(idle->seconds, 5, 0.4);
  EXPECT_FALSE(idle->hunting);
  ASSERT_TRUE(idle->wander);
  EXPECT_NEAR(idle->wander->value, 0.004, 0.0015);  // what was put on
}

TEST(Idle, HuntingHasItsPeriodAndDepth) {
  const RpmAt hunts = [](double t) { return 1900 * std::exp(0.12 * std::sin(2 * std::numbers::pi * t / 1.6)); };
  const auto idle = idle_of(track_of(hunts, 9, 0.003, 0.004), engine());
  ASSERT_TRUE(idle);
  ASSERT_TRUE(idle->hunting);
  EXPECT_NEAR(idle->hunting->period_s, 1.6, 0.03);
  EXPECT_NEAR(idle->hunting->depth, 0.12, 0.006);
  EXPECT_NEAR(idle->rpm.value, 1900, 2 * idle->rpm.sigma);
}

TEST(Idle, AHangingIdleIsNotTakenForIt) {
  const RpmAt hangs = [](double t) { return t < 3 ? 2400.0 : t < 3.5 ? 2400 - 1400 * (t - 3) : 1700.0; };
  const auto idle = idle_of(track_of(hangs, 5.5), engine());
  ASSERT_TRUE(idle);
  EXPECT_NEAR(idle->rpm.value, 1700, 2 * idle->rpm.sigma);
}

TEST(Idle, WithoutOneItSaysSo) {
  EXPECT_EQ(idle_of(track_of([](double) { return 6000.0; }, 5), engine()).why_not(), Why::no_idle);
  EXPECT_EQ(idle_of(track_of([](double) { return 2500.0; }, 5), engine(1300)).why_not(), Why::no_idle) << "by the hint";
  EXPECT_TRUE(idle_of(track_of([](double) { return 3100.0; }, 5), engine(3000)));
  EXPECT_EQ(idle_of(track_of([](double t) { return 1500 + 1200 * t; }, 5), engine()).why_not(), Why::no_idle);
  EXPECT_EQ(idle_of(track_of([](double) { return 0.0; }, 5), engine()).why_not(), Why::no_engine);
  EXPECT_EQ(idle_of({}, engine()).why_not(), Why::no_engine);
  Track open = track_of([](double) { return 1800.0; }, 5);
  open.octave = Octave::open;
  EXPECT_EQ(idle_of(open, engine()).why_not(), Why::octave_open);
}

TEST(Idle, MadeTakesHaveTheirs) {
  // Within 3 %: what wanders has no sharper idle than that in a few seconds.
  int seen = 0;
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    if (!take.truth.idle_rpm) continue;
    const auto idle = idle_of(made_track(take), take.engine);
    ASSERT_TRUE(idle) << name;
    EXPECT_NEAR(idle->rpm.value, *take.truth.idle_rpm, 0.03 * *take.truth.idle_rpm) << name;
    ++seen;
  }
  EXPECT_GT(seen, 10);
}

}  // namespace
}  // namespace crankwise::sound
