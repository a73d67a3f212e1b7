#include "tests/exact/riemann.h"

#include <gtest/gtest.h>

#include <cmath>

namespace crankwise::exact {
namespace {

// Star states: Toro, chapter 4, table 4.3, and later chapters; Lax and the blowdown worked out from the same equations.
TEST(RiemannJudge, StarStates) {
  struct {
    RiemannState left, right;
    double p, u, rho_left, rho_right, tolerance;
  } const rows[] = {
      {{1, 0, 1}, {0.125, 0, 0.1}, 0.30313, 0.92745, 0.42632, 0.26557, 2e-5},
      {{1, 0.75, 1}, {0.125, 0, 0.1}, 0.466294, 1.36091, 0.579867, 0.339700, 1e-5},
      {{1, -2, 0.4}, {1, 2, 0.4}, 0.001894, 0, 0.021852, 0.021852, 1e-3},
      {{1, 0, 1000}, {1, 0, 0.01}, 460.894, 19.5975, 0.57506, 5.99924, 1e-5},
      {{1, 0, 0.01}, {1, 0, 100}, 46.0950, -6.19633, 5.99242, 0.57511, 1e-5},
      {{5.99924, 19.5975, 460.894}, {5.99242, -6.19633, 46.0950}, 1691.65, 8.68977, 14.2823, 31.0426, 1e-5},
      // Not the state 1.128, 0.928 that goes about for this tube.
      {{0.445, 0.698, 3.528}, {0.5, 0, 0.571}, 2.46610, 1.52872, 0.344568, 1.30408, 1e-5},
      {{4e5 / (287.05 * 1200), 0, 4e5},
       {1.013e5 / (287.05 * 400), 0, 1.013e5},
       233567,
       256.864,
       0.790731,
       1.57572,
       1e-5},
  };
  for (const auto& r : rows) {
    const RiemannProblem x(1.4, r.left, r.right);
    EXPECT_FALSE(x.vacuum());
    EXPECT_NEAR(x.star_p() / r.p, 1, r.tolerance);
    EXPECT_NEAR(x.star_u(), r.u, r.tolerance * (std::abs(r.u) + 1e-3));
    EXPECT_NEAR(x.star_rho_left() / r.rho_left, 1, r.tolerance);
    EXPECT_NEAR(x.star_rho_right() / r.rho_right, 1, r.tolerance);
  }
}

// Mass, momentum and energy that the profile holds are those at the start and what came through the ends: by the
// conservation laws alone.
TEST(RiemannJudge, ProfilesConserve) {
  const RiemannState cases[][2] = {{{1, 0, 1}, {0.125, 0, 0.1}},
                                   {{1, -2, 0.4}, {1, 2, 0.4}},
                                   {{1, -6, 0.4}, {1, 6, 0.4}},  // vacuum
                                   {{1, 0, 0.01}, {1, 0, 100}},
                                   {{5.99924, 19.5975, 460.894}, {5.99242, -6.19633, 46.0950}}};
  for (const auto& [l, r] : cases) {
    const RiemannProblem x(1.4, l, r);
    EXPECT_EQ(x.vacuum(), l.u == -6);
    constexpr double kEnd = 40;
    constexpr int kPieces = 400000;
    double mass = 0, momentum = 0, energy = 0;
    for (int i = 0; i < kPieces; ++i) {
      const RiemannState s = x.at(kEnd * (2.0 * (i + 0.5) / kPieces - 1));
      const double width = 2 * kEnd / kPieces;
      mass += s.rho * width;
      momentum += s.rho * s.u * width;
      energy += (s.p / 0.4 + 0.5 * s.rho * s.u * s.u) * width;
    }
    const auto energy_of = [](const RiemannState& s) { return s.p / 0.4 + 0.5 * s.rho * s.u * s.u; };
    const double m = kEnd * (l.rho + r.rho) + l.rho * l.u - r.rho * r.u;
    const double j = kEnd * (l.rho * l.u + r.rho * r.u) + l.rho * l.u * l.u + l.p - r.rho * r.u * r.u - r.p;
    const double e = kEnd * (energy_of(l) + energy_of(r)) + l.u * (energy_of(l) + l.p) - r.u * (energy_of(r) + r.p);
    EXPECT_NEAR(mass / m, 1, 2e-4);
    EXPECT_NEAR(momentum, j, 2e-4 * (std::abs(j) + kEnd));
    EXPECT_NEAR(energy / e, 1, 2e-4);
  }
}

}  // namespace
}  // namespace crankwise::exact
