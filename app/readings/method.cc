#include "app/readings/method.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <utility>

#include "core/calc/air.h"

namespace crankwise {
namespace methods {
namespace {

using Of = AskedCondition::Of;

const Method& plain() {
  static const Method kMethod{{}, as_read};
  return kMethod;
}

using M = ReadingMethod;
constexpr std::pair<ReadingMethod, const Method& (*)()> kMethods[] = {
    {M::as_read, plain},
    {M::compression, compression},
    {M::leak_down, leak_down},
    {M::case_leak, case_leak},
    {M::winding, winding},
    {M::resistance, resistance},
    {M::thermistor, thermistor},
    {M::tap_flow, tap_flow},
    {M::pump_flow, pump_flow},
    {M::sensor_volts, sensor_volts},
    {M::intake_pressure, intake_pressure},
    {M::battery, battery},
    {M::jet, jet},
    {M::timing, timing},
    {M::valve_clearance, valve_clearance},
    {M::spark_gap, spark_gap},
    {M::mix, mix},
    {M::vent, vent},
    {M::recording, recording},
};

const Method& of(const Reading& r) {
  const auto row =
      std::find_if(std::begin(kMethods), std::end(kMethods), [&](const auto& m) { return m.first == r.method; });
  assert(row != std::end(kMethods));
  return row->second();
}

Unit si_of(const Reading& r) { return {"", find_unit(r.unit)->quantity, 1, 0}; }

}  // namespace

Correction as_read(const Taken& t) {
  Correction c;
  c.value = t.value;
  return c;
}

AskedCondition quantity(Of of, const char* id, const char* ask, const char* unit, double low, double high,
                        std::optional<double> usual) {
  return {of, {id, ask, unit, low, high, usual, !usual}};
}

AskedCondition choice(Of of, const char* id, const char* ask, std::vector<std::string> words, const char* only_with) {
  return {of, {id, ask, "", 0, 0, {}, true, std::move(words)}, only_with};
}

std::vector<AskedCondition> with_height(std::vector<AskedCondition> more) {
  more.insert(more.begin(),
              {quantity(Of::shop, "height", "of the place above the sea", "m", -500, 5000),
               quantity(Of::test, "air-pressure", "by a barometer here, not reduced to the sea; goes before the height",
                        "kPa", 50, 110)});
  return more;
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

std::vector<Input> worth_asking(const Reading& r, const Traits& traits, const Conditions& usual) {
  std::vector<Input> all;
  for (const AskedCondition& c : conditions_of(r)) {
    const bool means_something = *c.only_with == '\0' || traits.has(c.only_with);
    if (c.of != AskedCondition::Of::bike && usual.count(c.input.id) == 0 && means_something) all.push_back(c.input);
  }
  return all;
}

std::vector<Input> all_conditions(AskedCondition::Of of) {
  std::vector<Input> all;
  for (const auto& [name, method] : methods::kMethods) {
    for (const AskedCondition& c : method().conditions) {
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
