#include "core/calc/leak.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numbers>

#include "core/calc/gas.h"

namespace crankwise {
namespace {

using std::numbers::pi;

// Small-engine factory test (read): 3 psi, never above 7; rounded outward.
constexpr double kSealLimit_pa = 48264, kUsualLeast_pa = 20684;
constexpr double kDeepest_pa = -24e3;  // common practice

/// kg/s through 1 m2.
double flux(double from_pa, double to_pa, double kelvin) {
  return hole_flow(kDryAir, 1, 1, from_pa, kelvin, to_pa).kg_s;
}

/// Leak area over orifice area that holds this gauge pressure; 0 < held.
double area_ratio(const LeakTester& t, double held_pa) {
  const double ambient = t.air.ambient_pa, held = ambient + held_pa;
  return flux(ambient + t.regulated_pa, held, t.air.temperature_k) / flux(held, ambient, t.air.temperature_k);
}

[[maybe_unused]] bool good(const LeakTester& t) {
  return t.orifice_m > 0 && t.regulated_pa > 0 && t.air.ambient_pa > 0 && t.air.temperature_k > 0;
}

}  // namespace

double free_air_through_m3_s(double hole_m, double discharge, double from_pa, double to_pa, const FreeAir& air) {
  const HoleFlow flow = hole_flow(kDryAir, pi / 4 * hole_m * hole_m, discharge, from_pa, air.temperature_k, to_pa);
  return flow.kg_s * kDryAir.constant_j_kg_k * air.temperature_k / air.ambient_pa;
}

double hole_for_free_air_m(double flow_m3_s, double discharge, double from_pa, double to_pa, const FreeAir& air) {
  assert(flow_m3_s >= 0 && from_pa > to_pa);
  return std::sqrt(flow_m3_s / free_air_through_m3_s(1, discharge, from_pa, to_pa, air));
}

LeakDown leak_down(const LeakTester& tester, double held_pa) {
  assert(good(tester) && held_pa >= 0 && held_pa <= tester.regulated_pa);
  LeakDown out{
      .held_pa = held_pa, .loss = 1 - held_pa / tester.regulated_pa, .hole_m = 0, .area_ratio = 0, .flags = {}};
  if (held_pa == 0) {
    out.hole_m = out.area_ratio = std::numeric_limits<double>::infinity();
    out.flags.push_back(CalcFlag::nothing_held);
  } else {
    out.area_ratio = area_ratio(tester, held_pa);
    out.hole_m = tester.orifice_m * std::sqrt(out.area_ratio);
  }
  return out;
}

LeakDown leak_down_of_hole(const LeakTester& tester, double hole_m) {
  assert(good(tester) && hole_m >= 0);
  const double wanted = hole_m * hole_m / (tester.orifice_m * tester.orifice_m);
  double low = 0, high = tester.regulated_pa;  // the ratio falls as more is held
  for (int k = 0; k < 100; ++k) {
    const double middle = (low + high) / 2;
    (area_ratio(tester, middle) > wanted ? low : high) = middle;
  }
  return leak_down(tester, hole_m == 0 ? tester.regulated_pa : high);
}

LeakDown on_other_tester(const LeakDown& reading, const LeakTester& other) {
  if (has(reading.flags, CalcFlag::nothing_held)) return leak_down(other, 0);
  return leak_down_of_hole(other, reading.hole_m);
}

double cooling_loss_pa(double pressure_pa, double temperature_k, double cooled_k) {
  assert(pressure_pa > 0 && temperature_k > 0 && cooled_k < temperature_k);
  return pressure_pa * cooled_k / temperature_k;
}

CaseLeak case_leak(const CaseTest& test) {
  const double ambient = test.air.ambient_pa, start = ambient + test.start_pa, end = ambient + test.end_pa;
  assert(test.volume_m3 > 0 && test.seconds > 0 && start > 0 && end > 0);
  assert(test.start_pa != 0 && test.end_pa / test.start_pa >= 0);
  const double toward = test.start_pa > 0 ? -1 : 1;  // sign of a change of pressure toward ambient
  CaseLeak out;
  out.loss_pa_s = toward * (end - start) / test.seconds;
  out.cooling_pa = cooling_loss_pa(start, test.air.temperature_k, test.cooled_k);
  out.leak_pa_s = toward * (end - start + out.cooling_pa) / test.seconds;
  if (out.leak_pa_s <= 0) {
    if (out.loss_pa_s > 0) out.flags.push_back(CalcFlag::all_by_cooling);
    out.leak_pa_s = 0;
  }
  out.free_air_m3_s = test.volume_m3 * out.leak_pa_s / ambient;
  const double mean = (start + end) / 2, higher = std::max(mean, ambient), lower = std::min(mean, ambient);
  out.hole_m = hole_for_free_air_m(out.free_air_m3_s, test.discharge, higher, lower, test.air);
  if (test.end_pa == 0) out.flags.push_back(CalcFlag::nothing_held);
  if (test.start_pa > kSealLimit_pa) out.flags.push_back(CalcFlag::case_pressure_high);
  if (test.start_pa > 0 && test.start_pa < kUsualLeast_pa) out.flags.push_back(CalcFlag::case_pressure_low);
  if (test.start_pa < kDeepest_pa) out.flags.push_back(CalcFlag::case_vacuum_deep);
  return out;
}

double engine_air_m3_s(double displacement_m3, double crank_rad_s, double delivery_ratio) {
  assert(displacement_m3 > 0 && crank_rad_s > 0 && delivery_ratio > 0);
  return displacement_m3 * delivery_ratio * crank_rad_s / (2 * pi);
}

}  // namespace crankwise
