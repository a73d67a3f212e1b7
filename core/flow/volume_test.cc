#include "core/flow/volume.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

TEST(FlowVolume, HoldsWhatItWasFilledWith) {
  const Gas<double> gas(three_gases());
  Volume<double> v;
  v.m3 = 2.5e-4;
  v.fill(gas, {3e5, 900, {0.02, 0.5}});
  const Rest<double> rest = v.rest(gas);
  EXPECT_NEAR(rest.p, 3e5, 1e-6);
  EXPECT_NEAR(rest.temp_k, 900, 1e-9);
  EXPECT_DOUBLE_EQ(rest.y.fuel, 0.02);
  EXPECT_DOUBLE_EQ(rest.y.burned, 0.5);
}

// T V^(n-1) and p V^n: compression from 300 K by 8.
TEST(FlowVolume, MotoredCylinder) {
  const double rows[][3] = {{1.40, 689.2, 18.379}, {1.35, 621.2, 16.564}, {1.30, 559.8, 14.929}};
  for (const auto& [n, temp_k, ratio] : rows) {
    const Gas<double> gas(perfect_gas(n));
    Volume<double> v;
    v.m3 = 2.5e-4;
    v.fill(gas, {1e5, 300, {}});
    // A stroke up and down again as a crank moves the piston, two steps a degree.
    const auto m3 = [&](int half_degrees) {
      return 2.5e-4 * (1 - 0.875 * 0.5 * (1 - std::cos(half_degrees * std::numbers::pi / 360)));
    };
    for (int i = 1; i <= 360; ++i) v.resize(gas, m3(i));
    EXPECT_NEAR(v.rest(gas).temp_k / temp_k, 1, 1e-4);
    EXPECT_NEAR(v.rest(gas).p / (1e5 * ratio), 1, 1e-4);
    for (int i = 361; i <= 720; ++i) v.resize(gas, m3(i));
    EXPECT_NEAR(v.rest(gas).temp_k, 300, 300e-4);
  }
}

// With heat capacities that rise: s is kept, ln V R + cv0 ln T + cv1 T.
TEST(FlowVolume, EntropyIsKept) {
  const thermo::WorkingGas g = three_gases();
  const Gas<double> gas(g);
  Volume<double> v;
  v.m3 = 1e-3;
  v.fill(gas, {1e5, 350, {}});
  const auto entropy = [&] {
    const double t = v.rest(gas).temp_k;
    return g.air.constant_j_kg_k * std::log(v.m3) + g.air.cv0_j_kg_k * std::log(t) + g.air.cv1_j_kg_k2 * t;
  };
  const double before = entropy();
  for (int i = 1; i <= 500; ++i) v.resize(gas, 1e-3 * (1 - 0.0018 * i));
  EXPECT_NEAR(entropy(), before, 0.05);  // J/(kg K), of 700 a unit of ln T
  EXPECT_GT(v.rest(gas).temp_k, 800);
}

// What the ends of ducts are to meet: half a step on as the last step went, by this step's own length.
TEST(FlowVolume, IsGuessedHalfAStepOn) {
  const Gas<double> gas(three_gases());
  Volume<double> v;
  v.m3 = 1e-3;
  v.fill(gas, {1e5, 300, {}});
  EXPECT_DOUBLE_EQ(v.rest_halfway(gas, 1e-5).p, v.rest(gas).p) << "nothing has changed yet";
  const Rest<double> from{2e5, 300, {}};
  const double per_s = through_hole(gas, from, v.rest(gas), 1e-5).mass;
  const auto filled = [&](double dt) {
    v.begin(dt);
    v.take({per_s, 0, per_s * charge_of(gas, from.y).enthalpy(300), 0, 0}, dt);
  };
  filled(1e-5);
  // A steady stream: the guess is where half the next step really ends, to rounding, though it is half as long.
  const double guessed = v.rest_halfway(gas, 0.5e-5).p;
  filled(0.25e-5);
  EXPECT_NEAR(v.rest(gas).p, guessed, 1e-6);
  // However fast it emptied, half of it is still there.
  v.begin(1e-6);
  v.mass *= 0.1;
  v.energy *= 0.1;
  EXPECT_GT(v.rest_halfway(gas, 1e-3).p, 0);
}

}  // namespace
}  // namespace crankwise::flow
