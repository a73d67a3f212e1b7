#include "core/sound/fft.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "core/sound/track.h"

namespace crankwise::sound {
namespace {

std::vector<float> noise(int size) {
  std::mt19937 dice(7);
  std::vector<float> x(static_cast<size_t>(size));
  for (float& v : x) v = static_cast<float>(dice()) / 4.3e9F - 0.5F;
  return x;
}

// The definition of the transform, summed as it stands.
TEST(Fft, IsTheDirectTransform) {
  for (const int size : {100, 256, 400, 1600}) {
    const std::vector<float> x = noise(size);
    Fft fft(size);
    std::vector<std::complex<float>> got(static_cast<size_t>(fft.bins()));
    fft.forward(x, got);
    for (size_t k = 0; k < got.size(); k += 7) {
      std::complex<double> sum = 0;
      for (size_t n = 0; n < x.size(); ++n)
        sum += static_cast<double>(x[n]) *
               std::polar(1.0, -2 * std::numbers::pi * static_cast<double>(k * n % x.size()) / size);
      EXPECT_NEAR(std::abs(std::complex<double>(got[k]) - sum), 0, 2e-4) << size << " " << k;
    }
  }
}

TEST(Fft, ComesBack) {
  const std::vector<float> x = noise(800);
  Fft fft(800);
  std::vector<std::complex<float>> spectrum(static_cast<size_t>(fft.bins()));
  std::vector<float> back(800);
  fft.forward(x, spectrum);
  fft.back(spectrum, back);
  for (size_t i = 0; i < x.size(); ++i) EXPECT_NEAR(back[i], 800 * x[i], 0.01);
}

// Handbook rows of firing rate and resolution: n / 60 and n / 120; fs / N.
TEST(Engine, FiresEveryTurnOrEverySecond) {
  const Engine two{.cycle = Cycle::two_stroke}, four{.cycle = Cycle::four_stroke};
  EXPECT_DOUBLE_EQ(two.firing_hz(1800), 30);
  EXPECT_DOUBLE_EQ(two.firing_hz(6000), 100);
  EXPECT_NEAR(two.firing_hz(11500), 191.67, 0.005);
  EXPECT_NEAR(four.firing_hz(9500), 79.17, 0.005);
  EXPECT_NEAR(four.firing_hz(13400), 111.67, 0.005);
  const double bin_hz = 44100.0 / 16384;
  EXPECT_NEAR(bin_hz, 2.692, 0.0005);
  EXPECT_NEAR(two.rpm_of(bin_hz), 161.5, 0.05);
  EXPECT_NEAR(four.rpm_of(bin_hz), 323, 0.05);
}

}  // namespace
}  // namespace crankwise::sound
