// How a reading is brought to what its figures hold for; what that takes is in app/readings. One table: a new method is
// a row in reading_method.cc, a row in app/readings/method.cc and its own function there.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "edge/units.h"

namespace crankwise {

enum class ReadingMethod {
  as_read,
  compression,
  leak_down,
  case_leak,
  winding,     // copper, by its temperature
  resistance,  // no copper: only leads and meter count
  thermistor,  // falls with its temperature, by a table
  tap_flow,
  pump_flow,
  sensor_volts,  // goes with its supply
  intake_pressure,
  battery,  // by its sort
  jet,
  timing,
  valve_clearance,
  spark_gap,
  mix,
  vent,
  recording,  // by its sound: how unsure it is comes with it
};

std::span<const ReadingMethod> reading_methods();
std::string_view text(ReadingMethod);
/// What the reading's unit must be a unit of; nothing: any.
std::optional<Quantity> measures(ReadingMethod);

}  // namespace crankwise
