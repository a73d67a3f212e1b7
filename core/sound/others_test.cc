#include "core/sound/others.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

TEST(SecondEngine, FoundInMadeTakesThatHaveOneAndInNoOther) {
  int told = 0;
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    if (!take.truth.engine) continue;
    const Signal signal = signal_of(take.samples);
    const Track track = made_track(take);
    const auto second = second_engine(signal, track, take.engine, firings_along(signal, track, take.engine));
    ASSERT_TRUE(second || !take.truth.second_engine) << name;
    if (!second) continue;
    EXPECT_EQ(second->suspected, take.truth.second_engine) << name << " " << second->strength;
    ++told;
  }
  EXPECT_GT(told, 20);
}

TEST(SecondEngine, ItsRateIsNearTheTruth) {
  const Engine engine = engine_of(Cycle::two_stroke);
  const RpmAt first = [](double t) { return 6000 + 50 * t; }, other = [](double) { return 4140.0; };  // 69 Hz
  auto samples = sound_of(firing_times(first, 8, engine.cycle), 8, {.jitter = 0.01});
  const auto beside = sound_of(firing_times(other, 8, engine.cycle), 8, {.jitter = 0.01, .seed = 2});
  for (size_t i = 0; i < samples.size(); ++i) samples[i] += beside[i];
  const auto second = second_engine(signal_of(samples), track_of(first, 8), engine, {});
  ASSERT_TRUE(second);
  EXPECT_TRUE(second->suspected);
  EXPECT_NEAR(second->firing_hz, 69, 2);
  EXPECT_EQ(second_engine(signal_of({}), {}, engine, {}).why_not(), Why::too_short);
}

/// A twin of which the second cylinder fires a share of the cycle later, and one with an echo after so many seconds.
std::vector<float> two_bangs(const RpmAt& rpm, double cycles, double seconds_later, double strength) {
  const auto times = firing_times(rpm, 8, Cycle::four_stroke);
  std::vector<double> later;
  for (const double t : times) later.push_back(t + cycles * 120 / rpm(t) + seconds_later);
  auto samples = sound_of(times, 8, {});
  const auto beside = sound_of(later, 8, {.seed = 2});
  for (size_t i = 0; i < samples.size(); ++i) samples[i] += static_cast<float>(strength) * beside[i];
  return samples;
}

TEST(Bangs, AnUnevenTwinIsFoundAndAnEchoIsNot) {
  const Engine engine = engine_of(Cycle::four_stroke);
  const RpmAt rises = [](double t) { return 2000 + 400 * t; }, stays = [](double) { return 3000.0; };
  const auto heard = [&](const RpmAt& rpm, const std::vector<float>& samples) {
    return bangs_per_cycle(signal_of(samples), track_of(rpm, 8), engine);
  };
  const auto twin = heard(rises, two_bangs(rises, 0.375, 0, 0.9));  // cranks 270 degrees of 720 apart
  ASSERT_TRUE(twin);
  EXPECT_TRUE(twin->more_than_one);
  EXPECT_NEAR(twin->distance, 0.375, 0.03);
  const auto echo = heard(rises, two_bangs(rises, 0, 0.010, 0.9));
  EXPECT_TRUE(!echo || !echo->more_than_one);
  const auto single = heard(rises, two_bangs(rises, 0.375, 0, 0));
  ASSERT_TRUE(single);
  EXPECT_FALSE(single->more_than_one);
  EXPECT_EQ(heard(stays, two_bangs(stays, 0.375, 0, 0.9)).why_not(), Why::one_speed_only);
  EXPECT_EQ(bangs_per_cycle(signal_of({}), {}, engine).why_not(), Why::too_short);
}

TEST(Bangs, MadeSinglesAreSingles) {
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    if (!take.truth.engine || take.truth.second_engine) continue;
    const auto bangs = bangs_per_cycle(signal_of(take.samples), made_track(take), take.engine);
    EXPECT_FALSE(bangs && bangs->more_than_one) << name;
  }
}

}  // namespace
}  // namespace crankwise::sound
