// What a bench sum says about itself: inputs outside the range for which its rule holds, and what the figure cannot
// say.
#pragma once

#include <vector>

namespace crankwise {

enum class BenchFlag {
  squish_too_wide,
  squish_too_tight,
  trapped_ratio_high,
  piston_meets_head,
  exponent_unusual,
  ambient_unusual,
  decompressor_at_work,
  nothing_held,
  case_pressure_high,
  case_pressure_low,
  case_vacuum_deep,
  all_by_cooling,
  copper_far_from_room,
  meter_too_coarse,
  leads_not_subtracted,
  outside_table,
  table_uneven,
  supply_unusual,
  below_least_spark,
  rule_not_confirmed,
  drag_area_unusual,
  rolling_unusual,
  pipe_gas_unusual,
  exhaust_duration_unusual,
};

using BenchFlags = std::vector<BenchFlag>;

/// One sentence for the mechanic.
const char* in_words(BenchFlag);

bool has(const BenchFlags&, BenchFlag);

}  // namespace crankwise
