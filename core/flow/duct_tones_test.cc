// The tones of a pipe and of a bottle, from how they ring after a small push.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

constexpr double kSound = 343, kPressure = 101325, kDensity = 1.4 * kPressure / (kSound * kSound);
constexpr double kTemp = kPressure / (kDensity * kAirConstant);

/// Frequency from the first and the last of the rising crossings.
class Crossings {
 public:
  void see(double t, double value) {
    if (count_ >= 0 && last_ < 0 && value >= 0) {
      const double at = t + (t_ - t) * value / (value - last_);
      (count_ == 0 ? first_ : end_) = at;
      ++count_;
    }
    t_ = t, last_ = value;
  }
  double hz() const { return (count_ - 1) / (end_ - first_); }
  int count() const { return count_; }

 private:
  int count_ = 0;
  double t_ = 0, last_ = 0, first_ = 0, end_ = 0;
};

// c / 4 L: the end as solved is open with no correction, for the pressure there is that outside.
TEST(FlowDuctTones, QuarterWave) {
  const double rows[][2] = {{0.3, 285.83}, {0.6, 142.92}, {1.0, 85.75}};
  const Gas<double> gas(perfect_gas());
  for (const auto& [length, hz] : rows) {
    Duct<double> duct = even_duct(80, length, 0.04);
    for (int i = 0; i < 80; ++i) {  // the shape of the tone itself
      const double part = 1e-3 * std::cos(0.5 * std::numbers::pi * (i + 0.5) / 80);
      duct.cell(i) = conserved_of(gas, Primitive<double>{kDensity * (1 + part / 1.4), 0, kPressure * (1 + part), {}});
    }
    const double area = duct.left_area();
    const Rest<double> outside{kPressure, kTemp, {}};
    Crossings crossings;
    run(
        gas, duct, 12 / hz,
        [&](const Primitive<double>& w, double) { return through_end(gas, w, area, 0.0, outside).out; },
        [&](const Primitive<double>& w, double) { return through_end(gas, w, area, 1.0, outside).out; }, 0.9,
        [&](double t) { crossings.see(t, duct.at(gas, 0).p - kPressure); });
    EXPECT_GE(crossings.count(), 10);
    EXPECT_NEAR(crossings.hz() / hz, 1, 1e-4);  // all within 1e-5
  }
}

// (c / 2 pi) sqrt(A / (V L)), 38 mm by 80 mm on 7 l. As solved no gas swings with the neck outside its ends, so L is
// the length of the duct: 77.69 Hz. Whoever wants the mass of the ends makes the duct longer by 1.7 radii: 65.57 Hz.
TEST(FlowDuctTones, Bottle) {
  const double rows[][2] = {{0.08, 77.69}, {0.08 + 1.7 * 0.019, 65.57}};
  const Gas<double> gas(perfect_gas());
  for (const auto& [length, hz] : rows) {
    Duct<double> duct = even_duct(30, length, 0.038);
    duct.fill(gas, {kDensity, 0, kPressure, {}});
    Volume<double> bottle;
    bottle.m3 = 7e-3;
    bottle.fill(gas, {1.0005 * kPressure, kTemp, {}});
    const double area = duct.left_area();
    const Rest<double> outside{kPressure, kTemp, {}};
    Crossings crossings;
    run(
        gas, duct, 10 / hz,
        [&](const Primitive<double>& w, double dt) {
          const auto out = through_end(gas, w, area, 1.0, bottle.rest(gas)).out;
          return bottle.take(out, dt), out;
        },
        [&](const Primitive<double>& w, double) { return through_end(gas, w, area, 1.0, outside).out; }, 0.9,
        [&](double t) { crossings.see(t, bottle.rest(gas).p - kPressure); });
    EXPECT_GE(crossings.count(), 8);
    // Gas in the neck is squeezed too: cot(k L) = k V / A is lower by (k L)^2 / 6.
    const double kl = 2 * std::numbers::pi * hz / kSound * length;
    EXPECT_NEAR(crossings.hz() / hz, 1, 0.01);
    EXPECT_NEAR(crossings.hz() / (hz * (1 - kl * kl / 6)), 1, 1e-3);
  }
}

}  // namespace
}  // namespace crankwise::flow
