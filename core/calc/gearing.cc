#include "core/calc/gearing.h"

#include <cassert>
#include <numbers>

namespace crankwise {
namespace {

using std::numbers::pi;

double ratio(const ToothPair& pair) {
  assert(pair.driven > 0 && pair.driving > 0);
  return pair.driven / pair.driving;
}

double moved_mass(const RoadLoad& load) { return (1 + load.rotating_share) * load.mass_kg; }

}  // namespace

double overall_ratio(const Gearing& g) { return ratio(g.primary) * ratio(g.gear) * ratio(g.final_drive); }

double wheel_rad_s(const Gearing& gearing, double crank_rad_s) {
  assert(crank_rad_s >= 0);
  return crank_rad_s / overall_ratio(gearing);
}

double road_speed_m_s(const Gearing& gearing, double circumference_m, double crank_rad_s) {
  assert(circumference_m > 0);
  return wheel_rad_s(gearing, crank_rad_s) / (2 * pi) * circumference_m;
}

double crank_for_speed_rad_s(const Gearing& gearing, double circumference_m, double speed_m_s) {
  assert(circumference_m > 0 && speed_m_s >= 0);
  return speed_m_s / circumference_m * 2 * pi * overall_ratio(gearing);
}

Circumference tyre_circumference(const TyreSize& tyre) {
  assert(tyre.width_m > 0 && tyre.aspect > 0 && tyre.rim_m > 0);
  const double free = pi * (tyre.rim_m + 2 * tyre.width_m * tyre.aspect);
  return {free, 0.96 * free, 0.98 * free};
}

CalcFlags road_flags(const RoadLoad& load) {
  CalcFlags flags;
  if (load.drag_area_m2 < 0.18 || load.drag_area_m2 > 0.7) flags.push_back(CalcFlag::drag_area_unusual);
  if (load.rolling < 0.012 || load.rolling > 0.3) flags.push_back(CalcFlag::rolling_unusual);
  return flags;
}

double road_drag_n(const RoadLoad& load, double speed_m_s) {
  assert(load.mass_kg > 0 && load.drag_area_m2 > 0 && load.rolling >= 0 && load.air_kg_m3 > 0 && speed_m_s >= 0);
  constexpr double kGravity = 9.80665;
  return load.rolling * load.mass_kg * kGravity + load.air_kg_m3 * load.drag_area_m2 * speed_m_s * speed_m_s / 2;
}

double top_speed_m_s(const RoadLoad& load, double wheel_w) {
  assert(wheel_w > 0);
  double low = 0, high = 1;
  while (high * road_drag_n(load, high) < wheel_w) high *= 2;
  for (int k = 0; k < 60; ++k) {
    const double middle = (low + high) / 2;
    (middle * road_drag_n(load, middle) < wheel_w ? low : high) = middle;
  }
  return (low + high) / 2;
}

double wheel_power_w(const RoadLoad& load, double speed_m_s, double acceleration_m_s2) {
  assert(load.rotating_share >= 0);
  return speed_m_s * (moved_mass(load) * acceleration_m_s2 + road_drag_n(load, speed_m_s));
}

double coast_down_m_s2(const RoadLoad& load, double speed_m_s) {
  assert(load.rotating_share >= 0);
  return road_drag_n(load, speed_m_s) / moved_mass(load);
}

}  // namespace crankwise
