#include "core/calc/flag.h"

#include <algorithm>

namespace crankwise {

const char* in_words(CalcFlag flag) {
  switch (flag) {
    case CalcFlag::height_unusual:
      return "outside -2000 to 11 000 m: the standard atmosphere has another law there";
    case CalcFlag::temperature_unusual:
      return "air outside -30 to 60 C: the vapour formula is not checked there";
    case CalcFlag::more_vapour_than_air_holds:
      return "more moisture than air can hold: humidity over 100 %, or a dew point above the air's temperature";
    case CalcFlag::not_laboratory_air:
      return "outside 15 to 27 C or 600 to 1100 hPa, for which this formula was made";
    case CalcFlag::high_station:
      return "above 750 m sea-level pressure is worked out differently from land to land: better read a barometer";
    case CalcFlag::outside_power_rule:
      return "correction outside 0.93 to 1.07: by its own words the rule does not hold for so much";
    case CalcFlag::large_power_correction:
      return "correction outside 0.93 to 1.07: take it as rough";
    case CalcFlag::rule_for_four_strokes:
      return "rule made for four-strokes: a two-stroke follows the density of the air more nearly";
    case CalcFlag::height_rule_unchecked:
      return "3 % to 1000 ft is a rule for heights from 0 to 3000 m";
    case CalcFlag::little_oil:
      return "less oil than 60:1 seizes most engines: only if the handbook says so";
    case CalcFlag::running_in_oil:
      return "20:1 to 25:1 is for running in and old engines";
    case CalcFlag::much_oil:
      return "more oil than 20:1: wet black plug, smoke, soft carbon";
    case CalcFlag::viscosity_left_out:
      return "so large a change of oil also changes how the fuel flows through the jet: that is left out";
    case CalcFlag::jet_number_odd:
      return "odd number for this kind of jet: is it a flow number or a hole in hundredths of a millimetre?";
    case CalcFlag::large_jet_change:
      return "over 10 % of fuel: pilot and needle want changing too, and a plug check before full throttle";
    case CalcFlag::trade_rule_scaled:
      return "the trade table is for jets about 200: here it is scaled with the number";
    case CalcFlag::trade_rule_stretched:
      return "the trade table is for changes up to 10 000 ft and 100 F: here it is stretched beyond";
    case CalcFlag::jet_rules_differ:
      return "physics and trade table are a size or more apart: start with the richer one, then read the plug";
    case CalcFlag::needle_cannot_give_this:
      return "more than the tube gives with the needle pulled right out";
    case CalcFlag::beyond_the_clip:
      return "more grooves than a needle has from its middle: take another needle";
    case CalcFlag::consumption_unusual:
      return "fuel for the power outside 0.25 to 0.70 kg/kWh is unlikely at full load";
    case CalcFlag::delivery_unusual:
      return "filling outside 0.4 to 1.2 of the displacement is unlikely at full load";
    case CalcFlag::mixture_unusual:
      return "mixture outside 0.7 to 1.1 of the right air is unlikely at full load";
    case CalcFlag::rough_flow:
      return "flow in the hose is not smooth: loss by a rule for rough flow, good to a fifth";
    case CalcFlag::short_of_demand:
      return "less than the engine burns at full load: it will run lean on a long straight";
    case CalcFlag::thin_margin:
      return "less than 1.5 times what the engine burns at full load";
    case CalcFlag::not_under_pressure:
      return "measured without pressure: a pump that runs freely can still fail against its regulator";
    case CalcFlag::pressure_low:
      return "under 90 % of the regulated pressure";
    case CalcFlag::vapour_left_out:
      return "fuel vapour refills part of the room: warm fuel takes longer than this";
    case CalcFlag::injector_pressure_far:
      return "pressure under half or over twice that of the rating: the square-root rule is rough";
    case CalcFlag::injector_open_too_long:
      return "open for over 85 % of the time: the injector is too small or too weak";
    case CalcFlag::squish_too_wide:
      return "squish over 1.5 mm does nothing";
    case CalcFlag::squish_too_tight:
      return "squish under 0.4 mm: the piston can touch the head at speed";
    case CalcFlag::trapped_ratio_high:
      return "trapped ratio over 9.5 is more than a two-stroke on pump petrol stands";
    case CalcFlag::piston_meets_head:
      return "the piston would hit the head: do not turn the engine over";
    case CalcFlag::exponent_unusual:
      return "exponent outside 1.20 to 1.30, the range of an engine kicked over";
    case CalcFlag::ambient_unusual:
      return "air pressure outside 50 to 110 kPa: mixed up with the weather report's sea-level figure or a unit?";
    case CalcFlag::decompressor_at_work:
      return "a decompressor makes this figure nearly useless: use a leak-down test";
    case CalcFlag::nothing_held:
      return "no pressure held: the leak is too large to be told from an open hole";
    case CalcFlag::case_pressure_high:
      return "over 7 psi can push the crank seals out: let it down";
    case CalcFlag::case_pressure_low:
      return "under 3 psi is less than the usual tests ask for";
    case CalcFlag::case_vacuum_deep:
      return "deeper than 24 kPa (7 inHg) is more than the usual tests ask for";
    case CalcFlag::all_by_cooling:
      return "cooling alone explains the loss: test again at one temperature";
    case CalcFlag::copper_far_from_room:
      return "temperature outside -50 to 150 C: the straight-line rule for copper is not meant for it";
    case CalcFlag::meter_too_coarse:
      return "too small for this meter: use a milliohm meter or swap in a known good part";
    case CalcFlag::leads_not_subtracted:
      return "short the test leads, read them and subtract: they add 0.1 to 0.5 ohm";
    case CalcFlag::outside_table:
      return "outside the table: carried on from its last two entries";
    case CalcFlag::table_uneven:
      return "the table bends sharply here: one entry may be a misprint";
    case CalcFlag::supply_unusual:
      return "sensor supply outside 4.5 to 5.5 V: put the supply right first";
    case CalcFlag::below_least_spark:
      return "gap so small that the rule does not hold: the least spark voltage is shown";
    case CalcFlag::rule_not_confirmed:
      return "rule from memory, not confirmed against its source";
    case CalcFlag::drag_area_unusual:
      return "drag area outside 0.18 to 0.7 m2, the range of motorcycles";
    case CalcFlag::rolling_unusual:
      return "rolling coefficient outside 0.012 (road) to 0.3 (sand)";
    case CalcFlag::pipe_gas_unusual:
      return "exhaust gas outside 200 to 800 C on average is unlikely in a running pipe";
    case CalcFlag::exhaust_duration_unusual:
      return "exhaust open less than 140 or more than 210 degrees is unlikely in a two-stroke";
  }
  return "";
}

bool has(const CalcFlags& flags, CalcFlag flag) { return std::find(flags.begin(), flags.end(), flag) != flags.end(); }

}  // namespace crankwise
