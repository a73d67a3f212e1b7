// What a bench sum says about itself: inputs outside the range for which its rule holds, and what the figure leaves out
// or cannot say.
#pragma once

#include <vector>

namespace crankwise {

enum class CalcFlag {
  // air
  height_unusual,
  temperature_unusual,
  more_vapour_than_air_holds,
  not_laboratory_air,
  high_station,
  // power to standard air
  outside_power_rule,
  large_power_correction,
  rule_for_four_strokes,
  height_rule_unchecked,
  // premix
  little_oil,
  running_in_oil,
  much_oil,
  viscosity_left_out,
  // jetting
  jet_number_odd,
  large_jet_change,
  trade_rule_scaled,
  trade_rule_stretched,
  jet_rules_differ,
  needle_cannot_give_this,
  beyond_the_clip,
  // fuel supply
  consumption_unusual,
  delivery_unusual,
  mixture_unusual,
  rough_flow,
  short_of_demand,
  thin_margin,
  not_under_pressure,
  pressure_low,
  vapour_left_out,
  injector_pressure_far,
  injector_open_too_long,
  // squish, compression and leaks
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
  // electrics
  copper_far_from_room,
  meter_too_coarse,
  leads_not_subtracted,
  outside_table,
  table_uneven,
  supply_unusual,
  below_least_spark,
  rule_not_confirmed,
  // road and pipes
  drag_area_unusual,
  rolling_unusual,
  pipe_gas_unusual,
  exhaust_duration_unusual,
};

using CalcFlags = std::vector<CalcFlag>;

/// One sentence for the mechanic.
const char* in_words(CalcFlag);

bool has(const CalcFlags&, CalcFlag);

}  // namespace crankwise
