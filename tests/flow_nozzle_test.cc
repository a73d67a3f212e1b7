// Steady flow through a nozzle between two volumes that are held as they are, against the isentropic relations and the
// normal shock (NACA Report 1135).
#include <gtest/gtest.h>

#include <cmath>

#include "core/calc/gas.h"
#include "tests/flow_case.h"

namespace crankwise::flow {
namespace {

constexpr double kFrom = 2e5, kFromTemp = 300;
constexpr int kCells = 240;

/// 40 mm to 30 mm to 40 mm: an area ratio of 16/9.
struct Nozzle {
  Gas<double> gas{perfect_gas()};
  Duct<double> duct{kCells, 0};
  double flow_kg_s = 0, left_kg_s = 0;

  explicit Nozzle(double to_pa) {
    duct.shape(0, std::vector<Stretch>{{0.06, 0.04, 0.03, 300}, {0.12, 0.03, 0.04, 300}});
    duct.fill(gas, {1.9e5 / (kAirConstant * 296), 90, 1.9e5, {}});
    const Rest<double> from{kFrom, kFromTemp, {}}, to{to_pa, kFromTemp, {}};
    run(
        gas, duct, 0.05,
        [&](const Primitive<double>& w, double) {
          const auto out = through_end(gas, w, duct.left_area(), 1.0, from).out;
          return left_kg_s = -out.mass, out;
        },
        [&](const Primitive<double>& w, double) {
          const auto out = through_end(gas, w, duct.right_area(), 1.0, to).out;
          return flow_kg_s = out.mass, out;
        });
  }
  double area(int i) const { return duct.cell_volume(i) / (0.18 / kCells); }
};

constexpr double kThroat = 0.25 * 3.14159265358979323846 * 0.03 * 0.03;

/// The Mach number at which the area is so many throats.
double mach_of(double area_ratio, bool supersonic) {
  double low = supersonic ? 1 : 1e-6, high = supersonic ? 5 : 1;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    ((isentropic(1.4, middle).area < area_ratio) == supersonic ? low : high) = middle;
  }
  return low;
}

double choked_flow() { return hole_flow({1.4, kAirConstant}, kThroat, 1, kFrom, kFromTemp, 0.1 * kFrom).kg_s; }

TEST(FlowDuctNozzle, Subsonic) {
  // Exit at Mach 0.3: p / p0 0.93947, A / A* 2.03507.
  const Nozzle n(0.93947 * kFrom);
  const double star = n.duct.right_area() / 2.03507;
  EXPECT_NEAR(n.flow_kg_s / (choked_flow() * star / kThroat), 1, 5e-4);
  EXPECT_NEAR(n.flow_kg_s / n.left_kg_s, 1, 1e-3);
  double worst = 0;
  for (int i = 0; i < kCells; ++i) {
    const Isentropic want = isentropic(1.4, mach_of(n.area(i) / star, false));
    const Primitive<double> w = n.duct.at(n.gas, i);
    worst = std::max(worst, std::abs(w.p / kFrom / want.pressure - 1));
  }
  EXPECT_LT(worst, 3e-3);  // 2.0e-3, where the cones meet in an edge; the flow is within 2e-4
}

// A shock at Mach 1.5 (A / A* 1.17617) in the widening part: p2 / p1 2.4583, M2 0.7011; of p0 0.92979 is left, from
// which the flow goes on isentropically.
TEST(FlowDuctNozzle, NormalShock) {
  const double loss = 0.92979, exit_ratio = 16.0 / 9;
  const Isentropic exit = isentropic(1.4, mach_of(exit_ratio * loss, false));
  const Nozzle n(exit.pressure * loss * kFrom);
  EXPECT_NEAR(n.flow_kg_s / choked_flow(), 1, 1e-3);
  EXPECT_NEAR(n.flow_kg_s / n.left_kg_s, 1, 1e-3);
  const double shock_ratio = isentropic(1.4, 1.5).area;
  EXPECT_NEAR(shock_ratio, 1.17617, 1e-4);
  double sum = 0, place = 0;
  for (int i = 0; i < kCells; ++i) {
    const double ratio = n.area(i) / kThroat;
    const bool widening = i > kCells / 3, after = widening && ratio > shock_ratio;
    const double mach = ratio < 1 ? 1 : mach_of(after ? ratio * loss : ratio, widening && !after);
    const double want = isentropic(1.4, mach).pressure * (after ? loss : 1);
    sum += std::abs(n.duct.at(n.gas, i).p / kFrom - want) / kCells;
    const double p = n.duct.at(n.gas, i).p, next = i + 1 < kCells ? n.duct.at(n.gas, i + 1).p : 0;
    if (widening && place == 0 && next > 1.2 * p) place = ratio;
  }
  EXPECT_LT(sum, 1.5e-3);  // 1.1e-3; the flow is within 5e-4
  EXPECT_NEAR(place, shock_ratio, 0.02);
}

}  // namespace
}  // namespace crankwise::flow
