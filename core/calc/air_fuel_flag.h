// What a sum about air or fuel says about itself: inputs outside the range for which its rule holds, and what the
// figure leaves out.
#pragma once

#include <vector>

namespace crankwise {

enum class AirFuelFlag {
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
};

using AirFuelFlags = std::vector<AirFuelFlag>;

/// One sentence for the mechanic.
const char* in_words(AirFuelFlag);

bool has(const AirFuelFlags&, AirFuelFlag);

}  // namespace crankwise
