#include "core/sound/evidence.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "core/sound/track.h"

namespace crankwise::sound {
namespace {

/// Pulses at a steady rate through a resonance, with a little noise.
std::vector<float> pulses(double rate_hz, double seconds) {
  std::mt19937 dice(5);
  std::vector<float> x(static_cast<size_t>(seconds * kRateHz));
  double phase = 0, one = 0, two = 0;
  for (float& v : x) {
    phase += rate_hz / kRateHz;
    const double kick = phase >= 1 ? 1 : 0;
    if (phase >= 1) phase -= 1;
    const double y = kick + 0.01 * (static_cast<double>(dice()) / 4.3e9 - 0.5) + 1.5 * one - 0.8 * two;
    two = one, one = y;
    v = static_cast<float>(0.1 * y);
  }
  return x;
}

TEST(Evidence, IsGreatestAtTheRate) {
  const Grid grid = Grid::over(8, 250);
  for (const double rate : {12.0, 25.0, 50.0, 100.0, 200.0}) {
    const std::vector<float> x = pulses(rate, 2);
    for (const Cycle cycle : {Cycle::two_stroke, Cycle::four_stroke}) {
      Evidence evidence(grid, cycle);
      std::vector<float> row(static_cast<size_t>(grid.size));
      evidence.rows(signal_of(x), 50, row);
      const auto best = std::max_element(row.begin(), row.end());
      EXPECT_NEAR(static_cast<double>(best - row.begin()), grid.index(rate), 1.01) << rate;
      EXPECT_GT(*best, 0.8) << rate;
      for (const double other : {rate / 2, rate / 3, rate * 2}) {
        const double at = grid.index(other);
        if (at < 0 || at >= grid.size) continue;
        EXPECT_LT(row[static_cast<size_t>(std::lround(at))], 0.75F * *best) << rate << " " << other;
      }
    }
  }
}

TEST(Evidence, DoesNotDependOnHowTheTakeIsCut) {
  const std::vector<float> x = pulses(33, 2);
  const Grid grid = Grid::over(8, 100);
  const auto width = static_cast<size_t>(grid.size);
  Evidence evidence(grid, Cycle::four_stroke);
  std::vector<float> whole(60 * width), part(17 * width);
  evidence.rows(signal_of(x), 20, whole);
  evidence.rows(signal_of(x), 33, part);
  for (size_t i = 0; i < part.size(); ++i) EXPECT_NEAR(part[i], whole[13 * width + i], 2e-5F) << i;
}

TEST(Evidence, OfSilenceIsNone) {
  const std::vector<float> x(8000, 0.0F);
  const Grid grid = Grid::over(8, 250);
  Evidence evidence(grid, Cycle::two_stroke);
  std::vector<float> rows(10 * static_cast<size_t>(grid.size));
  evidence.rows(signal_of(x), 5, rows);
  for (const float v : rows) ASSERT_NEAR(v, 0, 0.1F);
}

}  // namespace
}  // namespace crankwise::sound
