// Waves of finite size in a duct: simple waves, two that meet, and reflections. Blair, Design and Simulation of
// Two-Stroke Engines (1996), sections 2.1 and 2.2, with X = (p / p0)^(1/7), a0 = 343.202 m/s, gamma 1.4.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

constexpr double kSound = 343.202, kPressure = 101325, kDensity = 1.4 * kPressure / (kSound * kSound);

/// Gas in a wave of X that goes to the right (`way` 1) or left (-1).
Primitive<double> in_wave(double x, int way) {
  return {kDensity * std::pow(x, 5), way * 5 * kSound * (x - 1), kPressure * std::pow(x, 7), {}};
}

/// A bump of half a cosine each side with a flat top, its X from 1 to `peak`.
double bump(double x_m, double middle_m, double peak) {
  constexpr double kTop = 0.1, kSlope = 0.3;
  const double off = std::abs(x_m - middle_m) - kTop;
  if (off < 0) return peak;
  return off > kSlope ? 1 : 1 + (peak - 1) * 0.5 * (1 + std::cos(std::numbers::pi * off / kSlope));
}

/// A wave from `middle_m` that goes right, and one from `other_m` that goes left, in 4 m of duct.
struct Waves {
  Gas<double> gas{perfect_gas()};
  Duct<double> duct = even_duct(800, 4);
  void add(double middle_m, double ratio, int way) {
    for (int i = 0; i < duct.cells(); ++i) {
      const double x = bump(place(i), middle_m, std::pow(ratio, 1.0 / 7));
      if (x != 1) duct.cell(i) = conserved_of(gas, in_wave(x, way));
    }
  }
  Waves() {
    for (int i = 0; i < duct.cells(); ++i) duct.cell(i) = conserved_of(gas, in_wave(1, 1));
  }
  double place(int i) const { return (i + 0.5) * 0.005; }
  void run_for(double time_s, double open_right = 0) {
    const Rest<double> outside{kPressure, kPressure / (kDensity * kAirConstant), {}};
    const auto end = [&](double open) {
      return [this, open, outside](const Primitive<double>& w, double) {
        return through_end(gas, w, duct.right_area(), open, outside).out;
      };
    };
    run(gas, duct, time_s, end(0), end(open_right));
  }
  Primitive<double> at_place(double x) const { return duct.at(gas, static_cast<int>(x / 0.005)); }
};

TEST(FlowDuctWaves, AWaveOfFiniteSize) {
  const double rows[][4] = {
      {1.2, 1.026388, 45.28, 397.54}, {0.8, 0.968626, -53.84, 278.59}, {1.5, 1.059634, 102.33, 466.00}};
  for (const auto& [ratio, x, gas_speed, wave_speed] : rows) {
    ASSERT_NEAR(std::pow(ratio, 1.0 / 7), x, 1e-6);
    Waves waves;
    waves.add(1, ratio, 1);
    constexpr double kTime = 5e-4;
    waves.run_for(kTime);
    // The flat top has gone with the speed of the wave, and there p and u are as they were.
    const Primitive<double> top = waves.at_place(1 + wave_speed * kTime);
    EXPECT_NEAR(top.p / kPressure, ratio, 1e-4 * ratio);
    EXPECT_NEAR(top.u, gas_speed, 1e-4 * 343);
    // The middle of the steep side and of the flat side, where X is halfway, go at their own speed, a0 (6 X - 5).
    const double half = 0.5 * (1 + x), speed = kSound * (6 * half - 5);
    for (const double from : {0.75, 1.25}) {
      const double where = from + speed * kTime;
      int i = static_cast<int>((where - 0.15) / 0.005);
      const auto x_of = [&](int cell) { return std::pow(waves.duct.at(waves.gas, cell).p / kPressure, 1.0 / 7); };
      while ((x_of(i) - half) * (x_of(i + 1) - half) > 0) ++i;
      const double found = waves.place(i) + 0.005 * (half - x_of(i)) / (x_of(i + 1) - x_of(i));
      EXPECT_NEAR((found - from) / kTime, speed, 2e-3 * speed) << ratio << " " << from;
    }
  }
}

// X1 + X2 - 1 where they lie over each other; and afterwards each goes on as if nothing had been.
TEST(FlowDuctWaves, TwoThatMeet) {
  Waves waves;
  waves.add(1.4, 1.2, 1), waves.add(2.1, 0.8, -1);
  // Tops (0.1 m each side) at 397.54 and 278.59 m/s meet.
  const double meet = 0.7 / (397.54 + 278.59);
  waves.run_for(meet);
  const Primitive<double> both = waves.at_place(1.4 + 397.54 * meet);
  EXPECT_NEAR(both.p / kPressure, 0.96561, 1e-3);
  EXPECT_NEAR(both.u, 99.12, 1e-3 * 99.12);
}

// 2 X - 1 at a closed end: 1.43335; and what comes back from there is 1.2 again.
TEST(FlowDuctWaves, AtAClosedEnd) {
  Waves waves;
  waves.add(3.4, 1.2, 1);
  waves.run_for(0.6 / 397.54);
  EXPECT_NEAR(waves.duct.at(waves.gas, 799).p / kPressure, 1.43335, 1e-3);
  EXPECT_NEAR(waves.duct.at(waves.gas, 799).u, 0, 0.1);
  waves.run_for(1.1 / 397.54);
  double most = 0;
  for (int i = 0; i < 800; ++i) most = std::max(most, waves.duct.at(waves.gas, i).p / kPressure);
  EXPECT_NEAR(most, 1.2, 2e-3);
}

// 2 - X at an open end, where nothing is lost outwards: 0.82928 comes back.
TEST(FlowDuctWaves, AtAnOpenEnd) {
  Waves waves;
  waves.add(3.4, 1.2, 1);
  waves.run_for(0.6 / 397.54, 1);
  EXPECT_NEAR(waves.duct.at(waves.gas, 799).p / kPressure, 1, 1e-3);
  waves.run_for(1.1 / 397.54, 1);
  double least = 2;
  for (int i = 0; i < 800; ++i) least = std::min(least, waves.duct.at(waves.gas, i).p / kPressure);
  EXPECT_NEAR(least, 0.82928, 2e-3);
}

}  // namespace
}  // namespace crankwise::flow
