// Windings, other resistances, and sensors that go with the temperature.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/readings/method.h"
#include "core/calc/electric.h"

namespace crankwise::methods {
namespace {

using Of = AskedCondition::Of;
constexpr double kRoom = 293.15;  // 20 C: what figures hold for

AskedCondition leads() {
  return quantity(Of::shop, "leads", "what the meter shows with its leads held together", "ohm", 0, 5);
}
AskedCondition temperature(const char* of_what) { return quantity(Of::test, "temperature", of_what, "degC", -20, 160); }

/// Leads off where they were told, and what the meter itself may be out by (core/calc/electric.h).
Correction without_leads(const Taken& t) {
  constexpr double kUsualLeads = 0.3;  // ohm: 0.1 to 0.5; common practice
  const double ohm = to_si(t, t.value);
  const double digit = t.reading->digit > 0
                           ? to_si(t, t.reading->digit)
                           : std::pow(10, std::floor(std::log10(std::max(ohm, 0.1))) - 2);  // of a 2000-count meter
  const Meter meter{.step = digit};
  double error = meter_error(meter, ohm) / 2;  // error limits, taken as two standard deviations
  Correction c = as_read(t);
  double bare = ohm;
  if (t.at.has("leads")) {
    bare = std::max(ohm - t.at.si("leads"), 0.0);
    error = std::hypot(error, meter_error(meter, t.at.si("leads")) / 2);
    if (t.at.si("leads") > 0) c.brought_to("without the leads");
  } else if (ohm < 100 * kUsualLeads) {  // beyond that they do not count
    error = std::hypot(error, kUsualLeads);
    c.notes.emplace_back("the leads may be 0.1 to 0.5 ohm of it: hold them together and tell leads=");
  }
  bare = std::max(bare, error);  // less than that the meter cannot tell from nothing
  c.value = from_si(t, bare);
  c.log_spread = error / bare;
  if (constexpr double kCoarse = 0.5; c.log_spread > kCoarse && t.reading->digit > 0) {
    c.most_ratio = 1.3;
    c.notes.emplace_back(in_words(CalcFlag::meter_too_coarse));
  }
  return c;
}

Correction winding_corrected(const Taken& t) {
  constexpr double kUnknownTemperature = 0.03;  // copper changes 0.4 % a degree; a garage is 20 C within 8
  constexpr double kHot = 323.15;
  Correction c = without_leads(t);
  if (!t.at.has("temperature")) {
    c.log_spread = std::hypot(c.log_spread, kUnknownTemperature);
    return c;
  }
  const double kelvin = t.at.si("temperature");
  const Flagged factor = copper_factor(kRoom, kelvin);
  c.value /= factor.value;
  if (std::abs(kelvin - kRoom) > 0.5) c.brought_to("at 20 C");
  if (kelvin >= kHot)
    c.notes.emplace_back("measured hot: one that opens or jumps only now is the cause of trouble that comes with heat");
  add_flags(c, factor.flags);
  return c;
}

Correction resistance_corrected(const Taken& t) { return without_leads(t); }

NtcTable table_of(const Taken& t) {
  NtcTable table;
  if (const auto own = t.bike->tables.find(t.reading->id); own != t.bike->tables.end()) {
    for (const auto& [kelvin, ohm] : own->second) table.push_back({kelvin, ohm});
  } else {
    for (const auto& [celsius, ohm] : t.reading->table) table.push_back({celsius + 273.15, ohm});
  }
  return table;
}

Correction thermistor_corrected(const Taken& t) {
  constexpr double kPerKelvin = 0.04;  // what a sensor changes; common practice
  constexpr double kGarage = 5;        // K, either way of 20 C
  Correction c = without_leads(t);
  const double kelvin = t.at.has("temperature") ? t.at.si("temperature") : kRoom;
  const double away = std::abs(kelvin - kRoom);
  const NtcTable table = table_of(t);
  if (!t.at.has("temperature")) {
    c.log_spread = std::hypot(c.log_spread, kPerKelvin * kGarage);
  } else if (!table.empty()) {
    const Flagged here = ntc_ohm(table, kelvin), room = ntc_ohm(table, kRoom);
    c.value *= room.value / here.value;
    if (away > 0.5) c.brought_to("at 20 C by its table");
    add_flags(c, here.flags);
  } else if (away > 2) {
    c.log_spread = std::hypot(c.log_spread, kPerKelvin * away);
    c.notes.emplace_back(
        "no table of this sensor is known, so its temperature cannot be taken off; as a figure of the bike it is told "
        "\"20 degC=2.45 kohm\" \"80 degC=0.32 kohm\"");
  }
  return c;
}

}  // namespace

const Method& winding() {
  static const Method kMethod{{leads(), temperature("of the winding: that of the room if it stood overnight")},
                              winding_corrected};
  return kMethod;
}

const Method& resistance() {
  static const Method kMethod{{leads()}, resistance_corrected};
  return kMethod;
}

const Method& thermistor() {
  static const Method kMethod{{leads(), temperature("of the sensor")}, thermistor_corrected};
  return kMethod;
}

}  // namespace crankwise::methods
