// The ohm meter on the bench: temperature of copper, what the meter can tell, sensors by table, volts scaled and lost.
//
//   const Span cold{720, 1080};                                    // ohm at 20 C, from the handbook
//   judge_reading({.reading = 1130, .leads = 0.3}, scaled(cold, copper_factor(293.15, 333.15).value), Meter{});
//
// SI: ohm, V, A, K, m. Preconditions: temperatures above 0 K, readings 0 or more, spans with 0 < low <= high.
#pragma once

#include <optional>
#include <vector>

#include "core/calc/flag.h"

namespace crankwise {

/// A value and what is to be said about it.
struct Flagged {
  double value = 0;
  CalcFlags flags;
};

/// Limits, in whatever the reading is in.
struct Span {
  double low = 0;
  double high = 0;
};
Span scaled(const Span&, double factor);

/// Resistance of a copper winding at one temperature over that at another: (234.5 + t) / (234.5 + t0) in C (IEC 60028).
/// Flag: copper_far_from_room, outside -50 to 150 C (common practice).
Flagged copper_factor(double from_k, double to_k);

/// What the meter's own sheet says; the defaults are a usual hand meter (common practice).
struct Meter {
  double share = 0.008;  // of the reading
  double digits = 2;     // of the last place
  double step = 0.1;     // what one digit is worth in the range used
};
/// Either way: share * reading + digits * step.
double meter_error(const Meter&, double reading);

struct MeterReading {
  double reading = 0;
  std::optional<double> leads;  // reading with the test leads shorted; nothing if not done
};
enum class MeterVerdict { too_low, within, too_high, cannot_tell };
struct Judged {
  Span truth;  // where the value itself must lie; low is not below 0
  MeterVerdict verdict = MeterVerdict::cannot_tell;
  CalcFlags flags;  // meter_too_coarse: not even the middle of the limits could be seen to pass;
                    // leads_not_subtracted
};
/// Leads that were read are subtracted; their error adds in quadrature (GUM). Leads that were not take 0.1 to 0.5 ohm
/// off (common practice). The verdict is sure: anything that the meter leaves open is cannot_tell.
Judged judge_reading(const MeterReading&, const Span& limits, const Meter&);

/// Sensor whose resistance falls with temperature (NTC). Rows by rising temperature, falling resistance; at least two.
struct NtcRow {
  double kelvin = 0;
  double ohm = 0;
};
using NtcTable = std::vector<NtcRow>;

/// ln R runs straight over 1/T between two rows; beyond the ends, like the last two rows, though
/// a temperature is held between half the first and twice the last. No one beta is put on the whole
/// sensor: real tables do not keep it. Flags: outside_table; table_uneven, where the betas on both sides of a row that
/// bounds this stretch differ by more than a fifth.
Flagged ntc_ohm(const NtcTable&, double kelvin);
Flagged ntc_kelvin(const NtcTable&, double ohm);

/// ln(R1 / R2) / (1/T1 - 1/T2), K.
double beta_k(const NtcRow&, const NtcRow&);

/// Output limits of a throttle sensor at another supply: they go with it. Flag: supply_unusual (factory figure).
struct ScaledSpan {
  Span span;
  CalcFlags flags;
};
ScaledSpan at_supply(const Span& limits_v, double specified_v, double supply_v);

/// Volts lost along a copper wire: rho length current / area, rho = 1/58 ohm mm2/m at 20 C (IEC 60028, from memory).
/// Length there and back, if both are of that wire.
Flagged wire_drop_v(double length_m, double area_m2, double current_a, double kelvin);

}  // namespace crankwise
