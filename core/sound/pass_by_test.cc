#include "core/sound/pass_by.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

/// As heard by one who stands `d` off the line, of an engine at `rpm` that passes at v when t = at: the sound of t left
/// at t - distance / c (solved by steps), f = f0 / (1 - closing speed / c). Louder by 20 log of the distance.
Track passing(double rpm, double v, double d, double at, double c, double seconds, double noise) {
  const auto left = [=](double t) {
    double sent = t;
    for (int k = 0; k < 50; ++k) sent = t - std::hypot(d, v * (sent - at)) / c;
    return sent;
  };
  Track track = track_of(
      [=](double t) {
        const double x = v * (left(t) - at);
        return rpm / (1 + v / c * x / std::hypot(x, d));
      },
      seconds, 0.003, noise);
  for (size_t i = 0; i < track.frames.size(); ++i)
    track.frames[i].level_db = static_cast<float>(-20 * std::log10(std::hypot(d, v * (left(track.seconds(i)) - at))));
  return track;
}

TEST(PassBy, SpeedAndRateAtRestByDopplersRelation) {
  const double c = 343.2;  // of dry air at 20 degrees C, sqrt(1.4 287.05 293.15)
  for (const double v : {8.0, 14.0, 22.0}) {
    const auto passed = pass_by_of(passing(6500, v, 4, 4, c, 8, 0.003));
    ASSERT_TRUE(passed) << v;
    EXPECT_NEAR(passed->speed_m_s.value, v, std::max(0.5, 2 * passed->speed_m_s.sigma)) << v;
    EXPECT_LT(passed->speed_m_s.sigma, 1);
    EXPECT_NEAR(passed->rpm.value, 6500, std::max(30.0, 2 * passed->rpm.sigma));
    EXPECT_NEAR(passed->closest_s, 4, 0.15);
    EXPECT_NEAR(passed->closest_m.value, 4, 1);
  }
  // v = c (f1 - f2) / (f1 + f2) of the far ends, and sqrt(f1 f2), by hand: 6,800 and 6,250 are 14.46 m/s and 6,519.
  const double f1 = 6800, f2 = 6250;
  const auto passed = pass_by_of(passing(2 * f1 * f2 / (f1 + f2), c * (f1 - f2) / (f1 + f2), 2, 5, c, 10, 0));
  ASSERT_TRUE(passed);
  EXPECT_NEAR(passed->speed_m_s.value, 14.46, 0.2);
  EXPECT_NEAR(passed->rpm.value, 6519, 15);
}

TEST(PassBy, ColdAirIsSlower) {
  const Track track = passing(6500, 14, 4, 4, 343.2, 8, 0);
  EXPECT_NEAR(pass_by_of(track, 263.15)->speed_m_s.value / pass_by_of(track)->speed_m_s.value,
              std::sqrt(263.15 / 293.15), 1e-6);
}

TEST(PassBy, TheMadeOneIsFoundAndNoOther) {
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    const auto passed = pass_by_of(made_track(take));
    ASSERT_EQ(static_cast<bool>(passed), take.truth.pass_by.has_value()) << name;
    if (!passed) continue;
    EXPECT_NEAR(passed->speed_m_s.value, take.truth.pass_by->speed_mps, 2 * passed->speed_m_s.sigma);
    EXPECT_NEAR(passed->rpm.value, take.truth.pass_by->engine_rpm, 0.01 * take.truth.pass_by->engine_rpm);
  }
}

TEST(PassBy, OtherStepsAreNone) {
  const auto why = [](const Track& track) { return pass_by_of(track).why_not(); };
  EXPECT_EQ(why(track_of([](double) { return 5000.0; }, 8, 0.003, 0.003)), Why::not_passing);
  // The same step at one loudness: a throttle.
  Track even = passing(6500, 14, 4, 4, 343.2, 8, 0.003);
  for (Frame& f : even.frames) f.level_db = -20;
  EXPECT_EQ(why(even), Why::not_passing);
  // Upwards, and by a fifth.
  Track back = passing(6500, 14, 4, 4, 343.2, 8, 0.003);
  std::reverse(back.frames.begin(), back.frames.end());
  EXPECT_EQ(why(back), Why::not_passing);
  EXPECT_EQ(why(passing(6500, 45, 4, 4, 343.2, 8, 0.003)), Why::not_passing);
  EXPECT_EQ(why(passing(6500, 14, 4, 4, 343.2, 1.2, 0)), Why::too_short);
  EXPECT_EQ(why({}), Why::no_engine);
}

}  // namespace
}  // namespace crankwise::sound
