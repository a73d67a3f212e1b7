// How far ports and poppet valves are open.
#pragma once

#include <numbers>

#include "core/engine/crank.h"
#include "core/engine/design.h"

namespace crankwise::engine {

/// A port in the barrel, opened by the edge of the piston.
template <typename Real>
struct PortGate {
  Real top_m, width_m, height_m;  // top: below top dead centre; width with the discharge in it

  void set(int member, const Port& port, const CrankTrain& train, double opens_rad) {
    const double top = piston_drop_m(train, opens_rad);
    flow::set_lane(top_m, member, top);
    flow::set_lane(width_m, member, port.width_m * port.discharge);
    flow::set_lane(height_m, member, train.stroke_m - top);
  }
  Real area_m2(Real drop_m) const { return width_m * min(max(drop_m - top_m, Real(0)), height_m); }
};

/// Poppet valves of one kind. The lift follows a cosine squared over the open angle; the area is the curtain's, at most
/// that of the seats.
template <typename Real>
struct ValveGate {
  Real opens_rad, length_rad;  // from top dead centre of the working stroke, 0 to 4 pi
  Real lift_m, curtain_m, seat_m2, leak_m2;

  void set(int member, const Valve& v, double opens_at_rad, double length) {
    flow::set_lane(opens_rad, member, opens_at_rad);
    flow::set_lane(length_rad, member, length);
    flow::set_lane(lift_m, member, v.lift_m);
    flow::set_lane(curtain_m, member, v.count * std::numbers::pi * v.head_m * v.discharge);
    flow::set_lane(seat_m2, member, v.count * std::numbers::pi / 4 * v.head_m * v.head_m * 0.8 * v.discharge);
    flow::set_lane(leak_m2, member, v.leak_m2);
  }
  /// `angle`: 0 to 4 pi.
  Real area_m2(Real angle) const {
    constexpr double kPi = std::numbers::pi;
    Real since = angle - opens_rad;
    since = since + select(since < Real(0), Real(4 * kPi), Real(0));
    const Real share = min(since / length_rad, Real(1));
    const Real s = sine(kPi * share - Real(kPi) * select(share > Real(0.5), Real(1), Real(0)));
    const Real curtain = curtain_m * lift_m * s * s;
    return leak_m2 + min(curtain, seat_m2);
  }
};

}  // namespace crankwise::engine
