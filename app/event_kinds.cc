#include "app/event_kinds.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "app/readings/told.h"
#include "app/shop.h"
#include "edge/dates.h"

namespace crankwise {
namespace {

using Type = EventField::Type;

void nothing(const Knowledge&, const std::string&, const Json&, std::vector<Problem>&) {}

void settings(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  for (const std::string t : d.at("lacks")) check_tool(k, t, "lacks", problems);
  for (const auto& [condition, told] : d.value("usual", Conditions{}))
    check_lasting(AskedCondition::Of::shop, condition, told, "usual." + condition, problems);
  if (!is_simulated_worth(d.value("simulated_worth", 0.0)))
    problems.push_back({"", 0, "simulated_worth", "is out of range", "0 to 1000 answers"});
  if (!(d.at("money_per_hour") > 0)) problems.push_back({"", 0, "money_per_hour", "is 0", "above 0"});
}

void bike(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  check_bike(k, bike_from(d), "", problems);
}

void figure(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  check_figure(k, d.at("figure"), figure_from(d), "figure", problems);
}

void fact(const Knowledge&, const std::string&, const Json& d, std::vector<Problem>& problems) {
  check_lasting(AskedCondition::Of::bike, d.at("fact"), d.at("told"), "fact", problems);
}

void table(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  check_table(k, d.at("reading"), table_from(d.at("rows")), "rows", problems);
}

void access(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  check_access(k, d.at("part"), d.at("off"), d.at("on"), problems);
}

void ride(const Knowledge&, const std::string&, const Json& d, std::vector<Problem>& problems) {
  if (!(d.at("hours") > 0 && d.at("hours") <= 24))
    problems.push_back({"", 0, "hours", "is not a ride", "above 0 and up to 24 h"});
}

void renewed(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  if (d.contains("part") == d.contains("parts"))
    problems.push_back({"", 0, "parts", "are missing, or told twice", "the list of parts"});
  if (d.contains("part")) check_worn(k, d["part"], "part", problems);
  for (const auto& part : d.value("parts", std::vector<std::string>{})) check_worn(k, part, "parts", problems);
  const std::string day = d.value("day", "");
  if (!day.empty() && (!day_number(day) || day.size() != 10))
    problems.push_back({"", 0, "day", "\"" + day + "\" is not a day", "year-month-day, as 2026-05-04"});
}

void interval(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  const std::string id = d.at("upkeep");
  if (k.upkeep.find(id) != nullptr) return;
  const std::string near = nearest(id, k.upkeep.ids());
  problems.push_back({"", 0, "upkeep", "no upkeep is called \"" + id + "\"",
                      near.empty() ? "crankwise list upkeep" : "perhaps \"" + near + "\""});
}

void believed(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  for (const auto& [fault, chance] : d.at("chances").items()) {
    check_fault(k, fault, "chances", problems);
    if (chance > 1) problems.push_back({"", 0, "chances." + fault, "is above 1", "a chance, 0 to 1"});
  }
}

void entry(const Knowledge& k, const std::string& kind, const Json& d, std::vector<Problem>& problems) {
  try {
    check_entry(k, nullptr, entry_from(kind, d), "", problems);
  } catch (const std::exception& e) {
    problems.push_back({"", 0, "", e.what(), "an entry as docs/moving.md has it"});
  }
}

void closed(const Knowledge& k, const std::string&, const Json& d, std::vector<Problem>& problems) {
  for (const std::string c : d.at("causes")) check_fault(k, c, "causes", problems);
  if (d.contains("lesson")) {
    for (const Json& cause : d["lesson"].at("causes")) {
      for (const auto& [fault, chance] : cause.items()) check_fault(k, fault, "lesson.causes", problems);
    }
    for (const auto& [fault, factor] : d["lesson"].at("expected").items())
      check_fault(k, fault, "lesson.expected", problems);
  }
  const std::string end = d.at("end");
  if (end != text(JobEnd::proven) && end != text(JobEnd::fixed_unproven) && end != text(JobEnd::given_up))
    problems.push_back({"", 0, "end", "\"" + end + "\" is not an end", "proven, not-proven or given-up"});
}

/// An entry of a job: beside its own fields, the act and the engine's hours then.
EventKind job_entry(const char* kind, std::vector<EventField> fields) {
  fields.push_back({"act", Type::act});
  fields.push_back({"hours", Type::hours, false});
  return {"job", kind, std::move(fields), entry};
}

}  // namespace

const std::vector<EventKind>& event_kinds() {
  static const std::vector<EventKind> kKinds{
      {"shop",
       "set",
       {{"money_per_hour", Type::number},
        {"currency", Type::text},
        {"lacks", Type::texts},
        {"usual", Type::told, false},
        {"simulated_worth", Type::number, false}},
       settings},
      {"bike",
       "added",
       {{"name", Type::text},
        {"class", Type::text, false},
        {"traits", Type::texts},
        {"displacement_cc", Type::number, false},
        {"hours", Type::hours, false},
        {"figures", Type::figures, false},
        {"facts", Type::told, false},
        {"tables", Type::tables, false},
        {"renewed_h", Type::hours_of, false},
        {"access_min", Type::minutes, false}},
       bike},
      {"bike",
       "hours",
       {{"hours", Type::hours},
        {"meter", Type::hours, false},
        {"estimate", Type::flag, false},
        {"corrected", Type::flag, false}},
       nothing},
      {"bike", "ridden", {{"hours", Type::hours}}, ride},
      {"bike",
       "figure",
       {{"figure", Type::text},
        {"low", Type::number},
        {"high", Type::number},
        {"unit", Type::text},
        {"baseline", Type::flag},
        {"at", Type::told, false}},
       figure},
      {"bike", "fact", {{"fact", Type::text}, {"told", Type::text}}, fact},
      {"bike", "table", {{"reading", Type::text}, {"rows", Type::rows}}, table},
      {"bike", "access", {{"part", Type::text}, {"off", Type::number}, {"on", Type::number}}, access},
      {"bike",
       "renewed",
       {{"parts", Type::texts, false},
        {"part", Type::text, false},
        {"hours", Type::hours, false},
        {"day", Type::text, false}},
       renewed},
      {"bike", "interval", {{"upkeep", Type::text}, {"hours", Type::hours}, {"days", Type::number}}, interval},
      {"bike", "use", {{"hard", Type::flag}}, nothing},
      {"bike",
       "undone",
       {{"seq", Type::act}, {"at", Type::text}, {"kind", Type::text}, {"shop", Type::text, false}},
       nothing},
      {"bike", "same-as", {{"bike", Type::text}}, nothing},
      {"job", "opened", {{"bike", Type::text}, {"complaint", Type::text}}, nothing},
      {"job",
       "closed",
       {{"end", Type::text},
        {"causes", Type::texts},
        {"words", Type::text},
        {"act", Type::act},
        {"doubt", Type::number, false},
        {"lesson", Type::lesson, false}},
       closed},
      {"job", "lesson", {{"act", Type::act}, {"counts", Type::flag}}, nothing},
      {"job", "believed", {{"act", Type::act}, {"chances", Type::factors}}, believed},
      {"job", "undone", {{"act", Type::act}}, nothing},
      job_entry("answered", {{"finding", Type::text}, {"answer", Type::text}}),
      job_entry("measured", {{"reading", Type::text},
                             {"value", Type::number, false},
                             {"unit", Type::text, false},
                             {"open", Type::flag, false},
                             {"at", Type::told, false},
                             {"took_min", Type::number, false},
                             {"paid", Type::number, false}}),
      job_entry("did", {{"step", Type::text}, {"took_min", Type::number, false}, {"paid", Type::number, false}}),
      job_entry("put-back", {{"step", Type::text}}),
      job_entry("ran", {{"result", Type::text},
                        {"step", Type::text, false},
                        {"took_min", Type::number, false},
                        {"paid", Type::number, false}}),
      job_entry("skipped", {{"step", Type::text}, {"why", Type::text, false}}),
      job_entry("context", {{"context", Type::text}, {"so", Type::flag, false}}),
      job_entry("not-meant", {{"id", Type::text}}),
      job_entry("parts-off", {{"off", Type::texts}}),
      job_entry("noted", {{"text", Type::text}}),
      job_entry("photo", {{"sha256", Type::text},
                          {"media_type", Type::text},
                          {"width", Type::act},
                          {"height", Type::act},
                          {"caption", Type::text, false},
                          {"of", Type::act, false}}),
  };
  return kKinds;
}

const EventKind* find_event_kind(const std::string& of, const std::string& kind) {
  for (const EventKind& k : event_kinds()) {
    if (of == k.of && kind == k.kind) return &k;
  }
  return nullptr;
}

const EventKind* find_entry_kind(const std::string& kind) {
  const EventKind* k = find_event_kind("job", kind);
  return k != nullptr && k->check == entry ? k : nullptr;
}

}  // namespace crankwise
