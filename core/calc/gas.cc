#include "core/calc/gas.h"

#include <cassert>
#include <cmath>

namespace crankwise {

double sound_speed_m_s(const Gas& gas, double temperature_k) {
  assert(gas.gamma > 1 && gas.constant_j_kg_k > 0 && temperature_k > 0);
  return std::sqrt(gas.gamma * gas.constant_j_kg_k * temperature_k);
}

Isentropic isentropic(double gamma, double mach) {
  assert(gamma > 1 && mach > 0);
  const double t = 1 / (1 + (gamma - 1) / 2 * mach * mach), throat = 2 / (gamma + 1);
  const double power = (gamma + 1) / (2 * (gamma - 1));
  return {std::pow(t, gamma / (gamma - 1)), t, std::pow(t, 1 / (gamma - 1)), std::pow(throat / t, power) / mach};
}

double critical_pressure_ratio(double gamma) { return isentropic(gamma, 1).pressure; }

HoleFlow hole_flow(const Gas& gas, double area_m2, double discharge, double from_pa, double from_k, double to_pa) {
  assert(area_m2 >= 0 && discharge > 0 && from_k > 0 && to_pa > 0 && from_pa >= to_pa);
  const double ratio = to_pa / from_pa, g = gas.gamma;
  if (ratio == 1) return {};
  const bool choked = ratio <= critical_pressure_ratio(g);
  const double mach = choked ? 1 : std::sqrt(2 / (g - 1) * std::expm1(-(g - 1) / g * std::log(ratio)));
  const Isentropic throat = isentropic(g, mach);
  const double density = from_pa / (gas.constant_j_kg_k * from_k) * throat.density;
  const double speed = mach * sound_speed_m_s(gas, from_k * throat.temperature);
  return {discharge * area_m2 * density * speed, choked};
}

}  // namespace crankwise
