#include "app/due.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "core/wear/wear.h"
#include "edge/dates.h"

namespace crankwise {
namespace {

constexpr double kSoonDays = 14;
constexpr double kSame = 1e-6;  // hours or days: readings are written with a decimal

std::string hours_words(double h) { return fmt::format("{:g} h", std::round(10 * h) / 10); }
std::string days_words(double d) { return fmt::format("{:.0f} {}", d, d == 1 ? "day" : "days"); }

double chance_of(const DueItem& item, const Upkeep::Interval& every, double within_h) {
  Life life{every.life_h, item.upkeep->shape, item.upkeep->spread};
  if (every.life_days > 0) {
    life.scale = every.life_days;
    return item.age_days < 0 ? -1 : 1 - survival(life, item.age_days);
  }
  if (item.hard && every.hours > 0) life.scale *= every.hard_hours / every.hours;
  if (item.age_h >= 0) return chance_within(life, item.age_h, within_h);
  if (item.oldest_h < 0) return -1;
  const double oldest = item.every_h > 0 ? std::min(item.oldest_h, item.every_h) : item.oldest_h;
  return chance_within_unknown_age(life, oldest, within_h);
}

Urgency urgency_of(const DueItem& i, double within_h) {
  const bool by_h = i.every_h > 0, by_days = i.every_days > 0;
  if ((by_h && i.age_h >= i.every_h - kSame) || (by_days && i.age_days >= i.every_days)) return Urgency::overdue;
  // Without a renewal in the record it is as old as the engine at most.
  const double at_most_h = i.age_h >= 0 ? i.age_h : i.oldest_h;
  const bool none_known = (!by_h || i.age_h < 0) && (!by_days || i.age_days < 0);
  if (none_known && (!by_h || i.oldest_h < 0 || i.oldest_h >= i.every_h)) return Urgency::unknown;
  if (by_h && at_most_h >= 0 && at_most_h < i.every_h && at_most_h + within_h >= i.every_h) return Urgency::soon;
  if (by_days && i.age_days >= 0 && i.age_days + kSoonDays >= i.every_days) return Urgency::soon;
  return Urgency::later;
}

DueItem item_of(const Upkeep& u, const Upkeep::Interval& every, const Bike& bike, const HourBook& book,
                const std::map<std::string, Renewal>& renewals, int today) {
  DueItem i;
  i.upkeep = &u;
  i.hard = book.hard && every.hard_hours > 0;
  i.every_h = i.hard ? every.hard_hours : every.hours;
  i.every_days = every.days;
  if (const auto own = book.own.find(u.id); own != book.own.end()) {
    i.own_h = own->second.hours > 0;
    i.own_days = own->second.days > 0;
    if (i.own_h) i.every_h = own->second.hours, i.hard = false;
    if (i.own_days) i.every_days = own->second.days;
  }
  if (bike.hours_known) i.oldest_h = bike.hours;
  if (const auto done = renewals.find(u.parts.front()); done != renewals.end()) {
    i.renewed = done->second;
    if (bike.hours_known && i.renewed.hours >= 0) i.age_h = std::max(bike.hours - i.renewed.hours, 0.0);
    if (const auto day = day_number(i.renewed.day)) i.age_days = std::max(today - *day, 0);
  }
  if (i.every_h > 0 && i.age_h >= 0) i.used = i.age_h / i.every_h;
  if (i.every_days > 0 && i.age_days >= 0) i.used = std::max(i.used, i.age_days / i.every_days);
  return i;
}

/// By hours and by days, where it is due by them.
struct Spans {
  std::vector<std::string> age;    // "24 h of usually 15 h"; empty if no age is known
  std::vector<std::string> every;  // "usually 15 h"
  std::vector<std::string> left;   // "overdue by 9 h"; empty as age
};

Spans spans_of(const DueItem& i) {
  Spans s;
  const auto add = [&](double old, double due, bool own, bool hard, auto words) {
    if (due <= 0) return;
    s.every.push_back((own ? "this bike's own " : hard ? "" : "usually ") + words(due) + (hard ? " in hard use" : ""));
    if (old < 0) return;
    s.age.push_back(words(old) + " of " + s.every.back());
    if (std::abs(old - due) < kSame)
      s.left.push_back("due now");
    else
      s.left.push_back((old > due ? "overdue by " : "due in ") + words(std::abs(old - due)));
  };
  add(i.age_h, i.every_h, i.own_h, i.hard, hours_words);
  add(i.age_days, i.every_days, i.own_days, false, days_words);
  return s;
}

}  // namespace

std::string_view text(Urgency u) {
  constexpr std::string_view kWords[] = {"overdue", "soon", "unknown", "later"};
  return kWords[static_cast<size_t>(u)];
}

DueList due_list(const Shop& shop, const std::string& id, double within_h) {
  const Bike& bike = shop.bike(id);
  const Traits traits(bike.traits);
  const std::map<std::string, Renewal> renewals = shop.renewals(id);
  const int today = day_number(shop.now()).value_or(0);
  DueList list{id, within_h, {}, 0, 0};
  double none = 1;
  for (const Upkeep& u : shop.knowledge().upkeep) {
    const Upkeep::Interval* every = u.interval(traits, bike.displacement_cc);
    if (!u.applies.holds(traits) || every == nullptr) continue;
    DueItem i = item_of(u, *every, bike, shop.hour_book(id), renewals, today);
    i.urgency = urgency_of(i, within_h);
    i.chance = chance_of(i, *every, within_h);
    if (i.chance < 0)
      ++list.not_told;
    else
      none *= 1 - i.chance;
    list.items.push_back(std::move(i));
  }
  list.chance_of_any = 1 - none;
  std::stable_sort(list.items.begin(), list.items.end(), [](const DueItem& a, const DueItem& b) {
    if (a.urgency != b.urgency) return a.urgency < b.urgency;
    return a.used != b.used ? a.used > b.used : a.chance > b.chance;
  });
  return list;
}

std::string reason_in_words(const DueItem& i) {
  const Spans s = spans_of(i);
  std::string done;
  if (i.renewed.hours >= 0) done = " at " + hours_words(i.renewed.hours);
  if (!i.renewed.day.empty()) done += " on " + i.renewed.day;
  if (!s.age.empty()) return fmt::format("{}, renewed{}: {}", fmt::join(s.age, " and "), done, fmt::join(s.left, ", "));
  std::string oldest;
  if (i.every_h > 0 && i.oldest_h < 0) oldest = ", and the engine's hours are not known";
  if (i.every_h > 0 && i.oldest_h >= 0) oldest = ", up to " + hours_words(i.oldest_h) + " old";
  return fmt::format("{}{}; {}", done.empty() ? "no renewal in the record" : "renewed" + done, oldest,
                     fmt::join(s.every, " or "));
}

std::string left_in_words(const DueItem& i) {
  const Spans s = spans_of(i);
  std::string left = fmt::format("{}", fmt::join(s.left, ", "));
  if (left.empty() && i.oldest_h >= 0 && i.every_h > 0) left = "up to " + hours_words(i.oldest_h) + " old";
  return fmt::format("{}{}{}", left, left.empty() ? "" : "; ", fmt::join(s.every, " or "));
}

}  // namespace crankwise
