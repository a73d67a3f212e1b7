#include "core/sound/spectrogram.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace crankwise::sound {
namespace {

TEST(Spectrogram, ShowsATonesPlaceInTimeAndFrequency) {
  std::vector<float> x(static_cast<size_t>(4 * kRateHz));
  for (size_t i = 0; i < x.size(); ++i) {
    const double t = static_cast<double>(i) / kRateHz, hz = t < 2 ? 200 : 800;
    x[i] = static_cast<float>(0.5 * std::sin(2 * std::numbers::pi * hz * t));
  }
  const Spectrogram s = spectrogram(signal_of(x), 40, 50, 1000);
  EXPECT_DOUBLE_EQ(s.seconds, 4);
  EXPECT_NEAR(s.at(10, 10), 0, 1.5);  // 200 Hz is in the row from 200 to 220
  EXPECT_NEAR(s.at(30, 40), 0, 1.5);
  EXPECT_LT(s.at(10, 40), -60);
  EXPECT_LT(s.at(30, 10), -60);
}

TEST(Spectrogram, OfSilenceAndOfAlmostNothing) {
  const std::vector<float> none(100, 0.0F);
  const Spectrogram s = spectrogram(signal_of(none), 7, 3, 4000);
  EXPECT_EQ(s.db.size(), 21U);
  for (const float v : s.db) EXPECT_EQ(v, 0.0F) << "all alike";
}

}  // namespace
}  // namespace crankwise::sound
