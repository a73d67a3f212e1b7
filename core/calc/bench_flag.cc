#include "core/calc/bench_flag.h"

#include <algorithm>

namespace crankwise {

const char* in_words(BenchFlag flag) {
  switch (flag) {
    case BenchFlag::squish_too_wide:
      return "squish over 1.5 mm does nothing";
    case BenchFlag::squish_too_tight:
      return "squish under 0.4 mm: the piston can touch the head at speed";
    case BenchFlag::trapped_ratio_high:
      return "trapped ratio over 9.5 is more than a two-stroke on pump petrol stands";
    case BenchFlag::piston_meets_head:
      return "the piston would hit the head: do not turn the engine over";
    case BenchFlag::exponent_unusual:
      return "exponent outside 1.20 to 1.30, the range of an engine kicked over";
    case BenchFlag::ambient_unusual:
      return "air pressure outside 50 to 110 kPa: mixed up with the weather report's sea-level figure or a unit?";
    case BenchFlag::decompressor_at_work:
      return "a decompressor makes this figure nearly useless: use a leak-down test";
    case BenchFlag::nothing_held:
      return "no pressure held: the leak is too large to be told from an open hole";
    case BenchFlag::case_pressure_high:
      return "over 7 psi can push the crank seals out: let it down";
    case BenchFlag::case_pressure_low:
      return "under 3 psi is less than the usual tests ask for";
    case BenchFlag::case_vacuum_deep:
      return "deeper than 24 kPa (7 inHg) is more than the usual tests ask for";
    case BenchFlag::all_by_cooling:
      return "cooling alone explains the loss: test again at one temperature";
    case BenchFlag::copper_far_from_room:
      return "temperature outside -50 to 150 C: the straight-line rule for copper is not meant for it";
    case BenchFlag::meter_too_coarse:
      return "too small for this meter: use a milliohm meter or swap in a known good part";
    case BenchFlag::leads_not_subtracted:
      return "short the test leads, read them and subtract: they add 0.1 to 0.5 ohm";
    case BenchFlag::outside_table:
      return "outside the table: carried on from its last two entries";
    case BenchFlag::table_uneven:
      return "the table bends sharply here: one entry may be a misprint";
    case BenchFlag::supply_unusual:
      return "sensor supply outside 4.5 to 5.5 V: put the supply right first";
    case BenchFlag::below_least_spark:
      return "gap so small that the rule does not hold: the least spark voltage is shown";
    case BenchFlag::rule_not_confirmed:
      return "rule from memory, not confirmed against its source";
    case BenchFlag::drag_area_unusual:
      return "drag area outside 0.18 to 0.7 m2, the range of motorcycles";
    case BenchFlag::rolling_unusual:
      return "rolling coefficient outside 0.012 (road) to 0.3 (sand)";
    case BenchFlag::pipe_gas_unusual:
      return "exhaust gas outside 200 to 800 C on average is unlikely in a running pipe";
    case BenchFlag::exhaust_duration_unusual:
      return "exhaust open less than 140 or more than 210 degrees is unlikely in a two-stroke";
  }
  return "";
}

bool has(const BenchFlags& flags, BenchFlag flag) { return std::find(flags.begin(), flags.end(), flag) != flags.end(); }

}  // namespace crankwise
