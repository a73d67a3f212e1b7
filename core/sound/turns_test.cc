#include "core/sound/turns.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace crankwise::sound {
namespace {

TEST(Signal, IsSilentOutside) {
  const std::vector<float> x = {1, 2, 3};
  const Signal s = signal_of(x);
  EXPECT_EQ(s.samples, 3);
  std::vector<float> out(7);
  s.read(-2, out);
  EXPECT_EQ(out, (std::vector<float>{0, 0, 1, 2, 3, 0, 0}));
  s.read(2, out);
  EXPECT_EQ(out, (std::vector<float>{3, 0, 0, 0, 0, 0, 0}));
  s.read(9, out);
  EXPECT_EQ(out, std::vector<float>(7, 0.0F));
  s.read(-90, out);
  EXPECT_EQ(out, std::vector<float>(7, 0.0F));
}

/// Orders 1, 3 and 7.5 of an engine whose rate is f0 + slope t, at amplitudes 1, 0.5, 0.25.
std::vector<float> sweep(double f0, double slope, double seconds) {
  std::vector<float> x;
  for (double t = 0; t < seconds; t += 1 / kRateHz) {
    const double turn = 2 * std::numbers::pi * (f0 * t + slope * t * t / 2);
    x.push_back(static_cast<float>(std::sin(turn) + 0.5 * std::sin(3 * turn) + 0.25 * std::sin(7.5 * turn)));
  }
  return x;
}

// A line of amplitude A under a Hann window has the power (A N / 4)^2 in its bin; so the orders stand to each other as
// the squares of their amplitudes, however fast the speed changes.
TEST(OrderSpectrum, IsSharpWhileTheSpeedChanges) {
  for (const double slope : {0.0, 150.0, -120.0}) {
    const double f0 = slope < 0 ? 200 : 50, at = 0.5;
    const std::vector<float> x = sweep(f0, slope, 1);
    OrderSpectrum spectrum(8, 24);
    const auto power = spectrum.at(signal_of(x), {at, f0 + slope * at, slope});
    EXPECT_NEAR(power[24] / power[8], 0.25, 0.01) << slope;
    EXPECT_NEAR(power[60] / power[8], 0.0625, 0.005) << slope;
    for (const size_t empty : {size_t{16}, size_t{20}, size_t{32}, size_t{40}, size_t{100}})
      EXPECT_LT(power[empty], 1e-4F * power[8]) << slope << " " << empty;
  }
}

TEST(OrderSpectrum, SmearsIfTheSlopeIsNotTold) {
  const std::vector<float> x = sweep(50, 2000, 0.3);
  OrderSpectrum spectrum(8, 24);
  const auto power = spectrum.at(signal_of(x), {0.1, 250, 0});
  EXPECT_LT(power[60], 0.03F * power[8]);
}

TEST(CutByCycle, HoldsASlopeThatWouldStopTheEngine) {
  const std::vector<float> x = sweep(50, 0, 1);
  std::vector<float> out(512);
  cut_by_cycle(signal_of(x), {0.5, 20, -4000}, 8, out);
  EXPECT_TRUE(std::all_of(out.begin(), out.end(), [](float v) { return std::isfinite(v); }));
}

}  // namespace
}  // namespace crankwise::sound
