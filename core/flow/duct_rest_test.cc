// Gas at rest stays at rest, whatever the duct looks like.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

/// Steps, cones, layers of other gas and heat; the greatest speed after many steps.
template <typename Real>
double moves(bool uniform) {
  const Gas<Real> gas(three_gases());
  Duct<Real> duct(60, 0.005);
  for (int m = 0; m < lanes_of<Real>(); ++m)
    duct.shape(m, std::vector<Stretch>{
                      {0.2, 0.03, 0.03, 300}, {0.3, 0.03, 0.09, 300}, {0.1, 0.12, 0.12, 300}, {0.4, 0.08, 0.02, 300}});
  duct.fill(gas, {Real(1.2), Real(0), Real(1e5), {}});
  for (int i = 0; i < duct.cells(); ++i) {
    const double temp_k = uniform ? 300 : 300 + 900 * std::pow(std::sin(0.3 * i), 2) + (i % 7 == 0 ? 200 : 0);
    const Shares<Real> y{Real(uniform ? 0 : 0.002 * (i % 11)), Real(uniform ? 0 : 0.08 * (i % 9))};
    const Real constant = charge_of(gas, y).constant;
    duct.cell(i) = conserved_of(gas, Primitive<Real>{Real(1e5) / (constant * Real(temp_k)), Real(0), Real(1e5), y});
  }
  const Rest<Real> any_gas{Real(3e5), Real(400), {}};
  double most = 0;
  for (int n = 0; n < 2000; ++n) {
    const Real dt = 6e-6;
    duct.step(gas, dt, through_end(gas, duct.left_end(gas, dt), duct.left_area(), Real(0), any_gas).out,
              through_end(gas, duct.right_end(gas, dt), duct.right_area(), Real(0), any_gas).out);
  }
  for (int i = 0; i < duct.cells(); ++i) most = std::max(most, std::abs(lane(duct.at(gas, i).u, 0)));
  return most;
}

// Measured: 3e-13 m/s in double, 3e-4 m/s in float; the last bit of the pressure is 1e-11 and 8e-3 Pa, which moves the
// gas by that over rho a.
TEST(FlowDuctRest, NothingMovesInADuctOfAnyShape) {
  EXPECT_LT(moves<double>(true), 3e-12);
  EXPECT_LT(moves<double>(false), 3e-12);
  EXPECT_LT((moves<Lanes<float, 4, Isa::any>>(false)), 2e-3);
}

}  // namespace
}  // namespace crankwise::flow
