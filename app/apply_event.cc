#include <algorithm>
#include <stdexcept>

#include "app/shop_replay.h"

namespace crankwise {
namespace {

void entered(Bike& b, HourBook& book, bool first, const Placed& p, const Moment& moment) {
  Bike other = bike_from(p.data());
  if (first) {
    b = std::move(other);
    if (b.hours_known) book.add({moment, p.event.at, b.hours, HoursFrom::meter});
    return;
  }
  // The same bike, entered in another shop too.
  if (other.hours_known) {
    b.hours = std::max(b.hours, other.hours);
    b.hours_known = true;
    book.add({moment, p.event.at, b.hours, HoursFrom::meter});
  }
  for (const auto& [id, f] : other.figures) b.figures[id] = f;
  for (const auto& [id, f] : other.baselines) b.baselines[id] = f;
  for (const auto& [id, told] : other.facts) b.facts[id] = told;
  for (const auto& [id, rows] : other.tables) b.tables[id] = rows;
  for (const auto& [part, m] : other.access_min) b.access_min[part] = m;
  for (const auto& [part, h] : other.renewed_h) b.renewed_h[part] = h;
}

void hours_told(Bike& b, HourBook& book, double hours, HoursFrom from, const Placed& p, const Moment& moment) {
  book.add({moment, p.event.at, hours, from});
  b.hours = hours;
  b.hours_known = true;
  for (auto& [part, h] : b.renewed_h) h = std::min(h, hours);
}

void renewed(Bike& b, HourBook& book, const Placed& p) {
  const Json d = p.data();
  Renewal r{p.event.at, d.value("hours", -1.0), d.value("day", "")};
  r.hours = b.hours_known ? std::min(r.hours, b.hours) : -1;  // hours told before it may have been taken back
  const std::vector<std::string> parts = d.contains("parts") ? d.at("parts").get<std::vector<std::string>>()
                                                             : std::vector{d.at("part").get<std::string>()};
  for (const auto& part : parts) {
    book.renewed[part] = r;
    if (r.hours >= 0) b.renewed_h[part] = r.hours;
  }
}

void closed(Job& job, const Placed& p, const Json& d, const Moment& moment) {
  const std::string how = d.at("end");
  job.end = JobEnd::open;
  for (JobEnd end : {JobEnd::proven, JobEnd::fixed_unproven, JobEnd::given_up}) {
    if (how == text(end)) job.end = end;
  }
  if (job.end == JobEnd::open) throw std::runtime_error("\"" + how + "\" is not an end");
  job.causes = d.at("causes").get<std::vector<std::string>>();
  job.words = d.at("words");
  job.doubt = d.value("doubt", -1.0);
  job.closed_at = p.event.at;
  job.closed = moment;
  job.closing_act = d.at("act");
  job.lesson_act = 0;
  job.teaches = true;
  job.credit.clear();
  job.expected_more.clear();
  if (d.contains("lesson")) {
    job.credit = d.at("lesson").at("causes").get<std::vector<Chances>>();
    job.expected_more = d.at("lesson").at("expected").get<Chances>();
  } else {
    for (const auto& cause : job.causes) job.credit.push_back({{cause, 1.0}});
  }
}

}  // namespace

void apply_to_bike(Bike& b, HourBook& book, bool first, const Placed& p, const Moment& moment) {
  const Json d = p.data();
  const std::string& kind = p.event.kind;
  if (kind == "added") {
    entered(b, book, first, p, moment);
  } else if (first) {
    throw std::runtime_error("no such bike");
  } else if (kind == "hours") {
    // A meter does not run backwards: of what two shops noted apart, the higher counts.
    const double told = d.at("hours"), least = d.value("corrected", false) ? 0 : book.metered();
    const bool estimate = d.value("estimate", false);
    hours_told(b, book, std::max(told, least), estimate ? HoursFrom::estimate : HoursFrom::meter, p, moment);
    if (d.contains("meter")) book.meter_lag = told - d.at("meter").get<double>();
  } else if (kind == "ridden") {
    hours_told(b, book, b.hours + d.at("hours").get<double>(), HoursFrom::estimate, p, moment);
  } else if (kind == "renewed") {
    renewed(b, book, p);
  } else if (kind == "interval") {
    const OwnInterval own{d.at("hours"), d.at("days")};
    book.own.erase(d.at("upkeep"));
    if (own.hours > 0 || own.days > 0) book.own[d.at("upkeep")] = own;
  } else if (kind == "use") {
    book.hard = d.at("hard");
  } else if (kind == "figure") {
    const Figure f = figure_from(d);
    (f.baseline ? b.baselines : b.figures)[d.at("figure")] = f;
  } else if (kind == "fact") {
    b.facts[d.at("fact")] = d.at("told");
  } else if (kind == "table") {
    b.tables[d.at("reading")] = table_from(d.at("rows"));
  } else if (kind == "access") {
    b.access_min[d.at("part")] = {d.at("off"), d.at("on")};
  } else if (kind != "same-as") {
    throw std::runtime_error("unknown kind");
  }
}

void apply_to_job(Job& job, const Placed& p, const Json& d, const Moment& moment) {
  const std::string& kind = p.event.kind;
  if (kind == "believed") return;  // read when asked for: Shop::believed
  if (kind == "closed") return closed(job, p, d, moment);
  if (kind == "lesson") {
    job.teaches = d.at("counts");
    job.lesson_act = d.at("act");
    return;
  }
  job.entries.push_back({entry_from(kind, d), p.event.at, d.at("act"), d.value("hours", -1.0), moment});
}

}  // namespace crankwise
