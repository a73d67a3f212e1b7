#include "core/calc/spark.h"

#include <cassert>
#include <cmath>
#include <numbers>

namespace crankwise {
namespace {

using std::numbers::pi;

constexpr double kTorrCm = 101325.0 / 760 * 0.01;  // Pa m
constexpr double kA = 15, kB = 365;                // per Torr cm
constexpr double kReference_k = 293, kTrust = 0.3;

double log_avalanche() { return std::log(1 + 1 / 0.01); }

/// Pressure of the same density at 293 K times the gap, Torr cm.
double density_gap(const GapGas& gas, double gap_m) {
  assert(gas.pressure_pa > 0 && gas.temperature_k > 0 && gap_m >= 0);
  return gas.pressure_pa * kReference_k / gas.temperature_k * gap_m / kTorrCm;
}

double least_q() { return std::numbers::e / kA * log_avalanche(); }

SparkNeed about(double volts) { return {volts, (1 - kTrust) * volts, (1 + kTrust) * volts, {}}; }

}  // namespace

SparkNeed spark_need(const GapGas& gas, double gap_m) {
  assert(gap_m > 0);
  const double q = density_gap(gas, gap_m);
  if (q >= least_q()) return about(kB * q / (std::log(kA * q) - std::log(log_avalanche())));
  SparkNeed out = about(kB * least_q());  // there the divisor is 1
  out.flags.push_back(CalcFlag::below_least_spark);
  return out;
}

SparkNeed spark_need_by_engine_rule(const GapGas& gas, double gap_m) {
  assert(gas.pressure_pa > 0 && gas.temperature_k > 0 && gap_m > 0);
  const double bar_per_k = gas.pressure_pa / 1e5 / gas.temperature_k;
  SparkNeed out = about(1e3 * (4.3 + 136 * bar_per_k + 324 * bar_per_k * gap_m * 1e3));
  out.flags.push_back(CalcFlag::rule_not_confirmed);
  return out;
}

double widest_gap_m(const GapGas& gas, double volts) {
  assert(volts > 0);
  const double one_m = density_gap(gas, 1);
  double low = least_q() / one_m, high = low;
  if (spark_need(gas, low).volts > volts) return 0;
  while (spark_need(gas, high).volts <= volts) high *= 2;
  for (int k = 0; k < 60; ++k) {
    const double middle = (low + high) / 2;
    (spark_need(gas, middle).volts <= volts ? low : high) = middle;
  }
  return low;
}

double capacitor_energy_j(double farad, double volts) {
  assert(farad > 0 && volts >= 0);
  return farad * volts * volts / 2;
}

CoilCharge coil_charge(double henry, double ohm, double volts, double seconds) {
  assert(henry > 0 && ohm > 0 && volts > 0 && seconds >= 0);
  const double current = -volts / ohm * std::expm1(-seconds * ohm / henry);
  return {current, henry * current * current / 2};
}

double dwell_time_s(double crank_rad_s, double sparks_per_turn, double share) {
  assert(crank_rad_s > 0 && sparks_per_turn > 0 && share > 0 && share <= 1);
  return share * 2 * pi / crank_rad_s / sparks_per_turn;
}

double slip_rad(double slip_m, double radius_m) {
  assert(slip_m >= 0 && radius_m > 0);
  return slip_m / radius_m;
}

}  // namespace crankwise
