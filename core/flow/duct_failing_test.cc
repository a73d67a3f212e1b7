// A state that is lost is told.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

using Four = Lanes<float, 4, Isa::any>;

template <typename Real>
void still_step(const Gas<Real>& gas, Duct<Real>& duct, Real dt) {
  const Rest<Real> rest{Real(1e5), Real(300), {}};
  duct.step(gas, dt, through_end(gas, duct.left_end(gas, dt), duct.left_area(), Real(0), rest).out,
            through_end(gas, duct.right_end(gas, dt), duct.right_area(), Real(0), rest).out);
}

TEST(FlowDuctFailing, AStepTooLongEmptiesACell) {
  const Gas<double> gas(perfect_gas());
  Duct<double> duct = even_duct(20, 1);
  duct.fill(gas, {1.2, 0, 1e5, {}});
  for (int i = 0; i < 20; ++i)
    duct.cell(i) = conserved_of(gas, Primitive<double>{1.2, i < 10 ? -900.0 : 900.0, 1e5, {}});
  const double right = 0.3 * 0.05 / 1250;
  still_step(gas, duct, right);
  still_step(gas, duct, right);
  EXPECT_GT(duct.least(), 0);
  for (int i = 0; i < 6; ++i) still_step(gas, duct, 40 * right);
  EXPECT_LE(duct.least(), 0);
  duct.fill(gas, {1.2, 0, 1e5, {}});
  still_step(gas, duct, right);
  EXPECT_GT(duct.least(), 0);
}

// One lane alone, by each of the ways; the others go on, and it is not forgotten.
TEST(FlowDuctFailing, EachLaneOnItsOwn) {
  const Gas<Four> gas(perfect_gas());
  for (const double bad : {0.0, -1.0, std::numeric_limits<double>::quiet_NaN()}) {
    for (const bool density : {true, false}) {
      Duct<Four> duct(10, 0.005);
      for (int m = 0; m < 4; ++m) duct.shape(m, std::vector<Stretch>{{0.5, 0.03, 0.04, 300}});
      duct.fill(gas, {Four(1.2), Four(10), Four(1e5), {}});
      set_lane(density ? duct.cell(4).rho : duct.cell(4).energy, 2, bad);
      for (int n = 0; n < 5; ++n) still_step(gas, duct, Four(2e-5));
      for (int m = 0; m < 4; ++m) EXPECT_EQ(duct.least()[m] > 0, m != 2) << bad << density << m;
      EXPECT_TRUE(std::isfinite(duct.at(gas, 4).p[1]));
    }
  }
}

}  // namespace
}  // namespace crankwise::flow
