// Spark: the voltage a gap needs, what the coil or capacitor stores, time to charge, and a slipped key.
//
//   spark_need({.pressure_pa = 10e5, .temperature_k = 600}, 0.6e-3).volts;    // about 12 kV
//
// Paschen for air, with the density taken as that of the pressure at 293 K:
//   V = B q / (ln(A q) - ln(ln(1 + 1 / g))), q = p (293 / T) gap, A = 15 and B = 365 per Torr cm, g = 0.01
// (textbook constants). The least is e B ln(1 + 1 / g) / A. Real plugs need up to 30 % more or less, heavily worn
// ones up to twice as much (trade page).
//
// SI: V, A, ohm, H, F, J, Pa, K, m, s, rad. Preconditions: all above 0.
#pragma once

#include "core/calc/flag.h"

namespace crankwise {

/// In the gap when it fires; compressed() in core/calc/compression.h makes it from ambient air.
struct GapGas {
  double pressure_pa = 101325;
  double temperature_k = 293;
};

struct SparkNeed {
  double volts = 0;
  double low_v = 0;  // 30 % less and more: what the rule is good for
  double high_v = 0;
  CalcFlags flags;  // below_least_spark: the gap is left of Paschen's minimum, which is given instead
};
SparkNeed spark_need(const GapGas&, double gap_m);

/// Correlation for engines, 4.3 + 136 p / T + 324 p gap / T (kV, bar, K, mm). Flag: rule_not_confirmed, always.
SparkNeed spark_need_by_engine_rule(const GapGas&, double gap_m);

/// The widest gap this voltage jumps by spark_need(); 0 if it jumps none.
double widest_gap_m(const GapGas&, double volts);

/// C V^2 / 2
double capacitor_energy_j(double farad, double volts);

struct CoilCharge {
  double current_a = 0;  // V / R (1 - exp(-t R / L))
  double energy_j = 0;   // L I^2 / 2
};
CoilCharge coil_charge(double henry, double ohm, double volts, double seconds);

/// Seconds there are to charge: the share of the time between two sparks.
double dwell_time_s(double crank_rad_s, double sparks_per_turn, double share);

/// How far the timing moves by a slip of that much along an arc: of a key at the shaft, of a mark on a rotor's rim.
double slip_rad(double slip_m, double radius_m);

}  // namespace crankwise
