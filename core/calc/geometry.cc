#include "core/calc/geometry.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise {
namespace {

using std::numbers::pi;

// Jennings 1973, as quoted on a page.
constexpr double kWidestSquish_m = 1.5e-3, kTightestSquish_m = 0.4e-3, kMostTrapped = 9.5;

[[maybe_unused]] bool good(const CrankTrain& t) { return t.bore_m > 0 && t.stroke_m > 0 && t.rod_m > t.stroke_m / 2; }

double bore_area(const CrankTrain& t) { return pi / 4 * t.bore_m * t.bore_m; }

void judge_squish(double squish_m, CalcFlags& flags) {
  if (squish_m > kWidestSquish_m) flags.push_back(CalcFlag::squish_too_wide);
  if (squish_m < kTightestSquish_m) flags.push_back(CalcFlag::squish_too_tight);
}

/// Where f, which rises and then falls between low and high, is greatest.
template <class F>
double top_of(double low, double high, F f) {
  for (int k = 0; k < 100; ++k) {
    const double third = (high - low) / 3;
    if (f(low + third) < f(high - third)) {
      low += third;
    } else {
      high -= third;
    }
  }
  return (low + high) / 2;
}

/// Integral of the uncovered height from one angle to another, both between opening and bottom dead centre (Simpson).
double height_over_angle(const CrankTrain& train, double opens_rad, double until_rad) {
  constexpr int kSteps = 200;
  const double edge = piston_drop_m(train, opens_rad), step = (until_rad - opens_rad) / kSteps;
  double sum = 0;
  for (int k = 0; k <= kSteps; ++k) {
    const double weight = k == 0 || k == kSteps ? 1 : k % 2 ? 4 : 2;
    sum += weight * (piston_drop_m(train, opens_rad + k * step) - edge);
  }
  return sum * step / 3;
}

TimeArea time_area(const CrankTrain& train, double angle_area_m2_rad, double crank_rad_s) {
  const double time = angle_area_m2_rad / crank_rad_s;
  return {angle_area_m2_rad, time, time / displacement_m3(train.bore_m, train.stroke_m)};
}

}  // namespace

double displacement_m3(double bore_m, double stroke_m) {
  assert(bore_m > 0 && stroke_m > 0);
  return pi / 4 * bore_m * bore_m * stroke_m;
}

double piston_drop_m(const CrankTrain& train, double crank_rad) {
  assert(good(train));
  const double r = train.stroke_m / 2, l = train.rod_m;
  const double half = std::sin(crank_rad / 2), side = r * std::sin(crank_rad);
  return 2 * r * half * half + side * side / (l + std::sqrt(l * l - side * side));
}

double crank_at_drop_rad(const CrankTrain& train, double drop_m) {
  assert(good(train) && drop_m >= 0 && drop_m <= train.stroke_m);
  // From the law of cosines, by the half angle: acos would lose half the digits near the dead centres.
  const double r = train.stroke_m / 2, l = train.rod_m;
  const double square = drop_m * (2 * l - drop_m) / (4 * r * (l + r - drop_m));
  return 2 * std::asin(std::sqrt(std::min(square, 1.0)));
}

double piston_speed_at_m_s(const CrankTrain& train, double crank_rad, double crank_rad_s) {
  assert(good(train) && crank_rad_s >= 0);
  const double r = train.stroke_m / 2, l = train.rod_m, side = r * std::sin(crank_rad);
  return crank_rad_s * std::abs(side * (1 + r * std::cos(crank_rad) / std::sqrt(l * l - side * side)));
}

PistonSpeed piston_speed(const CrankTrain& train, double crank_rad_s) {
  const auto at = [&](double a) { return piston_speed_at_m_s(train, a, crank_rad_s); };
  const double top = top_of(0, pi, at);
  return {train.stroke_m * crank_rad_s / pi, at(top), top};
}

CompressionRatios compression_ratios(const CrankTrain& train, double clearance_m3, double closes_rad) {
  assert(clearance_m3 > 0 && closes_rad > 0 && closes_rad <= pi);
  CompressionRatios out;
  out.swept_m3 = displacement_m3(train.bore_m, train.stroke_m);
  out.trapped_stroke_m = piston_drop_m(train, closes_rad);
  out.trapped_m3 = bore_area(train) * out.trapped_stroke_m;
  out.full = 1 + out.swept_m3 / clearance_m3;
  out.trapped = 1 + out.trapped_m3 / clearance_m3;
  if (closes_rad < pi && out.trapped > kMostTrapped) out.flags.push_back(CalcFlag::trapped_ratio_high);
  return out;
}

double clearance_from_ratio_m3(double swept_m3, double ratio) {
  assert(swept_m3 > 0 && ratio > 1);
  return swept_m3 / (ratio - 1);
}

ChangedTopEnd change_top_end(const TopEnd& before, const TopEndChange& change) {
  const double lift = change.base_gasket_m, more = lift + change.head_gasket_m - change.head_cut_m;
  const auto moved = [&](double opens_rad) {
    if (opens_rad >= pi) return pi;
    const double drop = piston_drop_m(before.train, opens_rad) - lift;
    return crank_at_drop_rad(before.train, std::clamp(drop, 0.0, before.train.stroke_m));
  };
  ChangedTopEnd out{.after = before, .ratios = {}, .flags = {}};
  out.after.clearance_m3 += more * bore_area(before.train);
  out.after.squish_m += more;
  out.after.exhaust_opens_rad = moved(before.exhaust_opens_rad);
  out.after.transfer_opens_rad = moved(before.transfer_opens_rad);
  if (out.after.clearance_m3 <= 0 || out.after.squish_m <= 0) {
    out.flags.push_back(CalcFlag::piston_meets_head);
    return out;
  }
  out.ratios = compression_ratios(before.train, out.after.clearance_m3, out.after.exhaust_opens_rad);
  if (before.exhaust_opens_rad < pi) judge_squish(out.after.squish_m, out.flags);
  return out;
}

PortTiming port_at_drop(const CrankTrain& train, double drop_m) {
  assert(drop_m > 0 && drop_m < train.stroke_m);
  const double opens = crank_at_drop_rad(train, drop_m);
  return {opens, 2 * (pi - opens), drop_m, train.stroke_m - drop_m};
}

PortTiming port_opening_at(const CrankTrain& train, double opens_rad) {
  assert(opens_rad > 0 && opens_rad < pi);
  const double drop = piston_drop_m(train, opens_rad);
  return {opens_rad, 2 * (pi - opens_rad), drop, train.stroke_m - drop};
}

PortTiming port_of_duration(const CrankTrain& train, double duration_rad) {
  return port_opening_at(train, pi - duration_rad / 2);
}

TimeArea port_time_area(const CrankTrain& train, double opens_rad, double width_m, double crank_rad_s) {
  assert(opens_rad > 0 && opens_rad < pi && width_m > 0 && crank_rad_s > 0);
  return time_area(train, 2 * width_m * height_over_angle(train, opens_rad, pi), crank_rad_s);
}

TimeArea blowdown_time_area(const CrankTrain& train, double exhaust_opens_rad, double transfer_opens_rad,
                            double width_m, double crank_rad_s) {
  assert(exhaust_opens_rad > 0 && exhaust_opens_rad <= transfer_opens_rad && transfer_opens_rad <= pi);
  assert(width_m > 0 && crank_rad_s > 0);
  return time_area(train, width_m * height_over_angle(train, exhaust_opens_rad, transfer_opens_rad), crank_rad_s);
}

double squish_speed_m_s(const SquishBand& band, double before_tdc_rad, double crank_rad_s) {
  assert(band.bowl_diameter_m > 0 && band.bowl_diameter_m < band.train.bore_m && band.bowl_m3 > 0 && band.gap_m > 0);
  const double z = band.gap_m + piston_drop_m(band.train, before_tdc_rad);
  const double wider = band.train.bore_m / band.bowl_diameter_m;
  return piston_speed_at_m_s(band.train, before_tdc_rad, crank_rad_s) * band.bowl_diameter_m / (4 * z) *
         (wider * wider - 1) * band.bowl_m3 / (bore_area(band.train) * z + band.bowl_m3);
}

SquishPeak squish_peak(const SquishBand& band, double crank_rad_s) {
  const auto at = [&](double a) { return squish_speed_m_s(band, a, crank_rad_s); };
  SquishPeak out;
  out.before_tdc_rad = top_of(0, pi, at);
  out.speed_m_s = at(out.before_tdc_rad);
  judge_squish(band.gap_m, out.flags);
  return out;
}

}  // namespace crankwise
