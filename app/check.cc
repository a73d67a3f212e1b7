// Checks of bikes and entries against the knowledge, shared by the shop and by case files.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/readings/told.h"
#include "app/shop.h"
#include "edge/units.h"

namespace crankwise {
namespace {

template <class T>
const T* known(const Shelf<T>& shelf, const std::string& id, const char* what, const std::string& where,
               std::vector<Problem>& problems) {
  const T* thing = shelf.find(id);
  if (thing == nullptr) {
    const std::string near = nearest(id, shelf.ids());
    problems.push_back({where, 0, "", fmt::format("no {} is called \"{}\"", what, id),
                        near.empty() ? fmt::format("crankwise list {}s", what) : fmt::format("perhaps \"{}\"", near)});
  }
  return thing;
}

template <class T>
const T* here(const Shelf<T>& shelf, const std::string& id, const char* what, const Traits* traits,
              const std::string& where, std::vector<Problem>& problems) {
  const T* thing = known(shelf, id, what, where, problems);
  if (thing != nullptr && traits != nullptr && !thing->applies.holds(*traits)) {
    problems.push_back({where, 0, "", fmt::format("\"{}\" does not apply to this bike", id),
                        "a " + std::string(what) + " of its equipment"});
  }
  return thing;
}

}  // namespace

void check_tool(const Knowledge& k, const std::string& id, const std::string& field, std::vector<Problem>& problems) {
  const size_t before = problems.size();
  known(k.tools, id, "tool", "", problems);
  if (problems.size() > before) problems.back().field = field;
}

void check_fault(const Knowledge& k, const std::string& id, const std::string& field, std::vector<Problem>& problems) {
  const size_t before = problems.size();
  known(k.faults, id, "fault", "", problems);
  if (problems.size() > before) problems.back().field = field;
}

void check_worn(const Knowledge& k, const std::string& part, const std::string& field, std::vector<Problem>& problems) {
  const std::vector<std::string> worn = parts_that_wear(k);
  if (std::binary_search(worn.begin(), worn.end(), part)) return;
  const std::string near = nearest(part, worn);
  problems.push_back({"", 0, field, fmt::format("no part that wears is called \"{}\"", part),
                      near.empty() ? "plug, piston, reeds ..." : "perhaps \"" + near + "\""});
}

void check_figure(const Knowledge& k, const std::string& id, const Figure& f, const std::string& field,
                  std::vector<Problem>& problems) {
  const Reading* reading = k.readings.find(id);
  if (reading == nullptr) {
    const std::string near = nearest(id, k.readings.ids());
    problems.push_back({"", 0, field, "no reading has this id",
                        near.empty() ? "crankwise list readings" : "perhaps \"" + near + "\""});
    return;
  }
  const size_t before = problems.size();
  if (!convert(f.low, f.unit, reading->unit)) {
    problems.push_back(
        {"", 0, field, fmt::format("\"{}\" is not a unit for it", f.unit), "a unit like " + reading->unit});
  }
  if (!(f.low > 0 && f.low <= f.high && std::isfinite(f.high)))
    problems.push_back({"", 0, field, "is not a range above 0", "one value, or the lower and the upper one"});
  for (double end : {f.low, f.high}) {
    if (problems.size() > before) return;  // one end says it for both
    std::vector<Problem> found;
    check_took(*reading, {id, end, f.unit, false, {}, f.at}, nullptr, "", found);
    for (Problem& p : found) {
      p.field = field + p.field.substr(std::min(p.field.size(), reading->id.size()));
      problems.push_back(std::move(p));
    }
  }
}

void check_table(const Knowledge& k, const std::string& id, const std::map<double, double>& rows,
                 const std::string& field, std::vector<Problem>& problems) {
  const Reading* reading = k.readings.find(id);
  if (reading == nullptr || reading->method != ReadingMethod::thermistor) {
    problems.push_back({"", 0, field, "is not a sensor with a table", "coolant-sensor, air-sensor ..."});
    return;
  }
  double last = INFINITY;
  bool falls = rows.size() >= 2;
  for (const auto& [kelvin, ohm] : rows) {
    falls = falls && kelvin > 200 && kelvin < 600 && ohm > 0 && ohm < last;
    last = ohm;
  }
  if (!falls) {
    problems.push_back({"", 0, field, "does not fall from row to row with the temperature",
                        "two rows or more, as \"20 degC=2.45 kohm\" \"80 degC=0.32 kohm\""});
  }
}

void check_access(const Knowledge& k, const std::string& part, double off_min, double on_min,
                  std::vector<Problem>& problems) {
  known(k.parts, part, "part", "", problems);
  if (!(off_min >= 0 && on_min >= 0 && off_min < 10000 && on_min < 10000)) {
    problems.push_back({"", 0, "access." + part, "minutes below 0 or beyond reason", "minutes off and on"});
  }
}

void check_bike(const Knowledge& k, const Bike& bike, const std::string& where, std::vector<Problem>& problems) {
  if (!is_utf8(bike.name)) problems.push_back({where, 0, "name", "is not UTF-8 text", "a name in usual letters"});
  if (bike.name.empty()) problems.push_back({where, 0, "name", "is empty", "a name for the bike"});
  for (const auto& t : bike.traits) known(k.traits, t, "trait", where, problems);
  std::map<std::string, std::vector<std::string>> groups;
  for (const Trait& t : k.traits) {
    if (!t.group.empty()) groups[t.group];
  }
  const Traits traits(bike.traits);
  for (const Trait& t : k.traits) {
    if (!t.group.empty() && traits.has(t.id)) groups[t.group].push_back(t.id);
  }
  for (const auto& [group, ids] : groups) {
    if (ids.size() == 1) continue;
    std::string choice;
    for (const Trait& t : k.traits) {
      if (t.group == group) choice += (choice.empty() ? "" : ", ") + t.id;
    }
    problems.push_back({where, 0, "traits", fmt::format("{} of {}", ids.empty() ? "nothing" : "more than one", group),
                        "one of " + choice});
  }
  if (bike.hours < 0 || !std::isfinite(bike.hours))
    problems.push_back({where, 0, "hours", "below 0", "engine hours, 0 or more"});
  std::vector<Problem> found;
  for (const auto& [part, h] : bike.renewed_h) {
    check_worn(k, part, "renewed_h." + part, found);
    if (h < 0 || h > bike.hours) {
      found.push_back({"", 0, "renewed_h." + part, fmt::format("at {:g} h, but the engine has {:g} h", h, bike.hours),
                       "0 to the engine's hours"});
    }
  }
  for (const auto* figures : {&bike.figures, &bike.baselines}) {
    for (const auto& [id, f] : *figures) check_figure(k, id, f, "figures." + id, found);
  }
  for (const auto& [id, told] : bike.facts) check_lasting(AskedCondition::Of::bike, id, told, "facts." + id, found);
  for (const auto& [id, rows] : bike.tables) check_table(k, id, rows, "tables." + id, found);
  for (const auto& [part, m] : bike.access_min) check_access(k, part, m.first, m.second, found);
  for (Problem& p : found) {
    p.file = where;
    problems.push_back(std::move(p));
  }
}

void check_entry(const Knowledge& k, const Bike* bike, const Entry& entry, const std::string& where,
                 std::vector<Problem>& problems) {
  const std::optional<Traits> equipment = bike == nullptr ? std::nullopt : std::optional<Traits>(bike->traits);
  const Traits* traits = equipment ? &*equipment : nullptr;
  const auto text = [&](const std::string& words) {
    if (!is_utf8(words))
      problems.push_back({where, 0, "", "is not UTF-8 text", "letters of this machine's usual kind"});
  };
  const Spent spent = spent_on(entry);
  if (spent.minutes && !(*spent.minutes >= 0 && *spent.minutes < 10000))
    problems.push_back({where, 0, "took", "is below 0 or beyond reason", "the minutes it took, 0 or more"});
  if (spent.money && !(*spent.money >= 0 && *spent.money < 1e7))
    problems.push_back({where, 0, "paid", "is below 0 or beyond reason", "the money paid for it, 0 or more"});
  if (const auto* said = std::get_if<SaidSo>(&entry)) {
    here(k.findings, said->finding, "finding", traits, where, problems);
  } else if (const auto* took = std::get_if<Took>(&entry)) {
    const Reading* r = here(k.readings, took->reading, "reading", traits, where, problems);
    if (r != nullptr) check_took(*r, *took, bike, where, problems);
  } else if (const auto* did = std::get_if<Did>(&entry)) {
    here(k.steps, did->step, "step", traits, where, problems);
  } else if (const auto* back = std::get_if<WentBack>(&entry)) {
    const Step* s = here(k.steps, back->step, "step", traits, where, problems);
    if (s != nullptr && s->kind != StepKind::swap && s->kind != StepKind::replace) {
      problems.push_back({where, 0, "", fmt::format("\"{}\" puts no part in that could go back out", s->id),
                          "a step of kind swap or replace"});
    }
  } else if (const auto* ran = std::get_if<RanIt>(&entry)) {
    if (ran->step.empty()) return;
    const Step* s = here(k.steps, ran->step, "step", traits, where, problems);
    if (s != nullptr && s->kind != StepKind::run)
      problems.push_back({where, 0, "", fmt::format("\"{}\" is not a run", s->id), "a step of kind run"});
  } else if (const auto* skipped = std::get_if<Skipped>(&entry)) {
    if (k.findings.find(skipped->step) == nullptr) here(k.steps, skipped->step, "step", traits, where, problems);
    text(skipped->why);
  } else if (const auto* was = std::get_if<WasSo>(&entry)) {
    known(k.contexts, was->context, "context", where, problems);
  } else if (const auto* other = std::get_if<NotMeant>(&entry)) {
    if (k.findings.find(other->id) == nullptr) known(k.contexts, other->id, "finding or context", where, problems);
  } else if (const auto* off = std::get_if<PartsNow>(&entry)) {
    for (const auto& id : off->off) here(k.parts, id, "part", traits, where, problems);
  } else if (const auto* noted = std::get_if<Noted>(&entry)) {
    text(noted->text);
  } else if (const auto* photo = std::get_if<Pictured>(&entry)) {
    text(photo->caption);
  }
}

}  // namespace crankwise
