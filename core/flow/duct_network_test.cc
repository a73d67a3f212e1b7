// What a closed network holds is kept: two volumes, a duct between them and openings that move.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

struct Held {
  double mass = 0, energy = 0, fuel = 0, burned = 0;
};

struct Network {
  Gas<double> gas{three_gases()};
  Duct<double> duct;
  Volume<double> left, right;

  explicit Network(double friction) : duct(20, friction) {
    duct.shape(0, std::vector<Stretch>{{0.2, 0.03, 0.05, 300}, {0.2, 0.04, 0.04, 300}});
    duct.fill(gas, {0.9, 0, 1.3e5, {0.02, 0.3}});
    left.m3 = 4e-4, right.m3 = 2e-3;
    left.fill(gas, {5e5, 1500, {0, 0.95}});
    right.fill(gas, {0.9e5, 320, {0.06, 0}});
  }
  Held held() const {
    Held h;
    for (const Volume<double>* v : {&left, &right})
      h.mass += v->mass, h.energy += v->energy, h.fuel += v->fuel, h.burned += v->burned;
    for (int i = 0; i < duct.cells(); ++i) {
      const double m3 = duct.cell_volume(i);
      const Conserved<double>& c = duct.cell(i);
      h.mass += m3 * c.rho, h.energy += m3 * c.energy, h.fuel += m3 * c.fuel, h.burned += m3 * c.burned;
    }
    return h;
  }
  void step(int n) {
    const double dt = 8e-6;
    const double open_left = std::max(0.0, std::sin(0.003 * n)), open_right = 0.5 + 0.5 * std::cos(0.0017 * n);
    const auto l = through_end(gas, duct.left_end(gas, dt), duct.left_area(), open_left, left.rest(gas)).out;
    const auto r = through_end(gas, duct.right_end(gas, dt), duct.right_area(), open_right, right.rest(gas)).out;
    duct.step(gas, dt, l, r);
    left.take(l, dt), right.take(r, dt);
  }
};

TEST(FlowNetwork, NothingIsLostOverManySteps) {
  Network n(0);
  const Held before = n.held();
  for (int i = 0; i < 100000; ++i) n.step(i);
  const Held after = n.held();
  EXPECT_NEAR(after.mass / before.mass, 1, 1e-12);
  EXPECT_NEAR(after.energy / before.energy, 1, 1e-12);
  EXPECT_NEAR(after.fuel / before.fuel, 1, 1e-12);
  EXPECT_NEAR(after.burned / before.burned, 1, 1e-12);
  EXPECT_GT(n.duct.least(), 0);
  // It has moved and mixed all the while.
  EXPECT_GT(n.right.burned, 0.1 * after.burned);
  EXPECT_NEAR(n.left.rest(n.gas).p / n.right.rest(n.gas).p, 1, 0.02);
}

// Friction takes speed and gives it back as heat; only the walls take energy, here always, as all gas is hotter.
TEST(FlowNetwork, WallsTakeHeatAndNothingElse) {
  Network n(0.006);
  n.right.fill(n.gas, {0.9e5, 700, {0.06, 0}});
  const Held before = n.held();
  double last = before.energy;
  for (int i = 0; i < 20000; ++i) {
    n.step(i);
    const Held now = n.held();
    ASSERT_LE(now.energy, last * (1 + 1e-14));
    last = now.energy;
  }
  const Held after = n.held();
  EXPECT_NEAR(after.mass / before.mass, 1, 1e-12);
  EXPECT_NEAR(after.fuel / before.fuel, 1, 1e-12);
  EXPECT_NEAR(after.burned / before.burned, 1, 1e-12);
  EXPECT_LT(after.energy, 0.99 * before.energy);
}

// A long even duct with a slow steady flow: the pressure falls by 4 f (L / D) rho u^2 / 2 (Darcy and Weisbach;
// Fanning's f is a quarter of Darcy's), the walls as warm as the gas.
TEST(FlowNetwork, FrictionTakesThePressureItShould) {
  const Gas<double> gas(perfect_gas());
  Duct<double> duct(50, 0.005);
  duct.shape(0, std::vector<Stretch>{{1, 0.02, 0.02, 300}});
  duct.fill(gas, {1e5 / (kAirConstant * 300), 20, 1e5, {}});
  const Rest<double> high{1.01e5, 300, {}}, low{1e5, 300, {}};
  const double area = duct.left_area();
  run(
      gas, duct, 0.6, [&](const Primitive<double>& w, double) { return through_end(gas, w, area, 1.0, high).out; },
      [&](const Primitive<double>& w, double) { return through_end(gas, w, area, 1.0, low).out; });
  const Primitive<double> a = duct.at(gas, 10), b = duct.at(gas, 40);
  const double loss = 4 * 0.005 * (0.6 / 0.02) * 0.5 * a.rho * a.u * a.u;
  EXPECT_GT(a.u, 20);
  EXPECT_NEAR((a.p - b.p - a.rho * a.u * (b.u - a.u)) / loss, 1, 0.01);
}

}  // namespace
}  // namespace crankwise::flow
