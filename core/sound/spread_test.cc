#include "core/sound/spread.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/sound_take.h"

namespace crankwise::sound {
namespace {

TEST(Spread, MiddlesByHand) {
  EXPECT_DOUBLE_EQ(quantile({4, 1, 3, 2}, 0.25), 1.75);  // 1 + 0.75 (2 - 1)
  EXPECT_DOUBLE_EQ(quantile({4, 1, 3, 2}, 1), 4);
  EXPECT_DOUBLE_EQ(median({5, 1, 9}), 5);
  EXPECT_DOUBLE_EQ(robust_sigma({1, 1, 2, 2, 4, 6, 9}), 1.4826);  // distances from 2: 1 1 0 0 2 4 7, middle 1
  const double x[] = {0, 1, 2, 3}, y[] = {1, 3, 5, 7};
  const Line line = line_through(x, y);
  EXPECT_DOUBLE_EQ(line.slope, 2);
  EXPECT_DOUBLE_EQ(line.at(10), 21);
}

TEST(Spread, WilsonsBoundsSolveTheirEquation) {
  // The bounds are the p for which |share - p| is 1.96 sqrt(p (1 - p) / n): the definition of the score interval.
  for (const auto& [hits, n] : {std::pair{1, 30}, {3, 40}, {50, 100}, {99, 100}, {200, 3000}}) {
    const Share s = share_of(hits, n);
    for (const double p : {s.low, s.high})
      EXPECT_NEAR(std::abs(s.share - p), 1.959964 * std::sqrt(p * (1 - p) / n), 1e-9) << hits << " of " << n;
  }
  EXPECT_EQ(share_of(0, 50).low, 0);
  EXPECT_NEAR(share_of(0, 50).high, 1.959964 * 1.959964 / (50 + 1.959964 * 1.959964), 1e-9);  // with share 0 by hand
  EXPECT_EQ(share_of(50, 50).high, 1);
}

std::vector<double> wave(double period_s, double depth, double noise, double seconds, std::uint64_t seed) {
  sounds::Random random(seed);
  std::vector<double> values;
  for (double t = 0; t < seconds; t += 0.02)
    values.push_back(3 + 0.01 * t + depth * std::sin(2 * std::numbers::pi * t / period_s) + noise * random.normal());
  return values;
}

TEST(Spread, ASwingIsFoundWithItsPeriodAndDepth) {
  for (const double period : {0.4, 0.9, 1.6}) {
    const auto swing = regular_swing(wave(period, 0.06, 0.01, 8, 3), 0.02, 0.25, 0.02, 0.1);
    ASSERT_TRUE(swing) << period;
    EXPECT_NEAR(swing->period_s, period, std::max(0.01 * period, 3 * swing->period_sigma_s));
    EXPECT_NEAR(swing->depth, 0.06, std::max(0.002, 3 * swing->depth_sigma));
    EXPECT_LT(swing->period_sigma_s, 0.05 * period);
  }
}

TEST(Spread, NoiseAndWanderAreNoSwing) {
  sounds::Random random(5);
  int found = 0;
  for (std::uint64_t k = 0; k < 60; ++k) {
    EXPECT_FALSE(regular_swing(wave(1, 0, 0.05, 6, 100 + k), 0.02, 0.25, 0.02, 0.1));
    std::vector<double> walk;  // wanders with a time constant of 0.3 s
    double at = 0;
    for (int i = 0; i < 300; ++i) walk.push_back(at = 0.935 * at + 0.01 * random.normal());
    found += regular_swing(walk, 0.02, 0.25, 0.02, 0.1).has_value();
  }
  EXPECT_LE(found, 1);
  EXPECT_FALSE(regular_swing(wave(1, 0.06, 0, 2.5, 1), 0.02, 0.25, 0.02, 0.1)) << "less than three periods";
  EXPECT_FALSE(regular_swing(wave(1, 0.01, 0, 8, 1), 0.02, 0.25, 0.02, 0.1)) << "shallow";
  EXPECT_FALSE(regular_swing(std::vector<double>(4, 1.0), 0.02, 0.25, 0.02, 0.1));
}

}  // namespace
}  // namespace crankwise::sound
