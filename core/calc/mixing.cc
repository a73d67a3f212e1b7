#include "core/calc/mixing.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise {

CalcFlags ratio_flags(double ratio) {
  assert(ratio > 0);
  if (ratio > 60) return {CalcFlag::little_oil};
  if (ratio < 20) return {CalcFlag::much_oil};
  if (ratio < 25) return {CalcFlag::running_in_oil};
  return {};
}

double oil_for_fuel(double fuel_m3, double ratio) {
  assert(fuel_m3 >= 0 && ratio > 0);
  return fuel_m3 / ratio;
}

double oil_share(double ratio) {
  assert(ratio > 0);
  return 1 / (ratio + 1);
}

double ratio_of_share(double share) {
  assert(share > 0 && share < 1);
  return (1 - share) / share;
}

Can split_mix(double mix_m3, double ratio) {
  assert(mix_m3 >= 0);
  const double oil = mix_m3 * oil_share(ratio);
  return {mix_m3 - oil, oil};
}

double ratio_of(const Can& can) {
  assert(can.fuel_m3 >= 0 && can.oil_m3 >= 0 && can.fuel_m3 + can.oil_m3 > 0);
  return can.fuel_m3 / can.oil_m3;
}

CanCorrection correct_can(const Can& can, double wanted_ratio) {
  assert(can.fuel_m3 >= 0 && can.oil_m3 >= 0 && wanted_ratio > 0);
  CanCorrection result;
  result.add_oil_m3 = std::max(0.0, can.fuel_m3 / wanted_ratio - can.oil_m3);
  result.add_fuel_m3 = std::max(0.0, can.oil_m3 * wanted_ratio - can.fuel_m3);
  result.after = {can.fuel_m3 + result.add_fuel_m3, can.oil_m3 + result.add_oil_m3};
  result.flags = ratio_flags(wanted_ratio);
  return result;
}

MixChange mixture_after(double from_ratio, double to_ratio) {
  MixChange result{(1 - oil_share(to_ratio)) / (1 - oil_share(from_ratio)), ratio_flags(to_ratio)};
  if (std::abs(result.petrol_factor - 1) >= 0.02) result.flags.push_back(CalcFlag::viscosity_left_out);
  return result;
}

}  // namespace crankwise
