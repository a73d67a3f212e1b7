#include "app/shop_file_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "edge/dates.h"
#include "edge/picture.h"
#include "edge/problem.h"

namespace crankwise {
namespace {

constexpr double kSame_h = 1e-6;             // the same rides added up in another order
constexpr double kAheadOfUtc_s = 14 * 3600;  // somewhere it is this much later already

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
    photos();
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

  void photos() {
    std::map<std::string, bool> shown;
    for (size_t i = 0; i < file_.photos.size(); ++i) {
      const Attachment& a = file_.photos[i];
      const std::string path = fmt::format("photos[{}]", i + 1);
      if (!shown.try_emplace(a.sha256, false).second) note_(path, "is there twice", "once");
      try {
        if (picture_facts(a.bytes, "").media_type != a.media_type)
          note_(path + ".media_type", "\"" + a.media_type + "\" is not what its bytes are", "that of the picture");
      } catch (const BadInput& e) {
        note_(path, e.problems().front().wrong, e.problems().front().right);
      }
    }
    for (const FileRecord& j : file_.jobs) {
      for (const FileEvent& e : j.events) {
        if (e.kind != "photo") continue;
        const auto found = shown.find(e.data.at("sha256"));
        if (found == shown.end())
          note_(e.path + ".data.sha256", "its picture is not among the photos of the file", "a whole file");
        else
          found->second = true;
      }
    }
    for (size_t i = 0; i < file_.photos.size(); ++i) {
      if (!shown.at(file_.photos[i].sha256)) note_(fmt::format("photos[{}]", i + 1), "no job shows it", "none such");
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
    const std::set<std::string> gone = taken_back(events);
    double most = 0;                        // that the engine can have had: the highest told, and all rides
    std::map<std::string, double> metered;  // shop -> what a meter showed last
    for (const FileEvent* e : events) {
      if (e->kind == "ridden") most += e->data.at("hours").get<double>();
    }
    const double rides = most;
    for (const FileEvent* e : events) {
      if ((e->kind != "hours" && e->kind != "added") || !e->data.contains("hours")) continue;
      const double h = e->data.at("hours");
      most = std::max(most, rides + h);
      if (e->data.value("corrected", false)) {  // also if another shop took it back: readings may have followed it here
        for (auto& [shop, last] : metered) last = std::min(last, h);
      }
      if (gone.count(identity_of(e->shop, e->seq, e->at, e->kind)) > 0) continue;
      double& last = metered[e->shop];
      if (h < last - kSame_h && e->kind == "hours") {
        note_(e->path + ".data.hours", fmt::format("the hours run backwards: {:g} h after {:g} h", h, last),
              fmt::format("{:g} or more", last));
      } else if (!e->data.value("estimate", false)) {
        last = h;
      }
    }
    for (const FileEvent* e : events) {
      if (e->kind == "renewed") renewal(*e, most);
    }
    for (const FileEvent* e : written_at_[group]) {
      if (e->data.at("hours") > most + kSame_h) {
        note_(e->path + ".data.hours",
              fmt::format("written at {:g} h, but the engine has {:g} h", e->data.at("hours").get<double>(), most),
              "0 to the engine's hours");
      }
    }
  }

  /// Identities of what was taken back on a bike; says what is not there.
  std::set<std::string> taken_back(const std::vector<const FileEvent*>& events) {
    std::set<std::string> there, gone;
    for (const FileEvent* e : events) {
      if (e->kind != "added" && e->kind != "undone") there.insert(identity_of(e->shop, e->seq, e->at, e->kind));
    }
    for (const FileEvent* e : events) {
      if (e->kind != "undone") continue;
      const Json& d = e->data;
      const std::string what = identity_of(d.value("shop", e->shop), d.at("seq"), d.at("at"), d.at("kind"));
      if (there.count(what) == 0)
        note_(e->path + ".data", "takes back an entry that is not there", "an entry of this bike");
      gone.insert(what);
    }
    return gone;
  }

  void renewal(const FileEvent& e, double most_hours) {
    const double h = e.data.value("hours", 0.0);
    if (h > most_hours + kSame_h) {
      note_(e.path + ".data.hours", fmt::format("renewed at {:g} h, but the engine had {:g} h", h, most_hours),
            "0 to the engine's hours");
    }
    const auto day = day_number(e.data.value("day", ""));
    if (day && 86400.0 * *day > second_number(e.at).value_or(0) + kAheadOfUtc_s) {
      note_(e.path + ".data.day", fmt::format("renewed on {}, after it was written down", e.data.at("day").dump()),
            "a day up to " + e.at.substr(0, 10));
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
