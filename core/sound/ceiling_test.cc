#include "core/sound/ceiling.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

Answer<Ceiling> heard(const RpmAt& rpm, double seconds, const Train& train, double noise = 0.003) {
  const Engine engine = engine_of(Cycle::two_stroke);
  const auto samples = sound_of(firing_times(rpm, seconds, engine.cycle), seconds, train);
  const Track track = track_of(rpm, seconds, 0.003, noise);
  return ceiling_of(track, firings_along(signal_of(samples), track, engine),
                    half_orders_along(signal_of(samples), track, engine));
}

/// From 2,000 towards 9,500 with a time constant of half a second.
double climbs(double t) { return t < 1 ? 2000 : 9500 - 7500 * std::exp(-(t - 1) / 0.5); }

TEST(Ceiling, MadeTopsHaveTheirSpeedAndShape) {
  const std::map<sounds::Stop, Top> shapes = {{sounds::Stop::hard_cut, Top::hard_cut},
                                              {sounds::Stop::soft, Top::flattening},
                                              {sounds::Stop::breaking_up, Top::breaking_up},
                                              {sounds::Stop::surging, Top::surging},
                                              {sounds::Stop::falls_away, Top::falls_away}};
  int seen = 0;
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    if (take.truth.stop == sounds::Stop::none) continue;
    const Track track = made_track(take);
    const auto ceiling = ceiling_of(track, firings_along(signal_of(take.samples), track, take.engine),
                                    half_orders_along(signal_of(take.samples), track, take.engine));
    ASSERT_TRUE(ceiling) << name;
    EXPECT_NEAR(ceiling->rpm.value, *take.truth.ceiling_rpm, 0.015 * *take.truth.ceiling_rpm) << name;
    ASSERT_TRUE(ceiling->shape) << name;
    EXPECT_EQ(*ceiling->shape, shapes.at(take.truth.stop)) << name;
    ++seen;
  }
  EXPECT_GE(seen, 6);
}

TEST(Ceiling, ABlipsPeakIsNone) {
  for (const char* name : {"2t_blips", "4t_blips", "2t_high_pass", "4t_agc", "4t_hanging_idle"}) {
    const auto take = sounds::make(sounds::Set::tuning, name);
    const auto ceiling = ceiling_of(made_track(take), {}, {});
    ASSERT_FALSE(ceiling) << name;
    EXPECT_EQ(ceiling.why_not(), Why::not_held_at_top) << name;
  }
}

TEST(Ceiling, FlatteningIsMeasuredWithItsSigma) {
  const auto soft = heard(climbs, 5, {});
  ASSERT_TRUE(soft);
  ASSERT_TRUE(soft->shape);
  EXPECT_EQ(*soft->shape, Top::flattening);
  EXPECT_NEAR(soft->rpm.value, 9500, 0.015 * 9500);
  EXPECT_GT(soft->rpm.sigma, 0.003 * 9500);
  EXPECT_LT(soft->rpm.sigma, 0.01 * 9500);
  EXPECT_GT(soft->held_s, 2);
  // Every second firing weak up there: rich, and still no cut.
  const auto rich = heard(climbs, 5, {.strength = [](size_t k) { return k % 2 ? 0.3 : 1; }});
  ASSERT_TRUE(rich && rich->shape && rich->alternation);
  EXPECT_EQ(*rich->shape, Top::flattening);
  EXPECT_TRUE(rich->alternation->regular);
}

TEST(Ceiling, EvenlyDroppedFiringsAreACutAndRandomOnesAreNot) {
  const auto times = firing_times(climbs, 5, Cycle::two_stroke);
  const auto at_top = [&](size_t k) { return climbs(times[k]) > 9000; };
  const auto even = heard(climbs, 5, {.strength = [&](size_t k) { return at_top(k) && k % 6 == 0 ? 0.1 : 1.0; }});
  ASSERT_TRUE(even && even->shape);
  EXPECT_EQ(*even->shape, Top::hard_cut);
  sounds::Random random(3);
  std::vector<bool> fails(times.size());
  for (size_t k = 0; k < times.size(); ++k) fails[k] = random.uniform() < 0.17 && at_top(k);
  const auto chance = heard(climbs, 5, {.strength = [&](size_t k) { return fails[k] ? 0.1 : 1.0; }});
  ASSERT_TRUE(chance && chance->shape);
  EXPECT_EQ(*chance->shape, Top::breaking_up);
  // Weak ones below the top as well: no limiter, whatever their order.
  const auto everywhere = heard(climbs, 5, {.strength = [](size_t k) { return k % 6 == 0 ? 0.1 : 1.0; }});
  ASSERT_TRUE(everywhere && everywhere->shape);
  EXPECT_EQ(*everywhere->shape, Top::breaking_up);
}

TEST(Ceiling, WithoutAHoldOrARiseItSaysSo) {
  const auto track = [](const RpmAt& rpm, double seconds) { return track_of(rpm, seconds, 0.003, 0.003); };
  EXPECT_EQ(ceiling_of(track([](double) { return 6000.0; }, 6), {}, {}).why_not(), Why::never_rose_to_it);
  EXPECT_EQ(ceiling_of(track([](double t) { return 3000 + 900 * t; }, 6), {}, {}).why_not(), Why::not_held_at_top)
      << "still climbing when it ended";
  EXPECT_EQ(ceiling_of(track([](double) { return 0.0; }, 6), {}, {}).why_not(), Why::no_engine);
  EXPECT_EQ(ceiling_of({}, {}, {}).why_not(), Why::no_engine);
  Track unsure = track(climbs, 5);
  for (Frame& f : unsure.frames) f.confidence = 0.3F;
  EXPECT_EQ(ceiling_of(unsure, {}, {}).why_not(), Why::no_engine) << "only sure frames count";
  const auto silent = ceiling_of(track(climbs, 5), {}, {});
  ASSERT_TRUE(silent);
  ASSERT_FALSE(silent->shape) << "a speed, but no firings to tell the shape by";
  EXPECT_EQ(silent->shape.why_not(), Why::too_few_firings);
}

}  // namespace
}  // namespace crankwise::sound
