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
    if (e.kind == "added") {
      Bike b = bike_from(d);
      b.id = id;
      bikes_[id] = std::move(b);
      return;
    }
    Bike& b = bikes_.at(id);
    if (e.kind == "hours")
      b.hours = d.at("hours"), b.hours_known = true;
    else if (e.kind == "figure")
      b.figures[d.at("figure")] = {d.at("low"), d.at("high"), d.at("unit"), d.at("baseline")};
    else if (e.kind == "access")
      b.access_min[d.at("part")] = {d.at("off"), d.at("on")};
    else if (e.kind == "renewed")
      b.renewed_h[d.at("part")] = d.at("hours");
    else
      throw std::runtime_error("unknown kind");
  } else if (sort == "job") {
    const int number = std::stoi(id);
    touched_[number] = e.seq;
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

void Shop::apply_to_job(Job& job, const Event& e) {
  const Json d = Json::parse(e.data);
  if (e.kind == "opened") {
    if (!job.bike.empty()) throw std::runtime_error("the job is open already");
    job.bike = d.at("bike");
    job.complaint = d.at("complaint");
    job.opened_at = e.at;
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
    return;
  }
  job.entries.push_back({entry_from(e.kind, d), e.at, d.at("act"), d.value("hours", -1.0)});
}

}  // namespace crankwise
