// The compression gauge: what it should show, and what a reading would be at sea level with no hose.
//
//   GaugeTest test{.trapped_m3 = 61.8e-6, .clearance_m3 = 9.0e-6, .ambient_pa = 84556, .dead_m3 = 3e-6};
//   expected_gauge(test).gauge_pa;
//
// Ideal, no leak: p_gauge = p_ambient (ratio^n - 1), ratio = (trapped + clearance + dead) / (clearance + dead). The
// exponent n is 1.20 to 1.30 when an engine is kicked over (common practice): lower when slow and cold, as more heat is
// lost on the way. `trapped_m3` is what is swept after the port, the valve or the decompressor has closed
// (compression_ratios() in core/calc/geometry.h); a gauge follows that, not the full stroke.
//
// SI: Pa, K, m3. Preconditions: volumes, pressures and exponent above 0 (dead volume and readings 0 or more).
#pragma once

#include "core/calc/flag.h"

namespace crankwise {

struct CompressedGas {
  double pressure_pa = 0;
  double temperature_k = 0;
};
/// p V^n = const: p ratio^n, T ratio^(n - 1). Ratio 1 or more.
CompressedGas compressed(double pressure_pa, double temperature_k, double ratio, double exponent);

struct GaugeTest {
  double trapped_m3 = 0;
  double clearance_m3 = 0;
  double ambient_pa = 101325;  // where the test is made, not reduced to sea level
  double exponent = 1.25;
  double dead_m3 = 0;  // hose and gauge before the check valve: none if that sits at the plug end
  bool decompressor = false;
};

struct ExpectedGauge {
  double gauge_pa = 0;
  double low_pa = 0;   // with exponent 1.20
  double high_pa = 0;  // with 1.30
  double ratio = 0;    // that the gauge sees, dead volume in it
  CalcFlags flags;     // exponent_unusual, ambient_unusual, decompressor_at_work
};
ExpectedGauge expected_gauge(const GaugeTest&);

struct CorrectedGauge {
  double share = 0;         // of what is expected
  double sea_level_pa = 0;  // the same share of what is expected at 101 325 Pa with no dead volume
  CalcFlags flags;          // as expected_gauge()
};
/// With no dead volume this is the plain altitude rule, reading * 101 325 / ambient.
CorrectedGauge corrected_gauge(const GaugeTest&, double gauge_pa);

}  // namespace crankwise
