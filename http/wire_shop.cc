// The shop, its bikes and the words that pages need.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "edge/units.h"
#include "http/wire.h"

namespace crankwise::wire {
namespace {

constexpr double kDueWithin_h = 5;

std::vector<std::string> units_like(const std::string& unit) {
  std::vector<std::string> units{unit};
  for (const std::string& other : unit_names()) {
    if (other != unit && convert(1, other, unit)) units.push_back(other);
  }
  return units;
}

std::string figure_in_words(const Figure& f) {
  std::string out =
      f.low == f.high ? fmt::format("{:g} {}", f.low, f.unit) : fmt::format("{:g} to {:g} {}", f.low, f.high, f.unit);
  for (const auto& [condition, told] : f.at) out += fmt::format(", {} {}", condition, told);
  return out;
}

/// An id as it is read.
std::string spaced(std::string id) {
  std::replace(id.begin(), id.end(), '-', ' ');
  return id;
}

Json due_json(const Shop& shop, const std::string& bike) {
  const DueList list = due_list(shop, bike, kDueWithin_h);
  Json items = Json::array();
  for (const DueItem& i : list.items) {
    items.push_back({{"upkeep", i.upkeep->id},
                     {"name", i.upkeep->name},
                     {"work", i.upkeep->work},
                     {"why", i.upkeep->why},
                     {"urgency", text(i.urgency)},
                     {"reason", reason_in_words(i)},
                     {"chance", known(i.chance)},
                     {"cautions", cautions(shop.knowledge(), i.upkeep->cautions)}});
  }
  return {{"within_hours", list.within_h}, {"chance_of_any", list.chance_of_any}, {"items", std::move(items)}};
}

template <class List>
Json all_named(const List& things) {
  Json out = Json::array();
  for (const auto& thing : things) out.push_back(named(thing.id, thing.name));
  return out;
}

}  // namespace

Json named(const std::string& id, const std::string& name) { return {{"id", id}, {"name", name}}; }
Json known(double x) { return x < 0 ? Json() : Json(x); }

Json caution(const Caution& c) { return {{"id", c.id}, {"name", c.name}, {"text", c.text}}; }
Json cautions(const Knowledge& k, const std::vector<std::string>& ids) {
  Json out = Json::array();
  for (const std::string& id : ids) out.push_back(caution(*k.cautions.find(id)));
  return out;
}

std::string kind_of(const Knowledge& k, const Bike& b) {
  const BikeClass* c = k.classes.find(b.bike_class);
  std::string kind = c == nullptr ? "" : c->name;
  if (b.displacement_cc > 0) kind += fmt::format("{}{:g} cm3", kind.empty() ? "" : ", ", b.displacement_cc);
  return kind;
}

std::string part_name(const Knowledge& k, const std::string& id) {
  const Part* part = k.parts.find(id);
  return part == nullptr ? spaced(id) : part->name;
}

Json condition(const Input& in) {
  return {{"id", in.id},
          {"name", spaced(in.id)},
          {"ask", in.ask},
          {"unit", in.unit},
          {"units", in.unit.empty() ? std::vector<std::string>() : units_like(in.unit)},
          {"choices", in.choices}};
}

Json reading_form(const Reading& r, const BikeModel* model, const Conditions& usual) {
  Json j{{"id", r.id},
         {"name", r.name},
         {"ask", r.ask},
         {"unit", r.unit},
         {"units", units_like(r.unit)},
         {"open", !r.open.empty()},
         {"healthy", nullptr},
         {"conditions", Json::array()}};
  if (model == nullptr) {
    for (const AskedCondition& c : conditions_of(r)) {
      if (c.of != AskedCondition::Of::bike) j["conditions"].push_back(condition(c.input));
    }
    return j;
  }
  if (const auto y = model->yardsticks.find(r.id); y != model->yardsticks.end())
    j["healthy"] = {{"low", y->second.low}, {"high", y->second.high}, {"from", y->second.words}};
  for (const Input& in : worth_asking(r, model->traits, usual)) j["conditions"].push_back(condition(in));
  return j;
}

Json job_line(const Knowledge& k, const Shop& shop, const Job& j) {
  Json causes = Json::array();
  for (const std::string& c : j.causes) {
    const Fault* f = k.faults.find(c);
    causes.push_back(f == nullptr ? c : f->name);
  }
  return {{"job", j.number},
          {"bike", j.bike},
          {"bike_name", shop.bike(j.bike).name},
          {"complaint", j.complaint},
          {"opened", j.opened_at},
          {"closed", j.end == JobEnd::open ? "" : j.closed_at},
          {"end", text(j.end)},
          {"causes", std::move(causes)}};
}

Json shop(const Shop& shop) {
  const Knowledge& k = shop.knowledge();
  std::vector<const Job*> open;
  std::map<std::string, int> open_of;
  Json closed = Json::array();
  constexpr std::size_t kShown = 20;
  std::size_t closed_count = 0;
  for (auto at = shop.jobs().rbegin(); at != shop.jobs().rend(); ++at) {
    if (at->second.end == JobEnd::open) {
      open.push_back(&at->second);
      ++open_of[at->second.bike];
    } else if (++closed_count <= kShown) {
      closed.push_back(job_line(k, shop, at->second));
    }
  }
  const auto touched = [&](const Job* j) { return shop.replay().last_of(fmt::format("job/{}", j->number)); };
  std::sort(open.begin(), open.end(), [&](const Job* a, const Job* b) { return touched(a) > touched(b); });
  Json j{{"seq", shop.last()},    {"currency", shop.settings().currency}, {"bikes", Json::array()},
         {"open", Json::array()}, {"closed", std::move(closed)},          {"closed_count", closed_count}};
  for (const Job* job : open) j["open"].push_back(job_line(k, shop, *job));
  for (const auto& [id, b] : shop.bikes()) {
    Json line = named(id, b.name);
    line["kind"] = kind_of(k, b);
    line["hours"] = b.hours_known ? Json(b.hours) : Json();
    line["open_jobs"] = open_of[id];
    j["bikes"].push_back(std::move(line));
  }
  return j;
}

Json settings(const ShopSettings& s) {
  return {{"money_per_hour", s.money_per_hour}, {"currency", s.currency}, {"lacks", s.lacks}, {"usual", s.usual}};
}

Json words(const Knowledge& k) {
  Json j{{"classes", Json::array()},   {"traits", Json::array()},       {"contexts", Json::array()},
         {"tools", Json::array()},     {"parts", Json::array()},        {"wears", Json::array()},
         {"readings", Json::array()},  {"faults", all_named(k.faults)}, {"facts", Json::array()},
         {"shop_facts", Json::array()}};
  const auto list = [&j](const char* name, const auto& things, const char* field, auto what) {
    for (const auto& thing : things) {
      Json line = named(thing.id, thing.name);
      line[field] = thing.*what;
      j[name].push_back(std::move(line));
    }
  };
  list("classes", k.classes, "traits", &BikeClass::traits);
  auto line = j["classes"].begin();
  for (const BikeClass& c : k.classes) (*line++)["displacement_cc"] = c.displacement_cc;
  list("traits", k.traits, "group", &Trait::group);
  list("contexts", k.contexts, "ask", &Context::ask);
  list("tools", k.tools, "common", &Tool::common);
  list("parts", k.parts, "after", &Part::after);
  std::set<std::string> worn;
  for (const Upkeep& u : k.upkeep) {
    if (worn.insert(u.id).second) j["wears"].push_back(named(u.id, u.name));
  }
  for (const std::string& part : parts_that_wear(k)) {
    if (worn.insert(part).second) j["wears"].push_back(named(part, part_name(k, part)));
  }
  for (const Reading& r : k.readings) j["readings"].push_back(reading_form(r, nullptr, {}));
  for (const Input& in : all_conditions(AskedCondition::Of::bike)) j["facts"].push_back(condition(in));
  for (const Input& in : all_conditions(AskedCondition::Of::shop)) j["shop_facts"].push_back(condition(in));
  return j;
}

Json bike(const Shop& shop, const std::string& id) {
  const Knowledge& k = shop.knowledge();
  const Bike& b = shop.bike(id);
  const HourBook& book = shop.hour_book(b.id);
  Json j = named(b.id, b.name);
  j["seq"] = shop.last_for_bike(b.id);
  j["kind"] = kind_of(k, b);
  j["displacement_cc"] = b.displacement_cc;
  for (const char* list : {"traits", "figures", "facts", "renewed", "jobs"}) j[list] = Json::array();
  for (const std::string& t : b.traits) {
    const Trait* trait = k.traits.find(t);
    j["traits"].push_back(named(t, trait == nullptr ? t : trait->name));
  }
  j["hours"] = b.hours_known ? Json(b.hours) : Json();
  j["hours_from"] = book.source();
  j["hard"] = book.hard;
  for (const auto* figures : {&b.baselines, &b.figures}) {
    for (const auto& [reading, f] : *figures) {
      const Reading* r = k.readings.find(reading);
      j["figures"].push_back({{"reading", reading},
                              {"name", r == nullptr ? reading : r->name},
                              {"told", figure_in_words(f)},
                              {"baseline", f.baseline}});
    }
  }
  const std::vector<Input> facts = all_conditions(AskedCondition::Of::bike);
  for (const auto& [fact, told] : b.facts) {
    const auto in = std::find_if(facts.begin(), facts.end(), [&id = fact](const Input& i) { return i.id == id; });
    j["facts"].push_back({{"id", fact}, {"ask", in == facts.end() ? fact : in->ask}, {"told", told}});
  }
  for (const auto& [part, r] : shop.renewals(b.id)) {
    j["renewed"].push_back({{"id", part}, {"name", part_name(k, part)}, {"hours", known(r.hours)}, {"day", r.day}});
  }
  j["due"] = due_json(shop, b.id);
  const std::set<int>& jobs = shop.replay().jobs_of(b.id);
  for (auto number = jobs.rbegin(); number != jobs.rend(); ++number)
    j["jobs"].push_back(job_line(k, shop, shop.job(*number)));
  j["undo"] = shop.last_on_bike(b.id);
  return j;
}

Json heard(const Knowledge& k, const std::vector<Heard>& list) {
  Json out = Json::array();
  for (const Heard& h : list) {
    Json j = named(h.id, h.name);
    j["ask"] = h.is_context ? k.contexts.find(h.id)->ask : k.findings.find(h.id)->ask;
    j["words"] = h.words;
    j["context"] = h.is_context;
    j["so"] = h.so;
    out.push_back(std::move(j));
  }
  return out;
}

}  // namespace crankwise::wire
