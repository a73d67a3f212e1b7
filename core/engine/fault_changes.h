// The changes that several faults share: severity 0 to 1 on a design.
#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/engine/faults.h"

namespace crankwise::engine {

inline constexpr double kDegree = std::numbers::pi / 180;
inline constexpr double kMm2 = 1e-6;

inline void retard(Design& d, double rad) {
  for (auto& point : d.burn.spark_rad.points) point.y -= rad;
}
inline void weaken_spark(Design& d, double s) { d.burn.spark *= 1 - 0.9 * s; }
inline void narrow_end(Design& d, double s) { d.tail_open *= 1 - 0.93 * s; }
inline void leak_intake(Design& d, double s) {
  d.leaks.intake_m2 += 60 * kMm2 * s;
}  // a joint open by half a millimetre
inline void leak_case(Design& d, double s) { d.leaks.case_m2 += 25 * kMm2 * s; }
inline void leak_head(Design& d, double s) { d.leaks.head_m2 += 2.5 * kMm2 * s; }
inline void leak_rings(Design& d, double s) { d.leaks.rings_m2 += 1.2 * kMm2 * s; }
inline void short_of_fuel(Design& d, double s) {
  // A sound tap brings a litre in a minute and more; nearly shut, little.
  d.mixture.supply_kg_s = std::min(d.mixture.supply_kg_s, 0.012 * (1 - s) * (1 - s) + 1e-5);
}
inline void inject(Design& d, double share) { d.mixture.injected_share *= share; }
inline void open_gap(Reed& r, double m2) { r.gap_m2 += m2; }
inline void lift(Valve& v, double change_m) {
  const double before = v.lift_m;
  v.lift_m = std::max(0.001, before + change_m);
  // A wide clearance takes time off both ends.
  const double angle = (v.lift_m - before) / before * 40 * kDegree;
  v.opens_rad += angle;
  v.closes_rad += angle;
}
inline void late_cams(Design& d, double rad) {
  for (Valve* v : {&d.four.inlet, &d.four.exhaust}) {
    v->opens_rad -= rad;
    v->closes_rad += rad;
  }
}
inline void miss(Design& d, double s) { d.burn.missing = 1 - (1 - d.burn.missing) * (1 - s); }
inline void raise_fuel(Design& d, double s) { d.mixture.jets.lip_m -= 0.008 * s; }
inline void shut_throttle(Design& d, double s) {
  d.throttle.open *= 1 - 0.85 * s;
  d.mixture.jets.needle_m2 *= 1 - 0.85 * s;  // the needle hangs on the slide
}
inline void lower_valve(Design& d, double s) {
  double& port = d.two.exhaust_port.opens_rad;
  port += s * (d.two.exhaust_valve.low_opens_rad - port);
}
inline void late_valve(Design& d, double s) {
  d.two.exhaust_valve.rises_rpm += 3000 * s;
  d.two.exhaust_valve.up_rpm += 3000 * s;
}
/// The middle 60 mm of the longest stretch in the first half of the exhaust lose this share of their area.
inline void dent(Design& d, double share) {
  double length = 0, at = 0;
  for (const auto& s : d.exhaust) length += s.length_m;
  size_t longest = 0;
  for (size_t i = 0; i < d.exhaust.size(); ++i) {
    if (at < length / 2 && d.exhaust[i].length_m > d.exhaust[longest].length_m) longest = i;
    at += d.exhaust[i].length_m;
  }
  const flow::Stretch whole = d.exhaust[longest];
  const double wide = std::min(0.06, 0.4 * whole.length_m), before = 0.5 * (whole.length_m - wide);
  const auto bore = [&](double x) { return whole.from_m + (whole.to_m - whole.from_m) * x / whole.length_m; };
  const double narrow = bore(whole.length_m / 2) * std::sqrt(1 - share);
  d.exhaust[longest] = {before, whole.from_m, bore(before), whole.wall_k};
  const auto next = d.exhaust.begin() + static_cast<std::ptrdiff_t>(longest) + 1;
  d.exhaust.insert(next, {{wide / 2, bore(before), narrow, whole.wall_k},
                          {wide / 2, narrow, bore(before + wide), whole.wall_k},
                          {before, bore(before + wide), whole.to_m, whole.wall_k}});
}

}  // namespace crankwise::engine
