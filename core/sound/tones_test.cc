#include "core/sound/tones.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

double share_of(const std::vector<bool>& marked) {
  return static_cast<double>(std::count(marked.begin(), marked.end(), true)) / static_cast<double>(marked.size());
}

TEST(Tones, NoMadeEngineTurnsSoEvenly) {
  int told = 0;
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    // Where something else is as loud, no bang stands out, and nothing is to be sure.
    const bool hidden = name.find("wind") != name.npos || name == "4t_garage" || name == "second_engine_equal";
    if (!take.truth.engine || hidden) continue;
    const Signal signal = signal_of(take.samples);
    const Track track = made_track(take);
    const auto tone = tones_in(signal, track, take.engine, firings_along(signal, track, take.engine));
    EXPECT_LT(share_of(tone), 0.05) << name;
    ++told;
  }
  EXPECT_GT(told, 20);
}

/// Harmonics that are whatever they are from the beginning to the end: mains hum.
TEST(Tones, AHumIsOne) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> phase(0, 2 * std::numbers::pi);
  std::vector<float> samples(8 * static_cast<size_t>(kRateHz));
  for (int k = 1; k <= 8; ++k) {
    const double at = phase(random);
    for (size_t i = 0; i < samples.size(); ++i)
      samples[i] +=
          static_cast<float>(0.1 / k * std::sin(2 * std::numbers::pi * 50 * k * static_cast<double>(i) / kRateHz + at));
  }
  const Engine engine = engine_of(Cycle::two_stroke);
  const Track track = track_of([](double) { return 3000.0; }, 8);
  const auto tone = tones_in(signal_of(samples), track, engine, {});
  EXPECT_GT(share_of(tone), 0.95);
  EXPECT_NEAR(dwelt_at(track, engine, tone), 50, 0.5);
  EXPECT_EQ(dwelt_at(track, engine, std::vector<bool>(tone.size(), false)), 0);
}

/// The path that holds on to a compressor loses the blips' idle; beneath the tone it is found.
TEST(Tones, AnEngineIsHeardBeneathOne) {
  const auto take = sounds::make(sounds::Set::tuning, "4t_garage");
  const Track track = follow(signal_of(take.samples), take.engine);
  int right = 0, all = 0, sure = 0, wrong = 0;
  for (size_t i = 0; i < track.frames.size(); ++i) {
    const double truth = take.truth.rpm.rpm(track.seconds(i));
    const bool off = std::abs(static_cast<double>(track.frames[i].rpm) / truth - 1) > 0.05;
    ++all;
    right += !off;
    sure += track.sure(i);
    wrong += track.sure(i) && off;
  }
  EXPECT_GT(right, 0.9 * all);
  EXPECT_GT(sure, 0.2 * all);
  EXPECT_LT(wrong, 0.01 * sure);
}

}  // namespace
}  // namespace crankwise::sound
