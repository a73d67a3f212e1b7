#include "core/sound/blips.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

constexpr double kIdle = 2000, kPeak = 10000, kTau = 0.3;

/// At 2 s from idle to the peak in half a second, a tenth there, then down towards `to` with a time constant.
double chopped(double t, double to = kIdle) {
  if (t < 2) return kIdle;
  if (t < 2.5) return kIdle + (kPeak - kIdle) * (t - 2) / 0.5;
  if (t < 2.6) return kPeak;
  return to + (kPeak - to) * std::exp(-(t - 2.6) / kTau);
}

Blip only(const Track& track, double idle = kIdle) {
  const auto blips = blips_of(track, idle);
  EXPECT_TRUE(blips);
  if (!blips) return {};
  EXPECT_EQ(blips->size(), 1);
  return blips->front();
}

TEST(Blips, RiseAndFallByTheirFormulas) {
  const Blip blip = only(track_of([](double t) { return chopped(t); }, 6));
  EXPECT_NEAR(blip.start_s, 2.05, 0.02);  // a tenth of the way
  EXPECT_NEAR(blip.rise_s.value, 0.4, 0.01);
  EXPECT_NEAR(blip.fastest_rpm_s.value, 16000, 200);
  EXPECT_NEAR(blip.peak_rpm.value, kPeak, 2 * blip.peak_rpm.sigma);
  ASSERT_TRUE(blip.fall_s);
  EXPECT_NEAR(blip.fall_s->value, kTau * std::log(9), 0.02);  // 0.9 to 0.1 of an exponential
  ASSERT_TRUE(blip.time_constant_s);
  EXPECT_NEAR(blip.time_constant_s->value, kTau, 0.01);
  ASSERT_TRUE(blip.settling);
  // Half way is 4,000 above idle, 12 % of idle is 240.
  EXPECT_NEAR(blip.settling->hang_s.value, kTau * std::log(4000.0 / 240), 0.03);
  EXPECT_NEAR(blip.settling->dip.value, 0, 0.005);
  EXPECT_FALSE(blip.settling->hanging);
}

TEST(Blips, ADipBelowIdleIsMeasured) {
  const Blip blip = only(track_of([](double t) { return t > 3.9 && t < 4.1 ? 1700 : chopped(t); }, 7));
  ASSERT_TRUE(blip.settling);
  EXPECT_NEAR(blip.settling->dip.value, 0.15, 0.01);
}

TEST(Blips, AHangingIdleHangs) {
  // It comes to 1.3 times idle and stays there for three seconds.
  const Blip blip = only(track_of([](double t) { return t < 6 ? chopped(t, 1.3 * kIdle) : kIdle; }, 9));
  ASSERT_TRUE(blip.settling);
  EXPECT_TRUE(blip.settling->hanging);
  EXPECT_GT(blip.settling->hang_s.value, 2.5);
  // For a second and a half only: late, but no hanging idle.
  const Blip brief = only(track_of([](double t) { return t < 4.2 ? chopped(t, 1.3 * kIdle) : kIdle; }, 7));
  ASSERT_TRUE(brief.settling);
  EXPECT_FALSE(brief.settling->hanging);
}

TEST(Blips, WhatCannotBeToldIsNotTold) {
  const RpmAt again = [](double t) { return t < 3 ? chopped(t) : chopped(t - 1); };
  const auto two = blips_of(track_of(again, 6), kIdle);
  ASSERT_TRUE(two);
  ASSERT_EQ(two->size(), 2);
  ASSERT_FALSE(two->front().settling);
  EXPECT_EQ(two->front().settling.why_not(), Why::next_blip_first);
  EXPECT_TRUE((*two)[1].settling);

  const Blip cut = only(track_of([](double t) { return chopped(t); }, 3.1));
  ASSERT_FALSE(cut.settling);
  EXPECT_EQ(cut.settling.why_not(), Why::ended_first);
  EXPECT_EQ(only(track_of([](double t) { return chopped(t); }, 6), 0).settling.why_not(), Why::idle_unknown);

  EXPECT_EQ(blips_of(track_of([](double) { return kIdle; }, 5), kIdle).why_not(), Why::no_blip);
  EXPECT_EQ(blips_of(track_of([](double) { return 0.0; }, 5), kIdle).why_not(), Why::no_engine);
  Track unsure = track_of([](double t) { return chopped(t); }, 6);
  for (Frame& f : unsure.frames) f.confidence = 0.2F;
  EXPECT_EQ(blips_of(unsure, kIdle).why_not(), Why::no_blip);
  unsure.octave = Octave::open;
  EXPECT_EQ(blips_of(unsure, kIdle).why_not(), Why::octave_open);
}

TEST(Blips, ASlowFallIsNoChop) {
  const Blip blip =
      only(track_of([](double t) { return t < 2.6 ? chopped(t) : std::max(kIdle, 10000 - 1000 * (t - 2.6)); }, 13));
  ASSERT_FALSE(blip.time_constant_s);
  EXPECT_EQ(blip.time_constant_s.why_not(), Why::not_chopped);
}

TEST(Blips, SigmaCoversWhatNoiseDoes) {
  // Each rise and time constant within three sigma of the truth over noisy tracks of 0.5 %.
  for (int k = 0; k < 20; ++k) {
    const double later = 0.001 * k;
    const Blip blip = only(track_of([&](double t) { return chopped(t - later); }, 6, 0.005, 0.005));
    EXPECT_NEAR(blip.rise_s.value, 0.4, 3 * blip.rise_s.sigma);
    ASSERT_TRUE(blip.time_constant_s);
    EXPECT_NEAR(blip.time_constant_s->value, kTau, 3 * blip.time_constant_s->sigma);
  }
}

TEST(Blips, MadeTakesHaveTheirs) {
  for (const char* name : {"2t_blips", "4t_blips", "4t_hanging_idle"}) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    const auto blips = blips_of(made_track(take), *take.truth.idle_rpm);
    ASSERT_TRUE(blips) << name;
    ASSERT_EQ(blips->size(), take.truth.blips.size()) << name;
    for (size_t k = 0; k < blips->size(); ++k) {
      const sounds::Blip& truth = take.truth.blips[k];
      EXPECT_NEAR((*blips)[k].rise_s.value, truth.rise_s, 2 * (*blips)[k].rise_s.sigma) << name;
      ASSERT_TRUE((*blips)[k].fall_s) << name;
      EXPECT_NEAR((*blips)[k].fall_s->value, truth.fall_s, 0.06) << name;
      EXPECT_NEAR((*blips)[k].peak_rpm.value, truth.top_rpm, 0.025 * truth.top_rpm) << name;
    }
  }
}

}  // namespace
}  // namespace crankwise::sound
