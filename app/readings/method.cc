#include "app/readings/method.h"

#include <fmt/format.h>

#include <algorithm>

#include "core/calc/air.h"

namespace crankwise {
namespace methods {
namespace {

const Method& as_read() {
  static const Method kMethod{{}, [](const Taken& t) { return Correction{t.value, 0, "", {}, {}, {}}; }};
  return kMethod;
}

const Method& of(const Reading& r) {
  switch (r.method) {
    case ReadingMethod::as_read:
      break;
    case ReadingMethod::compression:
      return compression();
    case ReadingMethod::leak_down:
      return leak_down();
    case ReadingMethod::case_leak:
      return case_leak();
    case ReadingMethod::winding:
      return winding();
    case ReadingMethod::resistance:
      return resistance();
    case ReadingMethod::thermistor:
      return thermistor();
    case ReadingMethod::tap_flow:
      return tap_flow();
    case ReadingMethod::pump_flow:
      return pump_flow();
    case ReadingMethod::sensor_volts:
      return sensor_volts();
    case ReadingMethod::intake_pressure:
      return intake_pressure();
    case ReadingMethod::battery:
      return battery();
    case ReadingMethod::jet:
      return jet();
    case ReadingMethod::timing:
      return timing();
    case ReadingMethod::valve_clearance:
      return valve_clearance();
    case ReadingMethod::spark_gap:
      return spark_gap();
    case ReadingMethod::mix:
      return mix();
    case ReadingMethod::vent:
      return vent();
  }
  return as_read();
}

Unit si_of(const Reading& r) { return {"", find_unit(r.unit)->quantity, 1, 0}; }

}  // namespace

std::vector<AskedCondition> height_or_pressure() {
  using Of = AskedCondition::Of;
  return {{Of::shop, {"height", "of the place above the sea", "m", -500, 5000, {}, true}},
          {Of::test,
           {"air-pressure",
            "by a barometer here, not reduced to the sea; goes before the height",
            "kPa",
            50,
            110,
            {},
            true}}};
}

std::optional<double> air_pressure(const Taken& t) {
  if (t.at.has("air-pressure")) return t.at.si("air-pressure");
  if (t.at.has("height")) return standard_air(t.at.si("height")).pressure_pa;
  return {};
}

void add_flags(Correction& c, const CalcFlags& flags) {
  for (const CalcFlag f : flags) c.notes.emplace_back(in_words(f));
}

double to_si(const Taken& t, double value) { return *convert(value, *find_unit(t.reading->unit), si_of(*t.reading)); }
double from_si(const Taken& t, double si) { return *convert(si, si_of(*t.reading), *find_unit(t.reading->unit)); }

}  // namespace methods

const std::vector<AskedCondition>& conditions_of(const Reading& r) { return methods::of(r).conditions; }

std::vector<Input> all_conditions(AskedCondition::Of of) {
  using namespace methods;
  std::vector<Input> all;
  for (const Method* m : {&compression(), &leak_down(), &case_leak(), &winding(), &resistance(), &thermistor(),
                          &tap_flow(), &pump_flow(), &mix(), &vent(), &sensor_volts(), &intake_pressure(), &battery(),
                          &jet(), &timing(), &valve_clearance(), &spark_gap()}) {
    for (const AskedCondition& c : m->conditions) {
      const bool there = std::any_of(all.begin(), all.end(), [&](const Input& i) { return i.id == c.input.id; });
      if (c.of == of && !there) all.push_back(c.input);
    }
  }
  return all;
}

Taken taken_of(const Reading& r, const Bike& bike, double value, const Conditions& told) {
  Taken t{&r, &bike, value, {}, told};
  std::vector<Input> asked;
  std::vector<std::string> pairs;
  for (const AskedCondition& c : conditions_of(r)) {
    asked.push_back(c.input);
    if (c.of != AskedCondition::Of::bike || told.count(c.input.id) > 0) continue;
    if (const auto f = bike.facts.find(c.input.id); f != bike.facts.end()) t.told.insert(*f);
  }
  for (const auto& [id, words] : t.told) pairs.push_back(id + "=" + words);
  t.at = read_inputs(asked, pairs, "reading");
  return t;
}

std::optional<double> in_unit_of(const Reading& r, const Bike& bike, double value, const std::string& unit,
                                 const Conditions& told) {
  if (const auto plain = convert(value, unit, r.unit)) return plain;
  const auto other = find_unit(unit);
  const auto by = methods::of(r).other_unit;
  if (!other || by == nullptr) return {};
  const Unit si{"", other->quantity, 1, 0};
  return by(taken_of(r, bike, 0, told), *convert(value, *other, si), other->quantity);
}

bool has_other_units(const Reading& r) { return methods::of(r).other_unit != nullptr; }

std::string what_makes_other_units(const Reading& r) {
  const std::string words = methods::of(r).other_words;
  return words.empty() ? "" : ", or " + words;
}

Correction correct(const Taken& t) { return methods::of(*t.reading).correct(t); }

}  // namespace crankwise
