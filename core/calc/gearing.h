// Gearing, tyres and what the road takes: speed against rpm, top speed, power from acceleration.
//
//   const Gearing fourth{.primary = {62, 22}, .gear = {21, 20}, .final_drive = {48, 14}};
//   road_speed_m_s(fourth, tyre_circumference({0.110, 0.90, 0.4826}).free_m, crank_rad_s);
//
// SI: m, m/s, rad/s, kg, W, N. Preconditions: all above 0.
#pragma once

#include "core/calc/flag.h"

namespace crankwise {

struct ToothPair {
  double driven = 1;
  double driving = 1;
};
struct Gearing {
  ToothPair primary;      // clutch basket over crank gear
  ToothPair gear;         // output over input shaft
  ToothPair final_drive;  // rear over front sprocket
};
/// Turns of the crank for one of the wheel.
double overall_ratio(const Gearing&);

double wheel_rad_s(const Gearing&, double crank_rad_s);
double road_speed_m_s(const Gearing&, double circumference_m, double crank_rad_s);
double crank_for_speed_rad_s(const Gearing&, double circumference_m, double speed_m_s);

/// As on its side: 110/90-19 is 0.110 m, 0.90 and 19 in.
struct TyreSize {
  double width_m = 0;
  double aspect = 0;  // height of the side over width
  double rim_m = 0;   // diameter
};
struct Circumference {
  double free_m = 0;          // pi (rim + 2 width aspect)
  double rolling_low_m = 0;   // 4 % less
  double rolling_high_m = 0;  // 2 % less (common practice): it is flattened under load
};
Circumference tyre_circumference(const TyreSize&);

/// Bike and rider on the level. Flags of all that take it: drag_area_unusual (Cossalter; Katz), rolling_unusual
/// (common practice).
struct RoadLoad {
  double mass_kg = 0;
  double drag_area_m2 = 0.60;  // CdA; 0.3 to 0.5 is typical with rider, up to 0.7
  double rolling = 0.030;      // knobbly tyre on hard ground 0.02 to 0.04
  double air_kg_m3 = 1.2;
  double rotating_share = 0.05;  // of the mass, for wheels and engine
};
CalcFlags road_flags(const RoadLoad&);

/// Crr m g + rho CdA v^2 / 2; speed 0 or more.
double road_drag_n(const RoadLoad&, double speed_m_s);

/// Where the power at the wheel is all used up by the drag.
double top_speed_m_s(const RoadLoad&, double wheel_w);

/// v ((1 + share) m a + drag): power at the wheel while it gains speed.
double wheel_power_w(const RoadLoad&, double speed_m_s, double acceleration_m_s2);

/// How fast speed is lost with the clutch in: drag / ((1 + share) m).
double coast_down_m_s2(const RoadLoad&, double speed_m_s);

}  // namespace crankwise
