// The state of the shop from its events: what each kind of event does.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <tuple>

#include "app/shop_replay.h"
#include "edge/dates.h"
#include "edge/problem.h"

namespace crankwise {
namespace {

/// Does it; what goes wrong is said of the event.
template <class Do>
void reading(const Event& e, Do work) {
  try {
    work();
  } catch (const std::exception& problem) {
    throw BadInput({"", 0, fmt::format("event {}", e.seq),
                    fmt::format("{} of {} cannot be read: {}", e.kind, e.subject, problem.what()),
                    "a shop file written by this program; restore your backup or use a newer crankwise"});
  }
}

std::string after_slash(const std::string& subject) { return subject.substr(subject.find('/') + 1); }

}  // namespace

bool ShopReplay::before(const Placed& a, const Placed& b) const {
  const auto key = [this](const Placed& p) {
    return std::tie(p.order, written_in(p), p.seq, p.event.at, p.event.kind);
  };
  return key(a) < key(b);
}

void ShopReplay::add(const std::vector<Event>& events) {
  Changed changed;
  for (const Event& e : events) take(e, changed);
  settle(changed);
}

void ShopReplay::take(const Event& e, Changed& changed) {
  reading(e, [&] { place(e); });
  changed.subjects.insert(e.subject);
  changed.joined = changed.joined || e.kind == "same-as";
  changed.named = changed.named || e.kind == "identity";  // the moments of all that was written here bear its name
  seen_ = e.seq;
}

void ShopReplay::settle(const Changed& changed) {
  if (changed.joined) join_bikes();
  if (changed.joined || changed.named) {
    for (const auto& [subject, placed] : record_) replay(subject);
  } else {
    for (const std::string& subject : changed.subjects) replay(subject);  // bikes come before jobs
  }
}

void ShopReplay::place(const Event& e) {
  Placed p{e, "", e.seq, e.at};
  const size_t slash = e.subject.find('/');
  const std::string sort = e.subject.substr(0, slash);
  const bool numbered = sort == "job" && slash != std::string::npos;
  if (numbered) {
    if (e.subject != fmt::format("job/{}", std::stoi(after_slash(e.subject)))) throw std::runtime_error("no number");
  } else if (e.subject != "shop" && !(sort == "bike" && slash != std::string::npos)) {
    throw std::runtime_error("unknown subject");
  }
  if (e.subject == "shop" && e.kind == "identity") shop_id_ = p.data().at("id");
  std::deque<Placed>& list = record_[e.subject];
  // Read only where it may be: most of a log was written here.
  const Json data = e.data.find("\"from\"") == std::string::npos ? Json() : p.data();
  if (data.is_object() && data.contains("from")) {
    const Json& from = data.at("from");
    p.shop = from.at("shop");
    p.seq = from.at("seq");
    p.order = from.value("order", e.at);
  } else {
    p.order = std::max(p.order, latest_);
    if (!list.empty() && !list.back().shop.empty()) p.order = std::max(p.order, a_millisecond_later(list.back().order));
    latest_ = p.order;
  }
  const auto at =
      std::upper_bound(list.begin(), list.end(), p, [this](const Placed& a, const Placed& b) { return before(a, b); });
  list.insert(at, std::move(p));
}

void ShopReplay::join_bikes() {
  called_.clear();
  // Bikes that are one go by the id that was here first.
  const auto first_here = [&](const std::string& a, const std::string& b) {
    return record_.at("bike/" + a).front().event.seq < record_.at("bike/" + b).front().event.seq ? a : b;
  };
  for (const auto& [subject, list] : record_) {
    for (const Placed& p : list) {
      if (p.event.kind != "same-as") continue;
      reading(p.event, [&] {
        const std::string other = p.data().at("bike");
        if (record_.count("bike/" + other) == 0) throw std::runtime_error("no such bike");
        const std::string one = called(after_slash(p.event.subject)), two = called(other);
        if (one == two) return;
        const std::string name = first_here(one, two), gone = name == one ? two : one;
        for (auto& [id, is] : called_) is = is == gone ? name : is;
        called_[gone] = name;
        bikes_.erase(gone);
        hour_books_.erase(gone);
      });
    }
  }
}

const std::set<int>& ShopReplay::jobs_of(const std::string& bike) const {
  static const std::set<int> kNone;
  const auto found = jobs_of_.find(bike);
  return found == jobs_of_.end() ? kNone : found->second;
}

std::int64_t ShopReplay::last_of(const std::string& subject) const {
  const auto found = record_.find(subject);
  std::int64_t last = 0;
  if (found == record_.end()) return last;
  for (const Placed& p : found->second) last = std::max(last, p.event.seq);
  return last;
}

std::string ShopReplay::called(const std::string& bike) const {
  const auto found = called_.find(bike);
  return found == called_.end() ? bike : found->second;
}

std::vector<std::string> ShopReplay::ids_of(const std::string& bike) const {
  std::vector<std::string> ids{called(bike)};
  for (const auto& [id, is] : called_) {
    if (is == ids.front()) ids.push_back(id);
  }
  return ids;
}

std::vector<const Placed*> ShopReplay::of_bike(const std::string& bike, bool standing) const {
  std::vector<const Placed*> all;
  for (const std::string& id : ids_of(bike)) {
    if (const auto found = record_.find("bike/" + id); found != record_.end()) {
      for (const Placed& p : found->second) all.push_back(&p);
    }
  }
  std::stable_sort(all.begin(), all.end(), [this](const Placed* a, const Placed* b) { return before(*a, *b); });
  if (!standing) return all;
  using Known = std::tuple<std::string, std::int64_t, std::string, std::string>;
  std::set<Known> gone;
  for (const Placed* p : all) {
    if (p->event.kind != "undone") continue;
    reading(p->event, [&] {
      const Json d = p->data();
      gone.emplace(d.value("shop", written_in(*p)), d.at("seq"), d.at("at"), d.at("kind"));
    });
  }
  std::erase_if(all, [&](const Placed* p) {
    const std::string& kind = p->event.kind;
    return kind == "undone" || (kind != "added" && gone.count({written_in(*p), p->seq, p->event.at, kind}) > 0);
  });
  return all;
}

void ShopReplay::replay(const std::string& subject) {
  const std::deque<Placed>& list = record_.at(subject);
  if (subject == "shop") {
    for (const Placed& p : list) {
      reading(p.event, [&] {
        if (p.event.kind == "set") {
          const Json d = p.data();
          settings_.money_per_hour = d.at("money_per_hour");
          settings_.currency = d.at("currency");
          settings_.lacks = d.at("lacks").get<std::set<std::string>>();
          settings_.usual = d.value("usual", Conditions{});
          settings_.simulated_worth = d.value("simulated_worth", 0.0);
        } else if (p.event.kind != "identity" && p.event.kind != "took-over") {
          throw std::runtime_error("unknown kind");
        }
      });
    }
  } else if (subject.starts_with("bike/")) {
    replay_bike(called(after_slash(subject)));
  } else {
    replay_job(std::stoi(after_slash(subject)), list);
  }
}

void ShopReplay::replay_bike(const std::string& id) {
  Bike b;
  HourBook book;
  bool first = true;
  for (const Placed* p : of_bike(id, true)) {
    reading(p->event, [&] { apply_to_bike(b, book, first, *p, moment(*p)); });
    first = false;
  }
  b.id = id;
  bikes_[id] = std::move(b);
  hour_books_[id] = std::move(book);
}

void ShopReplay::replay_job(int number, const std::deque<Placed>& list) {
  Job job;
  job.number = number;
  auto& touched = touched_[number];
  std::map<int, std::vector<JobEntry>> taken;  // act -> what stood there
  std::vector<int> undone;                     // acts, in the order they were
  for (const Placed& p : list) {
    if (p.event.kind == "undone") reading(p.event, [&] { taken[undone.emplace_back(p.data().at("act"))]; });
  }
  for (const Placed& p : list) {
    reading(p.event, [&] {
      const Json d = p.data();
      touched.second = p.order;
      if (p.shop.empty()) touched.first = std::max(touched.first, p.event.seq);
      if (p.event.kind == "opened") {
        if (!job.bike.empty()) throw std::runtime_error("the job is open already");
        job.bike = called(d.at("bike"));
        job.complaint = d.at("complaint");
        job.opened_at = p.event.at;
        job.opened = moment(p);
        if (bikes_.count(job.bike) == 0) throw std::runtime_error("no such bike");
        return;
      }
      if (job.bike.empty()) throw std::runtime_error("the job was never opened");
      const int act = d.at("act");
      job.acts = std::max(job.acts, act);
      if (p.event.kind == "undone") return;
      if (const auto gone = taken.find(act); gone != taken.end()) {
        Job aside;
        apply_to_job(aside, p, d, moment(p));
        for (JobEntry& e : aside.entries) gone->second.push_back(std::move(e));
      } else {
        apply_to_job(job, p, d, moment(p));
      }
    });
  }
  for (const int act : undone) {
    for (JobEntry& e : taken.at(act)) job.taken_back.push_back(std::move(e));
    taken.at(act).clear();
  }
  job.entries.shrink_to_fit();
  Job& before = jobs_[number];
  if (before.bike != job.bike) {
    if (!before.bike.empty()) jobs_of_[before.bike].erase(number);
    jobs_of_[job.bike].insert(number);
  }
  before = std::move(job);
}

}  // namespace crankwise
