#include "app/telling.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "app/readings/told.h"
#include "edge/units.h"

namespace crankwise {
namespace {

void check_number(const char* field, const std::optional<double>& told, double most, const char* right,
                  std::vector<Problem>& problems) {
  if (!told || (std::isfinite(*told) && *told >= 0 && *told <= most)) return;
  problems.push_back({"", 0, field, fmt::format("{:g} cannot be", *told), right});
}

}  // namespace

Bike bike_told(const Knowledge& k, const BikeTold& told) {
  const BikeClass* c = k.classes.find(told.bike_class);
  if (c == nullptr) {
    const std::string near = nearest(told.bike_class, k.classes.ids());
    throw BadInput({"", 0, "class", fmt::format("no class is called \"{}\"", told.bike_class),
                    near.empty() ? "crankwise list classes" : "perhaps \"" + near + "\""});
  }
  std::vector<Problem> problems;
  Bike b;
  b.name = told.name;
  b.bike_class = c->id;
  check_number("displacement_cc", told.displacement_cc, 1500, "the displacement in cm3", problems);
  check_number("hours", told.hours, 1e5, "what the hour meter shows", problems);
  b.displacement_cc = told.displacement_cc.value_or(0) > 0 ? *told.displacement_cc : c->displacement_cc;
  const auto lacks = [&](const std::string& t) {
    return std::find(told.without.begin(), told.without.end(), t) != told.without.end();
  };
  std::copy_if(c->traits.begin(), c->traits.end(), std::back_inserter(b.traits), [&](auto& t) { return !lacks(t); });
  b.traits.insert(b.traits.end(), told.with.begin(), told.with.end());
  for (const auto& t : told.without) {
    if (std::find(c->traits.begin(), c->traits.end(), t) != c->traits.end()) continue;
    const std::string near = nearest(t, c->traits);
    problems.push_back(
        {"", 0, "without", fmt::format("the {} has no \"{}\" anyway", c->name, t),
         near.empty() ? fmt::format("one of {}", fmt::join(c->traits, ", ")) : "perhaps \"" + near + "\""});
  }
  if (!problems.empty()) throw BadInput(std::move(problems));
  b.hours_known = told.hours.has_value();
  b.hours = told.hours.value_or(0);
  return b;
}

std::optional<Problem> doubt_of(const Knowledge& k, const Bike& bike, const Took& took) {
  const Reading* r = k.readings.find(took.reading);
  std::vector<Problem> problems;
  check_entry(k, bike, took, "", problems);
  if (r == nullptr || !problems.empty()) return {};
  return doubt_about(*r, took, bike);
}

FigureRead figure_told(const Knowledge& k, const Bike& bike, const FigureTold& told) {
  const Reading* r = k.readings.find(told.reading);
  if (r == nullptr) {
    std::vector<std::string> ids = k.readings.ids();
    for (const Input& fact : all_conditions(AskedCondition::Of::bike)) ids.push_back(fact.id);
    const std::string near = nearest(told.reading, ids);
    throw BadInput({"", 0, told.reading, "no reading and no fact of a bike has this id",
                    near.empty() ? "crankwise list readings" : "perhaps \"" + near + "\""});
  }
  Took low = took_from_words(r->id, told.low, r);
  Bike kind = bike;
  if (!low.open && !convert(1, low.unit, r->unit) && told.high.empty()) {  // degrees where the crank is known
    if (const auto value = in_unit_of(*r, kind, low.value, low.unit, low.at)) low.value = *value, low.unit = r->unit;
  }
  kind.figures.clear(), kind.baselines.clear();
  FigureRead read;
  std::vector<Problem> problems;
  check_took(*r, low, &kind, "", problems);  // what cannot be is said when it is kept
  if (problems.empty()) read.doubt = doubt_about(*r, low, kind);
  const auto high =
      told.high.empty() ? Measure{low.value, find_unit(low.unit).value_or(Unit{})} : parse_measure(told.high);
  if (low.open || !high)
    throw BadInput({"", 0, r->id, fmt::format("\"{}\" is not a value with its unit", low.open ? told.low : told.high),
                    "a text like \"170 psi\""});
  const auto same = convert(high->value, high->unit.name, low.unit);
  if (!same) throw BadInput({"", 0, r->id, "the two ends have units that do not fit", "the same unit twice"});
  read.figure = {low.value, *same, low.unit, told.baseline, low.at};
  return read;
}

}  // namespace crankwise
