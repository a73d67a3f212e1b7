// The state of the shop from its events: what each kind of event does.
#include <algorithm>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "app/shop.h"

namespace crankwise {

void Shop::apply(const Event& e) {
  const Json d = Json::parse(e.data);
  const size_t slash = e.subject.find('/');
  const std::string sort = e.subject.substr(0, slash),
                    id = slash == std::string::npos ? "" : e.subject.substr(slash + 1);
  if (sort == "shop" && e.kind == "set") {
    settings_.money_per_hour = d.at("money_per_hour");
    settings_.currency = d.at("currency");
    settings_.lacks = d.at("lacks").get<std::set<std::string>>();
  } else if (sort == "bike") {
    std::vector<Event>& events = bike_events_[id];
    if (e.kind != "undone") {
      apply_to_bike(id, e);
      events.push_back(e);
      return;
    }
    // Replay without what was taken back.
    if (events.empty()) throw std::runtime_error("no such bike");
    std::erase_if(events, [&](const Event& old) { return old.seq == d.at("seq") && old.kind != "added"; });
    for (const Event& old : events) apply_to_bike(id, old);
  } else if (sort == "job") {
    const int number = std::stoi(id);
    touched_[number] = e.seq;
    if (e.kind == "believed") return;  // read when asked for: believed()
    if (e.kind == "undone" || e.kind == "closed" || e.kind == "lesson") learned_.clear();
    job_events_[number].push_back(e);
    if (e.kind == "undone") {
      // Replay without the act that was taken back.
      std::vector<Event> kept;
      const int act = d.at("act");
      for (const Event& old : job_events_[number]) {
        if (old.kind == "undone") continue;
        if (old.kind == "opened" || Json::parse(old.data).at("act") != act) kept.push_back(old);
      }
      const Job before = jobs_.at(number);
      jobs_[number] = Job{};
      for (const Event& old : kept) apply_to_job(jobs_[number], old);
      jobs_[number].acts = before.acts;
      jobs_[number].taken_back = before.taken_back;
      for (const JobEntry& gone : before.entries) {
        if (gone.act == act) jobs_[number].taken_back.push_back(gone);
      }
      job_events_[number] = std::move(kept);
    } else {
      apply_to_job(jobs_[number], e);
    }
    jobs_[number].number = number;
  } else {
    throw std::runtime_error("unknown subject");
  }
}

void Shop::apply_to_bike(const std::string& id, const Event& e) {
  const Json d = Json::parse(e.data);
  if (e.kind == "added") {
    Bike b = bike_from(d);
    b.id = id;
    hour_books_[id] = HourBook{};
    if (b.hours_known) hour_books_[id].add({e.seq, e.at, b.hours, HoursFrom::meter});
    bikes_[id] = std::move(b);
    return;
  }
  Bike& b = bikes_.at(id);
  HourBook& book = hour_books_.at(id);
  const auto now_at = [&](double hours, HoursFrom from) {
    book.add({e.seq, e.at, hours, from});
    b.hours = hours;
    b.hours_known = true;
    for (auto& [part, h] : b.renewed_h) h = std::min(h, hours);
  };
  if (e.kind == "hours") {
    now_at(d.at("hours"), d.value("estimate", false) ? HoursFrom::estimate : HoursFrom::meter);
    if (d.contains("meter")) book.meter_lag = b.hours - d.at("meter").get<double>();
  } else if (e.kind == "ridden") {
    now_at(b.hours + d.at("hours").get<double>(), HoursFrom::estimate);
  } else if (e.kind == "renewed") {
    Renewal r{e.at, d.value("hours", -1.0), d.value("day", "")};
    if (b.hours_known) r.hours = std::min(r.hours, b.hours);  // hours told before it may have been taken back
    const std::vector<std::string> parts = d.contains("parts") ? d.at("parts").get<std::vector<std::string>>()
                                                               : std::vector{d.at("part").get<std::string>()};
    for (const auto& part : parts) {
      book.renewed[part] = r;
      if (r.hours >= 0) b.renewed_h[part] = r.hours;
    }
  } else if (e.kind == "interval") {
    const OwnInterval own{d.at("hours"), d.at("days")};
    book.own.erase(d.at("upkeep"));
    if (own.hours > 0 || own.days > 0) book.own[d.at("upkeep")] = own;
  } else if (e.kind == "use") {
    book.hard = d.at("hard");
  } else if (e.kind == "figure") {
    b.figures[d.at("figure")] = {d.at("low"), d.at("high"), d.at("unit"), d.at("baseline")};
  } else if (e.kind == "access") {
    b.access_min[d.at("part")] = {d.at("off"), d.at("on")};
  } else {
    throw std::runtime_error("unknown kind");
  }
}

void Shop::apply_to_job(Job& job, const Event& e) {
  const Json d = Json::parse(e.data);
  if (e.kind == "opened") {
    if (!job.bike.empty()) throw std::runtime_error("the job is open already");
    job.bike = d.at("bike");
    job.complaint = d.at("complaint");
    job.opened_at = e.at;
    job.opened_seq = e.seq;
    if (bikes_.count(job.bike) == 0) throw std::runtime_error("no such bike");
    return;
  }
  if (job.bike.empty()) throw std::runtime_error("the job was never opened");
  job.acts = std::max(job.acts, d.at("act").get<int>());
  if (e.kind == "closed") {
    const std::string how = d.at("end");
    for (JobEnd end : {JobEnd::proven, JobEnd::fixed_unproven, JobEnd::given_up}) {
      if (how == text(end)) job.end = end;
    }
    if (job.end == JobEnd::open) throw std::runtime_error("\"" + how + "\" is not an end");
    job.causes = d.at("causes").get<std::vector<std::string>>();
    job.words = d.at("words");
    job.doubt = d.value("doubt", -1.0);
    job.closed_at = e.at;
    job.closed_seq = e.seq;
    if (d.contains("lesson")) {
      job.credit = d["lesson"].at("causes").get<std::vector<Chances>>();
      job.expected_more = d["lesson"].at("expected").get<Chances>();
    } else {
      for (const auto& cause : job.causes) job.credit.push_back({{cause, 1.0}});
    }
    return;
  }
  if (e.kind == "lesson") {
    job.teaches = d.at("counts");
    return;
  }
  job.entries.push_back({entry_from(e.kind, d), e.at, d.at("act"), d.value("hours", -1.0), e.seq});
}

}  // namespace crankwise
