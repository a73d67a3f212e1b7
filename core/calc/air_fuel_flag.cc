#include "core/calc/air_fuel_flag.h"

#include <algorithm>

namespace crankwise {

const char* in_words(AirFuelFlag flag) {
  switch (flag) {
    case AirFuelFlag::height_unusual:
      return "outside -2000 to 11 000 m: the standard atmosphere has another law there";
    case AirFuelFlag::temperature_unusual:
      return "air outside -30 to 60 C: the vapour formula is not checked there";
    case AirFuelFlag::more_vapour_than_air_holds:
      return "more moisture than air can hold: humidity over 100 %, or a dew point above the air's temperature";
    case AirFuelFlag::not_laboratory_air:
      return "outside 15 to 27 C or 600 to 1100 hPa, for which this formula was made";
    case AirFuelFlag::high_station:
      return "above 750 m sea-level pressure is worked out differently from land to land: better read a barometer";
    case AirFuelFlag::outside_power_rule:
      return "correction outside 0.93 to 1.07: by its own words the rule does not hold for so much";
    case AirFuelFlag::large_power_correction:
      return "correction outside 0.93 to 1.07: take it as rough";
    case AirFuelFlag::rule_for_four_strokes:
      return "rule made for four-strokes: a two-stroke follows the density of the air more nearly";
    case AirFuelFlag::height_rule_unchecked:
      return "3 % to 1000 ft is a rule for heights from 0 to 3000 m";
    case AirFuelFlag::little_oil:
      return "less oil than 60:1 seizes most engines: only if the handbook says so";
    case AirFuelFlag::running_in_oil:
      return "20:1 to 25:1 is for running in and old engines";
    case AirFuelFlag::much_oil:
      return "more oil than 20:1: wet black plug, smoke, soft carbon";
    case AirFuelFlag::viscosity_left_out:
      return "so large a change of oil also changes how the fuel flows through the jet: that is left out";
    case AirFuelFlag::jet_number_odd:
      return "odd number for this kind of jet: is it a flow number or a hole in hundredths of a millimetre?";
    case AirFuelFlag::large_jet_change:
      return "over 10 % of fuel: pilot and needle want changing too, and a plug check before full throttle";
    case AirFuelFlag::trade_rule_scaled:
      return "the trade table is for jets about 200: here it is scaled with the number";
    case AirFuelFlag::trade_rule_stretched:
      return "the trade table is for changes up to 10 000 ft and 100 F: here it is stretched beyond";
    case AirFuelFlag::jet_rules_differ:
      return "physics and trade table are a size or more apart: start with the richer one, then read the plug";
    case AirFuelFlag::needle_cannot_give_this:
      return "more than the tube gives with the needle pulled right out";
    case AirFuelFlag::beyond_the_clip:
      return "more grooves than a needle has from its middle: take another needle";
    case AirFuelFlag::consumption_unusual:
      return "fuel for the power outside 0.25 to 0.70 kg/kWh is unlikely at full load";
    case AirFuelFlag::delivery_unusual:
      return "filling outside 0.4 to 1.2 of the displacement is unlikely at full load";
    case AirFuelFlag::mixture_unusual:
      return "mixture outside 0.7 to 1.1 of the right air is unlikely at full load";
    case AirFuelFlag::rough_flow:
      return "flow in the hose is not smooth: loss by a rule for rough flow, good to a fifth";
    case AirFuelFlag::short_of_demand:
      return "less than the engine burns at full load: it will run lean on a long straight";
    case AirFuelFlag::thin_margin:
      return "less than 1.5 times what the engine burns at full load";
    case AirFuelFlag::not_under_pressure:
      return "measured without pressure: a pump that runs freely can still fail against its regulator";
    case AirFuelFlag::pressure_low:
      return "under 90 % of the regulated pressure";
    case AirFuelFlag::vapour_left_out:
      return "fuel vapour refills part of the room: warm fuel takes longer than this";
    case AirFuelFlag::injector_pressure_far:
      return "pressure under half or over twice that of the rating: the square-root rule is rough";
    case AirFuelFlag::injector_open_too_long:
      return "open for over 85 % of the time: the injector is too small or too weak";
  }
  return "";
}

bool has(const AirFuelFlags& flags, AirFuelFlag flag) {
  return std::find(flags.begin(), flags.end(), flag) != flags.end();
}

}  // namespace crankwise
