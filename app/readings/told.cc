#include "app/readings/told.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <sstream>

namespace crankwise {
namespace {

/// Conditions that were told for a reading, and the bike's own: what is wrong with them.
std::vector<Problem> problems_of(const Reading& r, const Bike& bike, const Conditions& told) {
  try {
    taken_of(r, bike, 1, told);
  } catch (const BadInput& bad) {
    return bad.problems();
  }
  return {};
}

}  // namespace

Took took_from_words(const std::string& id, const std::string& words, const Reading* reading) {
  std::istringstream in(words);
  Took took{id, 0, "", false, {}, {}};
  std::string value, condition;
  for (std::string word; in >> word;) {
    if (const size_t equals = word.find('='); equals != std::string::npos) {
      condition = word.substr(0, equals);
      if (!took.at.try_emplace(condition, word.substr(equals + 1)).second)
        throw BadInput({"", 0, condition, "is told twice", "once"});
    } else if (!condition.empty()) {
      std::string& told = took.at[condition];
      told += (told.empty() ? "" : " ") + word;
    } else {
      value += (value.empty() ? "" : " ") + word;
    }
  }
  if (value == "open" || value == "OL" || value == "ol") {
    took.open = true;
    return took;
  }
  auto m = parse_measure(value);
  if (!m && reading != nullptr && reading->unit == "number") m = parse_measure(value + " number");
  if (!m) {
    std::vector<std::string> units;
    for (const std::string& name : unit_names()) {
      if (reading == nullptr || convert(1, name, reading->unit)) units.push_back(name);
    }
    throw BadInput({"", 0, id, fmt::format("\"{}\" is not a value with its unit", value),
                    fmt::format("a value and one of: {}", fmt::join(units, " "))});
  }
  took.value = m->value, took.unit = m->unit.name;
  return took;
}

std::string with_unit_of(const Reading& r, const std::string& words) {
  const size_t first = words.find('=');
  const size_t end = first == std::string::npos ? words.size() : words.find_last_of(" \t", first);
  const std::string value = words.substr(0, end),
                    rest = end == std::string::npos ? "" : words.substr(std::min(end, words.size()));
  if (words.find("seconds=") != std::string::npos && has_other_units(r))
    return words;  // mL or its rate? it must be said
  const bool bare = !value.empty() && value.find_first_not_of("0123456789.,-+ ") == std::string::npos;
  return bare ? value + " " + r.unit + rest : words;
}

void check_took(const Reading& r, const Took& took, const Bike* bike, const std::string& where,
                std::vector<Problem>& problems) {
  const auto note = [&](const std::string& field, std::string wrong, std::string right) {
    problems.push_back({where, 0, field, std::move(wrong), std::move(right)});
  };
  const Bike any;
  const auto conditions = problems_of(r, bike == nullptr ? any : *bike, took.at);
  for (const Problem& p : conditions) note(r.id + "." + p.field, p.wrong, p.right);
  if (took.open && r.open.empty()) return note(r.id, "cannot be open", "a value in " + r.unit);
  if (took.open || !conditions.empty()) return;
  const auto unit = find_unit(took.unit);
  if (!unit) {
    const std::string near = nearest(took.unit, unit_names());
    return note(r.id, fmt::format("\"{}\" is not a known unit", took.unit),
                near.empty() ? "a unit like " + r.unit : "perhaps " + near);
  }
  if (took.value < 0 || !std::isfinite(took.value)) {
    const bool leads = took.value < 0 && unit->quantity == Quantity::voltage && std::isfinite(took.value);
    return note(r.id, fmt::format("{:g} {} cannot be", took.value, took.unit),
                leads ? fmt::format("{:g} {}, if the leads were the wrong way round", -took.value, took.unit)
                      : "a value of 0 or more");
  }
  if (took.at.count("seconds") > 0 && unit->quantity == Quantity::volume_flow)
    return note(r.id, fmt::format("is told in {} and with seconds", took.unit),
                "mL with the seconds, or the flow alone");
  const auto value =
      bike == nullptr ? convert(took.value, took.unit, r.unit) : in_unit_of(r, *bike, took.value, took.unit, took.at);
  if (!value) {
    if (bike == nullptr && has_other_units(r)) return;  // it may be had on the bike
    return note(r.id, fmt::format("{} does not measure it", took.unit),
                "a unit like " + r.unit + what_makes_other_units(r));
  }
  if (r.most > 0 && (*value < r.least || *value > r.most)) {
    const auto meant = units_that_fit(took.value, took.unit, std::max(r.least, r.most / 100), r.most, r.unit);
    const std::string range = fmt::format("{:g} to {:g} {}", r.least, r.most, r.unit);
    note(r.id, fmt::format("{:g} {} cannot be", took.value, took.unit),
         meant.empty() ? range : fmt::format("{}; perhaps {:g} {} was meant", range, took.value, meant.front()));
  }
}

std::optional<Problem> doubt_about(const Reading& r, const Took& took, const Bike& bike) {
  constexpr double kFarOff = 3, kNear = 2, kNarrow = 8;
  if (took.open) return {};
  const Appraised a = appraise(r, took, bike, {});
  if (!a.held_against || a.value <= 0) return {};
  const auto [low, high] = std::pair(a.held_against->low, a.held_against->high);
  if (high / low > kNarrow || (a.corrected > low / kFarOff && a.corrected < high * kFarOff)) return {};
  const double to_corrected = a.corrected / a.value;
  const auto meant =
      units_that_fit(took.value, took.unit, low / kNear / to_corrected, high * kNear / to_corrected, r.unit);
  if (meant.empty()) return {};
  return Problem{"", 0, r.id,
                 fmt::format("{:g} {} would be {:.3g} {}, far from the {:.3g} to {:.3g} {} that one would expect",
                             took.value, took.unit, a.value, r.unit, low, high, r.unit),
                 fmt::format("perhaps {:g} {}", took.value, meant.front())};
}

Conditions with_usual(const Reading& r, Conditions told, const Conditions& usual) {
  for (const AskedCondition& c : conditions_of(r)) {
    const auto at = usual.find(c.input.id);
    if (c.of == AskedCondition::Of::shop && at != usual.end()) told.insert(*at);
  }
  return told;
}

std::optional<std::pair<double, double>> table_row(const std::string& temperature, const std::string& resistance) {
  const auto t = parse_measure(temperature), r = parse_measure(resistance);
  if (!t || !r) return {};
  const auto celsius = convert(t->value, t->unit, *find_unit("degC")),
             ohm = convert(r->value, r->unit, *find_unit("ohm"));
  if (!celsius || !ohm) return {};
  return std::pair(*celsius + 273.15, *ohm);
}

void check_lasting(AskedCondition::Of of, const std::string& id, const std::string& told, const std::string& field,
                   std::vector<Problem>& problems) {
  const std::vector<Input> all = all_conditions(of);
  const auto in = std::find_if(all.begin(), all.end(), [&](const Input& i) { return i.id == id; });
  if (in == all.end()) {
    std::vector<std::string> ids;
    for (const Input& i : all) ids.push_back(i.id);
    const std::string near = nearest(id, ids);
    problems.push_back(
        {"", 0, field, fmt::format("\"{}\" is not known of a {}", id, of == AskedCondition::Of::bike ? "bike" : "shop"),
         near.empty() ? fmt::format("one of {}", fmt::join(ids, ", ")) : "perhaps \"" + near + "\""});
  } else if (auto problem = problem_of(*in, told)) {
    problem->field = field;
    problems.push_back(std::move(*problem));
  }
}

}  // namespace crankwise
