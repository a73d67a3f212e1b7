// A reed valve as one petal on a spring: the tip's lift follows the pressure across it, between seat and stop.
#pragma once

#include <numbers>

#include "core/engine/design.h"
#include "core/engine/real.h"

namespace crankwise::engine {

template <typename Real>
struct ReedValve {
  Real window_m2, edge_m, omega_rad_s, damping, lift_m_pa, stop_m, gap_m2;
  Real lift_m = 0, speed_m_s = 0;

  void set(int member, const Reed& r) {
    flow::set_lane(window_m2, member, r.window_m2);
    flow::set_lane(edge_m, member, r.edge_m);
    flow::set_lane(omega_rad_s, member, 2 * std::numbers::pi * r.natural_hz);
    flow::set_lane(damping, member, r.damping);
    flow::set_lane(lift_m_pa, member, r.lift_m_pa);
    flow::set_lane(stop_m, member, r.stop_m);
    flow::set_lane(gap_m2, member, r.gap_m2);
  }
  /// The open area is that under the edges (half of the tip's lift at the sides), at most that of the windows.
  Real area_m2() const {
    const Real under = edge_m * lift_m;
    return gap_m2 + window_m2 * under / (window_m2 + under);
  }
  /// Semi-implicit in the spring, so that no step is too long; it comes to rest where it strikes.
  void move(Real difference_pa, Real dt_s) {
    const Real w = omega_rad_s * dt_s;
    const Real pull = omega_rad_s * omega_rad_s * (difference_pa * lift_m_pa - lift_m);
    speed_m_s = (speed_m_s + dt_s * pull) / (1.0 + 2.0 * damping * w + w * w);
    lift_m += dt_s * speed_m_s;
    const auto low = lift_m<Real(0), high = lift_m> stop_m;
    lift_m = select(low, Real(0), select(high, stop_m, lift_m));
    speed_m_s = select(low, max(speed_m_s, Real(0)), select(high, min(speed_m_s, Real(0)), speed_m_s));
  }
};

}  // namespace crankwise::engine
