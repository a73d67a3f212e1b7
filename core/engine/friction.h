// Friction as mean effective pressure: what it takes from the work of a cycle, over the swept volume. Pa, m/s.
#pragma once

#include "core/engine/real.h"

namespace crankwise::engine {

/// constant + by_peak pmax + by_speed Sp + by_speed2 Sp^2 (Chen and Flynn 1965; coefficients in common use, from
/// memory, not confirmed). Four-strokes with plain bearings.
struct ChenFlynn {
  double constant_pa = 0.4e5;
  double by_peak = 0.005;
  double by_speed_pa_s_m = 0.09e5;
  double by_speed2_pa_s2_m2 = 0.0009e5;
};
template <typename Real>
Real chen_flynn_pa(const Real& peak_pa, const Real& piston_mean_m_s, const ChenFlynn& by = {}) {
  return Real(by.constant_pa) + Real(by.by_peak) * peak_pa +
         piston_mean_m_s * (Real(by.by_speed_pa_s_m) + Real(by.by_speed2_pa_s2_m2) * piston_mean_m_s);
}

/// Two-strokes on rolling bearings: 150 Pa for each m of stroke and turn a minute (as Blair, from memory, weak).
inline constexpr double kRollingPaSPerM = 150 * 60.0;
template <typename Real>
Real rolling_friction_pa(const Real& stroke_m, const Real& turns_per_s) {
  return Real(kRollingPaSPerM) * stroke_m * turns_per_s;
}

}  // namespace crankwise::engine
