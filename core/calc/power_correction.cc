#include "core/calc/power_correction.h"

#include <cassert>
#include <cmath>

namespace crankwise {
namespace {

constexpr double kInHg = 3386.389;  // Pa

double factor_by(PowerRule rule, const MoistAir& air) {
  const double t = air.temperature_k, dry = air.dry_pressure_pa();
  switch (rule) {
    case PowerRule::j1349:
      return 1.18 * (99e3 / dry) * std::sqrt(t / 298.15) - 0.18;
    case PowerRule::iso1585:
      return std::pow(99e3 / dry, 1.2) * std::pow(t / 298.15, 0.6);
    case PowerRule::din70020:
      return 101325 / air.pressure_pa * std::sqrt(t / 293.15);
    case PowerRule::j607:
      return 29.92 * kInHg / dry * std::sqrt(t / (519.67 / 1.8));
    case PowerRule::density:
      return kStandardDensity / air.dry_density_kg_m3;
  }
  return 1;
}

}  // namespace

const char* name(PowerRule rule) {
  switch (rule) {
    case PowerRule::j1349:
      return "SAE J1349";
    case PowerRule::iso1585:
      return "ISO 1585";
    case PowerRule::din70020:
      return "DIN 70020";
    case PowerRule::j607:
      return "SAE J607";
    case PowerRule::density:
      return "dry air density";
  }
  return "";
}

PowerCorrection power_correction(PowerRule rule, const MoistAir& air, Cycle cycle) {
  assert(air.temperature_k > 0 && air.dry_pressure_pa() > 0);
  PowerCorrection result{rule, factor_by(rule, air), {}};
  if (result.factor < 0.93 || result.factor > 1.07) {
    const bool limited = rule == PowerRule::j1349 || rule == PowerRule::iso1585;
    result.flags.push_back(limited ? CalcFlag::outside_power_rule : CalcFlag::large_power_correction);
  }
  if (cycle == Cycle::two_stroke && rule != PowerRule::density) result.flags.push_back(CalcFlag::rule_for_four_strokes);
  return result;
}

PowerAtHeight power_at_height(double geopotential_m) {
  PowerAtHeight result{
      standard_air(geopotential_m).density_kg_m3 / kStandardDensity, 1 - 0.03 * geopotential_m / 304.8, {}};
  if (geopotential_m < 0 || geopotential_m > 3000) result.flags.push_back(CalcFlag::height_rule_unchecked);
  return result;
}

}  // namespace crankwise
