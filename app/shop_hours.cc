// Hours and renewals of the shop's bikes.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "app/refuse.h"
#include "app/shop.h"
#include "edge/dates.h"

namespace crankwise {
namespace {

constexpr double kMostHours = 1e5;
constexpr double kMinute = 60;
constexpr double kAheadOfUtc = 14 * 3600;  // somewhere it is this much later already

/// All parts that `what` stands for on this bike; refused if it is none.
std::vector<std::string> parts_of(const Knowledge& k, const Bike& b, const std::string& what) {
  const Traits traits(b.traits);
  std::vector<std::string> names;
  for (const Upkeep& u : k.upkeep) {
    if (!u.applies.holds(traits)) continue;
    if (u.id == what) return u.parts;
    names.push_back(u.id);
  }
  const std::vector<std::string> parts = parts_that_wear(k, traits);
  if (std::binary_search(parts.begin(), parts.end(), what)) return {what};
  names.insert(names.end(), parts.begin(), parts.end());
  const std::vector<std::string> all = parts_that_wear(k);
  if (std::binary_search(all.begin(), all.end(), what) || k.upkeep.find(what) != nullptr)
    refuse(fmt::format("{} has no \"{}\"", b.name, what), "a part of its equipment");
  std::sort(names.begin(), names.end());
  names.erase(std::unique(names.begin(), names.end()), names.end());
  const std::string near = nearest(what, names);
  refuse(fmt::format("no part that wears is called \"{}\"", what),
         near.empty() ? fmt::format("one of {}", fmt::join(names, ", ")) : "perhaps \"" + near + "\"");
}

std::string told_in_words(const Placed& told) {
  const Json d = told.data();
  const std::string& kind = told.event.kind;
  if (kind == "hours") return fmt::format("{:g} h", d.value("meter", d.at("hours").get<double>()));
  if (kind == "ridden") return fmt::format("a ride of {:g} h", d.at("hours").get<double>());
  if (kind == "use") return d.at("hard") ? "ridden hard" : "ridden as usual";
  if (kind == "renewed") {
    const bool one = d.contains("part");
    return (one ? d.at("part").get<std::string>()
                : fmt::format("{}", fmt::join(d.at("parts").get<std::vector<std::string>>(), ", "))) +
           " renewed";
  }
  for (const char* name : {"upkeep", "figure", "fact", "reading", "part"}) {
    if (d.contains(name)) return kind + " of " + d.at(name).get<std::string>();
  }
  return kind;
}

}  // namespace

const HourBook& Shop::hour_book(const std::string& id) const { return hour_books_.at(bike(id).id); }

std::map<std::string, Renewal> Shop::renewals(const std::string& id, int except_job) const {
  const HourBook& book = hour_book(id);
  std::map<std::string, Renewal> out = book.renewed;
  for (const int number : jobs_of(called(id))) {
    if (number == except_job) continue;
    const Job& job = jobs_.at(number);
    for (const JobEntry& e : job.entries) {
      const auto* did = std::get_if<Did>(&e.entry);
      const Step* step = did == nullptr ? nullptr : knowledge_->steps.find(did->step);
      if (step == nullptr || taken_out_again(job, e)) continue;  // a part that went back out is not in
      const Renewal r{e.at, book.hours_at(e.moment), e.at.substr(0, 10)};
      for (const auto& part : step->renews) {
        const auto [known, fresh] = out.try_emplace(part, r);
        if (fresh) continue;
        const std::string told_at = std::max(known->second.told_at, r.told_at);
        known->second = later(known->second, r);
        known->second.told_at = told_at;
      }
    }
  }
  return out;
}

Bike Shop::bike_with_renewals(const std::string& id, int except_job) const {
  Bike b = bike(id);
  for (const auto& [part, r] : renewals(id, except_job)) {
    if (r.hours >= 0) b.renewed_h[part] = r.hours;
  }
  return b;
}

Bike Shop::bike_on_job(int number) const {
  const Job& j = job(number);
  Bike b = bike_with_renewals(j.bike, number);
  std::vector<const JobEntry*> before;
  for (const int n : jobs_of(j.bike)) {
    if (n == number) continue;
    for (const JobEntry& e : jobs_.at(n).entries) {
      if (std::holds_alternative<Took>(e.entry) && e.moment < j.opened) before.push_back(&e);
    }
  }
  std::sort(before.begin(), before.end(), [](const JobEntry* x, const JobEntry* y) { return x->moment < y->moment; });
  for (const JobEntry* e : before) b.readings.push_back({std::get<Took>(e->entry), e->hours, false});
  return b;
}

void Shop::set_hours(const std::string& id, double hours, HoursTold told) {
  return newest([&] {
    const Bike& b = bike(id);
    const HourBook& book = hour_book(id);
    if (!(hours >= 0 && hours < kMostHours)) refuse("engine hours must be 0 or more", "what the hour meter shows");
    if (told == HoursTold::new_meter) {
      if (!b.hours_known)
        refuse(
            fmt::format("the engine's hours of {} are not known yet, so another meter cannot run on from them", b.name),
            "first about how many it has, as an estimate");
      append({{"bike/" + b.id, "hours", Json{{"hours", b.hours}, {"meter", hours}}.dump()}});
      return;
    }
    const double engine = told == HoursTold::estimate ? hours : hours + book.meter_lag;
    if (told != HoursTold::correction && engine < book.metered()) {
      const double least = told == HoursTold::estimate ? book.metered() : book.metered() - book.meter_lag;
      refuse(fmt::format("the hours run backwards: {} has {:g} h already{}", b.name, book.metered(),
                         least == book.metered() ? "" : fmt::format(" ({:g} h on its meter)", least)),
             fmt::format("{:g} or more; or that another meter is on, or that what was written down before is wrong",
                         least));
    }
    if (engine < 0) {
      refuse(fmt::format("the engine would have {:g} h, as this meter shows {:g} h more than the engine has", engine,
                         -book.meter_lag),
             fmt::format("{:g} or more", -book.meter_lag));
    }
    Json data{{"hours", engine}};
    if (told == HoursTold::estimate)
      data["estimate"] = true;
    else
      data["meter"] = hours;
    if (told == HoursTold::correction) data["corrected"] = true;
    append({{"bike/" + b.id, "hours", data.dump()}});
  });
}

void Shop::ridden(const std::string& id, double hours) {
  return newest([&] {
    const Bike& b = bike(id);
    if (!(hours > 0 && hours <= 24))
      refuse(fmt::format("a ride of {:g} h cannot be", hours), "one ride, above 0 and up to 24 h");
    if (!b.hours_known)
      refuse(fmt::format("the engine's hours of {} are not known yet", b.name),
             "first about how many it has now, as an estimate");
    append({{"bike/" + b.id, "ridden", Json{{"hours", hours}}.dump()}});
  });
}

Renewed Shop::renewed(const std::string& id, const std::string& what, const RenewedWhen& when) {
  return newest([&]() -> Renewed {
    const Bike& b = bike(id);
    const std::string now = clock_();
    Renewed done{parts_of(*knowledge_, b, what), {now, when.hours.value_or(-1), when.day}};
    std::vector<Problem> problems;
    if (when.hours && !b.hours_known) {
      problems.push_back({"", 0, "hours", fmt::format("the engine's hours of {} are not known yet", b.name),
                          "the engine's hours first"});
    } else if (when.hours && !(*when.hours >= 0 && *when.hours <= b.hours)) {
      problems.push_back({"", 0, "hours",
                          fmt::format("renewed at {:g} h, but the engine has {:g} h", *when.hours, b.hours),
                          "0 to the engine's hours"});
    }
    const auto day = day_number(when.day);
    if (!when.day.empty() && (!day || when.day.size() != 10)) {
      problems.push_back({"", 0, "day", fmt::format("\"{}\" is not a day", when.day), "year-month-day, as 2026-05-04"});
    } else if (day && 86400.0 * *day > second_number(now).value_or(0) + kAheadOfUtc) {
      problems.push_back({"", 0, "day", fmt::format("renewed on {}, but today is {}", when.day, now.substr(0, 10)),
                          "today or a day before"});
    }
    const std::map<std::string, Renewal> before = renewals(id);
    for (const auto& part : done.parts) {
      const auto told = before.find(part);
      if (when.again || told == before.end()) continue;
      const double ago = second_number(now).value_or(0) - second_number(told->second.told_at).value_or(0);
      if (std::abs(ago) >= kMinute) continue;
      problems.push_back(
          {"", 0, "",
           fmt::format("the {} of {} was written down as renewed {:.0f} s ago", part, b.name, std::max(ago, 0.0)),
           "once; or that it was renewed again, if it was, or to put the hours right"});
    }
    if (!problems.empty()) throw BadInput(std::move(problems));
    const bool today = when.day.empty() || when.day >= now.substr(0, 10);
    if (!when.hours && b.hours_known) done.when.hours = today ? b.hours : hour_book(id).hours_on(when.day);
    if (when.day.empty() && !when.hours) done.when.day = now.substr(0, 10);
    Json data{{"parts", done.parts}};
    if (done.when.hours >= 0) data["hours"] = done.when.hours;
    if (!done.when.day.empty()) data["day"] = done.when.day;
    append({{"bike/" + b.id, "renewed", data.dump()}});
    return done;
  });
}

void Shop::set_hard(const std::string& id, bool hard) {
  return newest([&] {
    const Bike& b = bike(id);
    append({{"bike/" + b.id, "use", Json{{"hard", hard}}.dump()}});
  });
}

void Shop::set_interval(const std::string& id, const std::string& upkeep, const OwnInterval& own) {
  return newest([&] {
    const Bike& b = bike(id);
    const Upkeep* u = knowledge_->upkeep.find(upkeep);
    if (u == nullptr) {
      const std::string near = nearest(upkeep, knowledge_->upkeep.ids());
      refuse(fmt::format("no upkeep is called \"{}\"", upkeep),
             near.empty() ? "crankwise list upkeep" : "perhaps \"" + near + "\"");
    }
    if (!u->applies.holds(Traits(b.traits)))
      refuse(fmt::format("{} has no {}", b.name, u->name), "an upkeep of its equipment");
    if (!(own.hours >= 0 && own.hours <= 10000 && own.days >= 0 && own.days <= 10000))
      refuse("the interval is below 0 or beyond reason", "hours or days from its handbook");
    append({{"bike/" + b.id, "interval", Json{{"upkeep", upkeep}, {"hours", own.hours}, {"days", own.days}}.dump()}});
  });
}

const Placed* Shop::last_told(const std::string& id) const {
  const Placed* last = nullptr;
  for (const Placed* p : of_bike(bike(id).id, true)) {
    if (p->event.kind != "added" && p->event.kind != "same-as") last = p;
  }
  return last;
}

std::string Shop::last_on_bike(const std::string& id) const {
  const Placed* last = last_told(id);
  return last == nullptr ? "" : told_in_words(*last);
}

std::string Shop::undo_on_bike(const std::string& id) {
  return newest([&] {
    const Bike& b = bike(id);
    const Placed* last = last_told(b.id);
    if (last == nullptr) refuse(fmt::format("there is nothing to take back on {}", b.name), "an entry to take back");
    Json undone{{"seq", last->seq}, {"at", last->event.at}, {"kind", last->event.kind}};
    if (!last->shop.empty()) undone["shop"] = last->shop;
    std::string words = told_in_words(*last);
    append({{"bike/" + b.id, "undone", undone.dump()}});
    return words;
  });
}

}  // namespace crankwise
