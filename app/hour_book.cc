#include "app/hour_book.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "edge/dates.h"

namespace crankwise {

const Renewal& later(const Renewal& a, const Renewal& b) {
  if (a.hours >= 0 && b.hours >= 0 && a.hours != b.hours) return a.hours > b.hours ? a : b;
  if (a.day != b.day) return a.day > b.day ? a : b;
  return a.hours >= b.hours ? a : b;
}

void HourBook::add(const HourMark& mark) {
  marks.push_back(mark);
  for (auto& [part, r] : renewed) r.hours = std::min(r.hours, mark.hours);
}

double HourBook::hours_at(const Moment& moment) const {
  double hours = -1;
  for (const HourMark& m : marks) hours = m.moment <= moment ? m.hours : std::min(hours, m.hours);
  return hours;
}

double HourBook::hours_on(const std::string& day) const {
  const int wanted = *day_number(day);
  const HourMark* before = nullptr;
  for (const HourMark& m : marks) {
    const int at = day_number(m.at).value_or(0);
    if (at <= wanted) {
      before = &m;
      continue;
    }
    if (before == nullptr) return -1;
    const int from = day_number(before->at).value_or(0);
    return before->hours + std::max(m.hours - before->hours, 0.0) * (wanted - from) / (at - from);
  }
  return before == nullptr ? -1 : before->hours;
}

double HourBook::metered() const {
  for (auto m = marks.rbegin(); m != marks.rend(); ++m) {
    if (m->from == HoursFrom::meter) return m->hours;
  }
  return 0;
}

std::string HourBook::source() const {
  if (marks.empty()) return "not known";
  const HourMark& last = marks.back();
  std::string words;
  const auto read =
      std::find_if(marks.rbegin(), marks.rend(), [](const auto& m) { return m.from == HoursFrom::meter; });
  if (read == marks.rend())
    words = "by estimate";
  else if (last.from == HoursFrom::meter)
    words = "by the meter on " + last.at.substr(0, 10);
  else
    words = fmt::format("{:.4g} h by the meter on {}, {:.3g} h since by estimate", read->hours, read->at.substr(0, 10),
                        last.hours - read->hours);
  if (meter_lag != 0) {
    words += fmt::format("; another meter is on, which shows {:.4g} h {}", std::abs(meter_lag),
                         meter_lag > 0 ? "less" : "more");
  }
  return words;
}

}  // namespace crankwise
