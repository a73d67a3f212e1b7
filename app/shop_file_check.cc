#include "app/shop_file_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

namespace crankwise {
namespace {

class Check {
 public:
  Check(const ShopFile& file, const NoteProblem& note) : file_(file), note_(note) {}

  void all() {
    for (const FileEvent& e : file_.settings) once(e);
    records(file_.bikes, "bikes", "id", "added");
    records(file_.jobs, "jobs", "number", "opened");
    for (size_t i = 0; i < file_.bikes.size(); ++i) {
      if (!bikes_.try_emplace(file_.bikes[i].id, i).second) continue;
      group_[file_.bikes[i].id] = file_.bikes[i].id;
    }
    for (const FileRecord& b : file_.bikes) {
      for (const FileEvent& e : b.events) {
        if (e.kind != "same-as") continue;
        const std::string one = group_.at(b.id);
        if (!known_bike(e)) continue;
        const std::string other = group_.at(e.data.at("bike"));
        for (auto& [id, group] : group_) group = group == other ? one : group;
      }
    }
    for (const FileRecord& j : file_.jobs) job(j);
    for (const auto& [id, group] : group_) {
      if (id == group) hours(group);
    }
  }

 private:
  void once(const FileEvent& e) {
    const auto [first, fresh] = seen_.try_emplace(identity_of(e.shop, e.seq, e.at, e.kind), e.path);
    if (!fresh) note_(e.path, "is there twice: " + first->second + " is the same entry", "once");
  }

  void records(const std::vector<FileRecord>& list, const std::string& name, const char* key, const char* first) {
    std::map<std::string, size_t> ids;
    for (size_t i = 0; i < list.size(); ++i) {
      const std::string path = fmt::format("{}[{}]", name, i + 1);
      const auto [at, fresh] = ids.try_emplace(list[i].id, i);
      if (!fresh) {
        note_(fmt::format("{}.{}", path, key),
              fmt::format("{} is the {} of {}[{}] already", list[i].id, key, name, at->second + 1), "another one");
      }
      for (const FileEvent& e : list[i].events) once(e);
      const auto start = std::min_element(list[i].events.begin(), list[i].events.end(), counts_before);
      const auto starts = std::count_if(list[i].events.begin(), list[i].events.end(),
                                        [&](const FileEvent& e) { return e.kind == first; });
      if (start == list[i].events.end())
        note_(path + ".events", "is empty", fmt::format("\"{}\" first", first));
      else if (start->kind != first || starts != 1)
        note_(path + ".events", fmt::format("must have one \"{}\", before all others", first), "it once, as the first");
    }
  }

  bool known_bike(const FileEvent& e) {
    const std::string id = e.data.at("bike");
    if (bikes_.count(id) > 0) return true;
    note_(e.path + ".data.bike", fmt::format("no bike in this file is called \"{}\"", id), "one of its bikes");
    return false;
  }

  void job(const FileRecord& j) {
    std::set<int> acts;
    for (const FileEvent& e : j.events) {
      if (e.kind != "opened" && e.kind != "undone") acts.insert(e.data.at("act").get<int>());
      if (e.kind != "opened" || !known_bike(e)) continue;
      for (const FileEvent& entry : j.events) {
        if (entry.data.contains("hours")) written_at_[group_.at(e.data.at("bike"))].push_back(&entry);
      }
    }
    for (const FileEvent& e : j.events) {
      if (e.kind == "undone" && acts.count(e.data.at("act").get<int>()) == 0)
        note_(e.path + ".data.act", "takes back an act that is not there", "an act of this job");
    }
  }

  /// Of all bikes that are one.
  void hours(const std::string& group) {
    std::vector<const FileEvent*> events;
    for (const FileRecord& b : file_.bikes) {
      if (group_.at(b.id) != group) continue;
      for (const FileEvent& e : b.events) events.push_back(&e);
    }
    std::sort(events.begin(), events.end(), [](auto* a, auto* b) { return counts_before(*a, *b); });
    double highest = 0;
    std::map<std::string, double> meter;  // shop -> what it noted last
    for (const FileEvent* e : events) {
      const bool reads_meter = (e->kind == "hours" || e->kind == "added") && e->data.contains("hours");
      if (reads_meter) {
        const double h = e->data.at("hours");
        if (e->kind == "hours" && h < meter[e->shop]) {
          note_(e->path + ".data.hours", fmt::format("the hours run backwards: {:g} h after {:g} h", h, meter[e->shop]),
                fmt::format("{:g} or more", meter[e->shop]));
        }
        meter[e->shop] = std::max(meter[e->shop], h);
        highest = std::max(highest, h);
      } else if (e->kind == "renewed" && e->data.at("hours") > highest) {
        note_(e->path + ".data.hours",
              fmt::format("renewed at {:g} h, but the engine had {:g} h then", e->data.at("hours").get<double>(),
                          highest),
              "0 to the engine's hours");
      }
    }
    for (const FileEvent* e : written_at_[group]) {
      if (e->data.at("hours") > highest) {
        note_(e->path + ".data.hours",
              fmt::format("written at {:g} h, but the engine has {:g} h", e->data.at("hours").get<double>(), highest),
              "0 to the engine's hours");
      }
    }
  }

  const ShopFile& file_;
  const NoteProblem& note_;
  std::map<std::string, std::string> seen_;  // identity -> path
  std::map<std::string, size_t> bikes_;
  std::map<std::string, std::string> group_;  // bike -> the bike that stands for all that are the same
  std::map<std::string, std::vector<const FileEvent*>> written_at_;  // group -> entries with hours
};

}  // namespace

void check_shop_file(const ShopFile& file, const NoteProblem& note) { Check(file, note).all(); }

bool counts_before(const FileEvent& a, const FileEvent& b) {
  return std::tie(a.order, a.shop, a.seq, a.at, a.kind) < std::tie(b.order, b.shop, b.seq, b.at, b.kind);
}

std::string identity_of(const std::string& shop, std::int64_t seq, const std::string& at, const std::string& kind) {
  return fmt::format("{} {} {} {}", shop, seq, at, kind);
}

}  // namespace crankwise
