#include "core/flow/wall.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

constexpr int kCells = 60;

struct Tube {
  explicit Tube(double volume_m3, double resistance) : gas(three_gases()), duct(kCells, 0), packing(kCells) {
    const Stretch stretches[] = {{0.6, 0.03, 0.03, 300}, {0.4, 0.03, 0.03, 300}};
    duct.shape(0, stretches);
    packing.set(0, stretches, volume_m3, resistance);
    fill(1e5, 300);
    packing.fill(gas, 1e5, {});
  }
  void fill(double p, double temp_k) { duct.fill(gas, {p / (gas.air.constant * temp_k), 0, p, {}}); }
  /// A step with both ends shut.
  void step() {
    const double dt = 0.5 * duct.crossing_s();
    const auto shut = [&](const Primitive<double>& w, double area) {
      return through_end(gas, w, area, 0.0, Rest<double>{1e5, 300, {}});
    };
    const auto left = shut(duct.left_end(gas, dt), duct.left_area()),
               right = shut(duct.right_end(gas, dt), duct.right_area());
    duct.step(gas, dt, left.out, right.out);
    packing.exchange(gas, duct, dt);
    time += dt;
  }
  double mass() const {
    double sum = packing.volume().mass;
    for (int i = 0; i < kCells; ++i) sum += duct.cell(i).rho * duct.cell_volume(i);
    return sum;
  }
  Gas<double> gas;
  Duct<double> duct;
  Packing<double> packing;
  double time = 0;
};

TEST(FlowPacking, KeepsTheMassAndEndsAtOnePressure) {
  Tube t(1e-3, 400);
  t.fill(2e5, 300);
  const double before = t.mass();
  for (int i = 0; i < 20000; ++i) t.step();
  EXPECT_NEAR(t.mass(), before, 1e-12);
  const double in = t.packing.volume().rest(t.gas).p;
  for (const int cell : {1, 30, 58}) EXPECT_NEAR(t.duct.at(t.gas, cell).p / in, 1, 0.01);
  // Its share of the volume is filled too: the gas of the tube was twice as dense, and warms by what streams in.
  EXPECT_GT(in, 1.3e5);
}

/// A standing half wave dies the faster, the better the packing lets it through; hard walls leave it alone. By Darcy's
/// law and plane waves it loses gamma p (4 / D) / R / 2 <cos^2 packed> / <cos^2> a second, where the volume behind
/// hardly feels it.
TEST(FlowPacking, DampsWavesAsDarcyAndPlaneWavesSay) {
  const auto left_after = [](double volume, double resistance) {
    Tube t(volume, resistance);
    const double rho = 1e5 / (t.gas.air.constant * 300);
    for (int i = 0; i < kCells; ++i) {
      const double p = 1e5 * (1 + 0.002 * std::cos(std::numbers::pi * (i + 0.5) / kCells));
      t.duct.cell(i) = conserved_of(t.gas, Primitive<double>{rho * std::pow(p / 1e5, 1 / 1.4), 0, p, {}});
    }
    double last = 0;
    for (; t.time < 0.02;) {
      t.step();
      if (t.time > 0.015) last = std::max(last, std::abs(t.duct.at(t.gas, 0).p - t.duct.at(t.gas, kCells - 1).p));
    }
    return last / 400;
  };
  const double hard = left_after(0, 400), stiff = left_after(0.1, 100000), soft = left_after(0.1, 50000);
  EXPECT_GT(hard, 0.8);
  // Over the packed 0.4 of the length cos^2 has the mean 1/2 + sin(2 pi 0.4) / (4 pi 0.4) = 0.617 of its end's.
  const double rate =
      0.5 * 4 / 0.03 * 1.4e5 / 100000 * 0.4 * (0.5 + std::sin(0.8 * std::numbers::pi) / (1.6 * std::numbers::pi)) / 0.5;
  EXPECT_NEAR(std::log(hard / stiff), rate * 0.0165, 0.25 * rate * 0.0165);
  EXPECT_NEAR(std::log(hard / soft) / std::log(hard / stiff), 2, 0.2);
}

TEST(FlowWall, AHoleLetsOutWhatTheNozzleSays) {
  Tube t(0, 400);
  t.fill(1.5e5, 400);
  const Rest<double> outside{1e5, 300, {}};
  const double area = 1e-5, dt = 1e-6, before = t.mass();
  const double flow = through_hole(t.gas, cell_at_rest(t.gas, t.duct, 20), outside, area).mass;
  hole_in_wall(t.gas, t.duct, 20, outside, area, dt);
  EXPECT_NEAR(before - t.mass(), flow * dt, 1e-15);
  EXPECT_GT(flow, 0);
  t.fill(0.6e5, 300);
  const double thin = t.mass();
  hole_in_wall(t.gas, t.duct, 20, outside, area, dt);
  EXPECT_GT(t.mass(), thin) << "and draws air in where it is lower inside";
}

}  // namespace
}  // namespace crankwise::flow
