// Crank angle, piston and volumes in lanes.
#pragma once

#include <numbers>

#include "core/engine/real.h"

namespace crankwise::engine {

/// Sine of an angle within -pi and pi; error below 1e-7 (Taylor, folded at a right angle).
template <typename Real>
Real sine(Real a) {
  constexpr double kPi = std::numbers::pi;
  a = select(a > Real(kPi / 2), Real(kPi) - a, select(a < Real(-kPi / 2), Real(-kPi) - a, a));
  const Real s = a * a;
  return a * (1.0 + s * (-1.0 / 6 + s * (1.0 / 120 + s * (-1.0 / 5040 + s * (1.0 / 362880 + s * (-1.0 / 39916800))))));
}
/// 0 to 2 pi.
template <typename Real>
Real cosine_of_turn(Real a) {
  constexpr double kPi = std::numbers::pi;
  return -sine(abs(a - Real(kPi)) * Real(-1) + Real(kPi / 2));
}

template <typename Real>
struct Crank {
  Real radius_m, rod_m, piston_m2, clearance_m3, case_m3;

  /// Below top dead centre; `angle` from there, 0 to 2 pi.
  Real drop(Real angle) const {
    constexpr double kPi = std::numbers::pi;
    const Real cos = cosine_of_turn(angle), sin = sine(angle - Real(kPi)) * Real(-1);
    const Real side = radius_m * sin;
    return radius_m * (1.0 - cos) + rod_m - sqrt(rod_m * rod_m - side * side);
  }
  Real cylinder_m3(Real drop_m) const { return clearance_m3 + piston_m2 * drop_m; }
  Real crankcase_m3(Real drop_m) const { return case_m3 + piston_m2 * (2.0 * radius_m - drop_m); }
};

}  // namespace crankwise::engine
