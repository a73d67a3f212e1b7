#include "core/flow/opening.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

using Air = Rest<double>;

// (2 / (gamma + 1))^(gamma / (gamma - 1)): the flow stops growing there.
TEST(FlowOpening, CriticalPressureRatio) {
  struct Row {
    double gamma, ratio;
  };
  for (const Row& row : {Row{1.25, 0.55493}, {1.30, 0.54573}, {1.35, 0.53685}, {1.40, 0.52828}}) {
    const auto flow = [&](double r) { return hole_flow_squared(1e5, kAirConstant * 300, row.gamma, r); };
    const double ratio = row.ratio;
    EXPECT_EQ(flow(0.2), flow(ratio - 1e-5));
    EXPECT_LT(flow(ratio + 1e-3), flow(0.2));
    EXPECT_NEAR(flow(ratio + 1e-5) / flow(0.2), 1, 1e-9);  // and comes there with no kink
    EXPECT_EQ(flow(1), 0);
    EXPECT_EQ(flow(1.1), 0);
  }
}

// St Venant and Wantzel.
TEST(FlowOpening, FlowThroughAHole) {
  struct {
    double gamma, area_mm2, discharge, from_pa, from_k, to_pa, kg_s, tolerance;
  } const rows[] = {{1.4, 1, 1, 101325, 288.15, 1e4, 2.41240e-4, 1e-5},
                    {1.4, 10, 1, 2e5, 300, 1.5e5, 4.124364e-3, 1e-6},
                    {1.4, 100, 0.8, 1.2e5, 350, 1e5, 1.584905e-2, 1e-6},
                    {1.33, 200, 1, 3e5, 1200, 1.1e5, 6.876335e-2, 1e-6}};
  for (const auto& r : rows) {
    const Gas<double> gas(perfect_gas(r.gamma));
    const double area = r.area_mm2 * 1e-6 * r.discharge;
    const Stream<double> s =
        through_hole(gas, Air{r.from_pa, r.from_k, {0.1, 0.2}}, Air{r.to_pa, 290, {0.5, 0.5}}, area);
    EXPECT_NEAR(s.mass / r.kg_s, 1, r.tolerance);
    EXPECT_NEAR(s.energy / (s.mass * r.gamma / (r.gamma - 1) * kAirConstant * r.from_k), 1, 1e-12);
    EXPECT_NEAR(s.fuel, 0.1 * s.mass, 1e-15);
    EXPECT_NEAR(s.burned, 0.2 * s.mass, 1e-15);
  }
}

// NACA Report 1135: what a stream of this Mach number passes for a hole, A* over A of the choked flow.
TEST(FlowOpening, IsentropicRelations) {
  const double rows[][3] = {{0.1, 0.99303, 5.82183}, {0.2, 0.97250, 2.96352}, {0.3, 0.93947, 2.03507},
                            {0.5, 0.84302, 1.33984}, {0.7, 0.72093, 1.09437}, {0.8, 0.65602, 1.03823},
                            {1.0, 0.52828, 1.00000}};
  const double choked = hole_flow_squared(1e5, kAirConstant * 300, 1.4, 0.1);
  for (const auto& [mach, pressure, area] : rows) {
    const double exact = std::pow(1 + 0.2 * mach * mach, -3.5);
    EXPECT_NEAR(exact, pressure, 1e-5);
    EXPECT_NEAR(std::sqrt(choked / hole_flow_squared(1e5, kAirConstant * 300, 1.4, exact)), area, 1e-4 * area);
  }
}

TEST(FlowOpening, AHoleIsTheSameBothWays) {
  const Gas<double> gas(three_gases());
  const Air a{1.7e5, 350, {0.06, 0.1}}, b{1.1e5, 900, {0, 0.9}};
  for (const double p : {1e4, 1e5, 1.7e5, 1.9e5, 9e5}) {
    const Air c{p, b.temp_k, b.y};
    const Stream<double> there = through_hole(gas, a, c, 1e-4), back = through_hole(gas, c, a, 1e-4);
    EXPECT_EQ(there.mass, -back.mass);
    EXPECT_EQ(there.energy, -back.energy);
    EXPECT_EQ(there.fuel, -back.fuel);
    EXPECT_EQ(there.burned, -back.burned);
    EXPECT_EQ(there.mass > 0, a.p > p);
  }
}

}  // namespace
}  // namespace crankwise::flow
