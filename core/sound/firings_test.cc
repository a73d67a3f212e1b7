#include "core/sound/firings.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

const Engine kTwo = engine_of(Cycle::two_stroke), kFour = engine_of(Cycle::four_stroke);

std::vector<Firing> heard(const RpmAt& rpm, double seconds, const Engine& engine, const Train& train) {
  const auto samples = sound_of(firing_times(rpm, seconds, engine.cycle), seconds, train);
  return firings_along(signal_of(samples), track_of(rpm, seconds), engine);
}

TEST(Firings, EachIsCountedOnce) {
  for (const Engine& engine : {kTwo, kFour}) {
    const RpmAt rpm = [](double t) { return 4000 + 600 * t; };
    const auto times = firing_times(rpm, 6, engine.cycle);
    const auto found = heard(rpm, 6, engine, {});
    EXPECT_NEAR(static_cast<double>(found.size()), static_cast<double>(times.size()), 4);  // of the ends
    for (size_t i = 1; i < found.size(); ++i) ASSERT_GT(found[i].at_s, found[i - 1].at_s);
  }
}

TEST(Firings, WhatIsMissingIsFoundAndNothingElse) {
  // Every tenth is gone, at speeds from 3,000 to 9,000: the share is a tenth, and each weak one is one of those.
  const RpmAt rpm = [](double t) { return 3000 + 1000 * t; };
  const auto times = firing_times(rpm, 6, Cycle::two_stroke);
  const auto found = heard(rpm, 6, kTwo, {.strength = [](size_t k) { return k % 10 == 4 ? 0.1 : 1.0; }});
  int weak = 0;
  for (const Firing& firing : found) {
    if (!firing.weak()) continue;
    ++weak;
    size_t nearest = 0;
    for (size_t k = 0; k < times.size(); ++k)
      if (std::abs(times[k] - firing.at_s) < std::abs(times[nearest] - firing.at_s)) nearest = k;
    EXPECT_EQ(nearest % 10, 4) << firing.at_s;
  }
  EXPECT_NEAR(weak, static_cast<double>(times.size()) / 10, 3);
}

TEST(Firings, ATrackOffByHalfAHundredthLosesNone) {
  const RpmAt rpm = [](double) { return 6000.0; };
  const auto samples = sound_of(firing_times(rpm, 8, Cycle::two_stroke), 8,
                                {.strength = [](size_t k) { return k % 8 == 0 ? 0.1 : 1.0; }});
  const auto found = firings_along(signal_of(samples), track_of([](double) { return 6030.0; }, 8), kTwo);
  const auto share = weak_share(found, 0, 1e9);
  ASSERT_TRUE(share);
  EXPECT_NEAR(share->seen.share, 0.125, 0.015);
}

TEST(Firings, TheShareOfMadeMisfiresIsThatOfTheTruth) {
  // Made takes with 10, 30 and 15 % of random misfires, and three tops; the truth counts the same speeds.
  for (const char* name :
       {"2t_misfire_10", "2t_misfire_30", "4t_misfire", "2t_limiter", "4t_limiter", "2t_breaking_up"}) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    const auto found = firings_along(signal_of(take.samples), made_track(take), take.engine);
    const auto share = weak_share(found, 2500, 1e9);
    ASSERT_TRUE(share) << name;
    const double truth = take.truth.weak_share(2500, 1e9);
    EXPECT_GT(share->seen.share, 0.8 * truth - 0.01) << name;
    EXPECT_LT(share->seen.share, 1.05 * truth + 0.01) << name;
    EXPECT_TRUE(share->more_than_scatter()) << name;
  }
}

TEST(Firings, CleanTakesAreCalledClean) {
  int bands = 0;
  double firings = 0, beyond = 0;
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    if (!take.truth.engine || take.truth.weak_share() > 0 || take.truth.four_stroking_rpm) continue;
    const Track track = made_track(take);
    for (const WeakBand& band : weak_by_speed(firings_along(signal_of(take.samples), track, take.engine), 2600)) {
      if (!band.weak) continue;
      EXPECT_FALSE(band.weak->more_than_scatter()) << name << " at " << band.from_rpm;
      firings += band.weak->seen.n;
      beyond += band.weak->seen.n * std::max(0.0, band.weak->seen.share - band.weak->by_scatter);
      ++bands;
    }
    for (const AlternationBand& band :
         alternation_by_speed(half_orders_along(signal_of(take.samples), track, take.engine), 2600))
      EXPECT_FALSE(band.is && band.is->regular) << name << " at " << band.from_rpm;
  }
  EXPECT_GT(bands, 50);
  EXPECT_LT(beyond / firings, 0.01);
}

TEST(Firings, UnderNoiseNothingIsSaid) {
  const RpmAt rpm = [](double) { return 6000.0; };
  const auto share = weak_share(heard(rpm, 4, kTwo, {.noise = 0.3}), 0, 1e9);
  ASSERT_FALSE(share);
  EXPECT_EQ(share.why_not(), Why::firings_hidden);
  EXPECT_EQ(weak_share({}, 0, 1e9).why_not(), Why::too_few_firings);
  EXPECT_TRUE(firings_along(signal_of({}), {}, kTwo).empty());
}

TEST(Alternation, HalfOrdersFollowFromTheStrengths) {
  // A train of 1 and w by turns has (1 - w) / 2 at half orders and (1 + w) / 2 at whole ones (Fourier).
  const RpmAt rpm = [](double t) { return 6000 + 200 * t; };
  for (const Engine& engine : {kTwo, kFour})
    for (const double w : {0.15, 0.3, 0.55}) {
      const auto samples =
          sound_of(firing_times(rpm, 6, engine.cycle), 6,
                   {.strength = [w](size_t k) { return k % 2 ? w : 1; }, .jitter = 0.002, .scatter = 0.03});
      const auto is = alternation(half_orders_along(signal_of(samples), track_of(rpm, 6), engine), 0, 1e9);
      ASSERT_TRUE(is);
      EXPECT_TRUE(is->regular) << w;
      EXPECT_NEAR(is->half_db, 20 * std::log10((1 - w) / (1 + w)), 1.0) << w;
      EXPECT_NEAR(is->weaker, w, 0.06);
    }
}

TEST(Alternation, WhatRepeatsEveryFourthFiringHasItsFloorAtEighths) {
  const RpmAt rpm = [](double) { return 6000.0; };
  const auto of = [&](std::function<double(size_t)> strength) {
    const auto samples = sound_of(firing_times(rpm, 6, Cycle::two_stroke), 6, {.strength = std::move(strength)});
    return alternation(half_orders_along(signal_of(samples), track_of(rpm, 6), kTwo), 0, 1e9);
  };
  // 1.4, 1, 0.6, 1: nothing at half orders. 1, 0.4, 0.7, 0.3: halves beside quarters.
  const auto fourths = of([](size_t k) { return std::array{1.4, 1.0, 0.6, 1.0}[k % 4]; });
  ASSERT_TRUE(fourths);
  EXPECT_FALSE(fourths->regular);
  const auto both = of([](size_t k) { return std::array{1.0, 0.4, 0.5, 0.2}[k % 4]; });
  ASSERT_TRUE(both);
  EXPECT_TRUE(both->regular);
  EXPECT_LT(both->floor_db, -15);
}

TEST(Alternation, MadeTakesThatFourStrokeDoSoAtTheirSpeeds) {
  for (const char* name : {"2t_four_stroking_55", "2t_four_stroking_15", "2t_four_stroking_told", "2t_rich_ramp"}) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    const auto moments = half_orders_along(signal_of(take.samples), made_track(take), take.engine);
    for (const AlternationBand& band : alternation_by_speed(moments, 3000))
      EXPECT_TRUE(!band.is || band.is->regular) << name << " at " << band.from_rpm;
    EXPECT_TRUE(alternation(moments, 0, 1e9));
  }
  EXPECT_EQ(alternation({}, 0, 1e9).why_not(), Why::too_short);
}

}  // namespace
}  // namespace crankwise::sound
