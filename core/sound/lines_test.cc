#include "core/sound/lines.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/made_track.h"
#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

std::vector<float> engine_with_hum(const RpmAt& rpm, double hum_hz, double strength) {
  auto samples = sound_of(firing_times(rpm, 8, Cycle::two_stroke), 8, {});
  for (size_t i = 0; i < samples.size(); ++i)
    samples[i] +=
        static_cast<float>(strength * std::sin(2 * std::numbers::pi * hum_hz * static_cast<double>(i) / kRateHz));
  return samples;
}

TEST(Lines, AHumIsFoundBesideAnEngine) {
  const Engine engine = engine_of(Cycle::two_stroke);
  for (const RpmAt& rpm : {RpmAt([](double) { return 4200.0; }), RpmAt([](double t) { return 2000 + 800 * t; })}) {
    const auto clean = engine_with_hum(rpm, 0, 0), humming = engine_with_hum(rpm, 250, 0.05);
    EXPECT_TRUE(fixed_lines(signal_of(clean), track_of(rpm, 8), engine).empty()) << "its own orders are no hum";
    const auto found = fixed_lines(signal_of(humming), track_of(rpm, 8), engine);
    ASSERT_EQ(found.size(), 1);
    EXPECT_NEAR(found[0].hz, 250, 1);
    EXPECT_GT(found[0].over_db, 12);
  }
}

TEST(Lines, MainsHumAloneIsNamedByItsMultiples) {
  const auto take = sounds::make(sounds::Set::tuning, "none_hum_50");
  const auto found = fixed_lines(signal_of(take.samples), made_track(take), take.engine);
  ASSERT_GE(found.size(), 5);
  for (const FixedLine& line : found) EXPECT_NEAR(line.hz, 50 * std::round(line.hz / 50), 1);
  for (size_t k = 1; k < found.size(); ++k) EXPECT_GE(found[k - 1].over_db, found[k].over_db);
}

TEST(Lines, NoneInNoiseOrWithoutSound) {
  const Engine engine = engine_of(Cycle::two_stroke);
  const auto noise = sound_of({}, 8, {.noise = 0.1});
  EXPECT_TRUE(fixed_lines(signal_of(noise), track_of([](double) { return 0.0; }, 8), engine).empty());
  EXPECT_TRUE(fixed_lines(signal_of({}), {}, engine).empty());
  const std::vector<float> zeros(64000);
  EXPECT_TRUE(fixed_lines(signal_of(zeros), {}, engine).empty());
}

}  // namespace
}  // namespace crankwise::sound
