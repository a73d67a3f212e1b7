#include "app/readings/history.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace crankwise {
namespace {

struct Point {
  double value = 0, hours = -1;
  double corrected = 0;
};

/// Earlier values of the reading that count beside this one, in its unit.
template <class Keep>
std::vector<Point> points_of(const Reading& r, const Bike& bike, const std::vector<PastReading>& earlier, Keep keep) {
  std::vector<Point> all;
  for (const PastReading& p : earlier) {
    if (p.took.reading != r.id || p.took.open || !keep(p)) continue;
    const auto value = in_unit_of(r, bike, p.took.value, p.took.unit, p.took.at);
    if (value) all.push_back({*value, p.hours, correct(taken_of(r, bike, *value, p.took.at)).value});
  }
  return all;
}

/// A clearance that closes: what it lost from reading to reading; what it gained was a shim.
void closing(Appraised& a, const Reading& r, const Taken& now, const std::vector<PastReading>& earlier) {
  constexpr double kFeeler = 0.015;  // mm, of one difference; common practice
  constexpr double kMostRatio = 12;
  const std::vector<Point> before = points_of(r, *now.bike, earlier, [](const PastReading& p) {
    const auto engine = p.took.at.find("engine");
    return engine == p.took.at.end() || engine->second != "warm";
  });
  if (before.empty() || now.at.word("engine") == "warm") return;
  std::string row;
  double closed = 0;
  constexpr size_t kShown = 6;  // of a long row
  for (size_t i = 0; i <= before.size(); ++i) {
    const double value = i < before.size() ? before[i].value : a.value;
    if (i > 0) closed += std::max(before[i - 1].value - value, 0.0);
    if (i + kShown < before.size()) continue;
    row += fmt::format("{}{:.3g}{}", row.empty() ? "" : ", ", value,
                       i == before.size()     ? " now"
                       : before[i].hours >= 0 ? fmt::format(" ({:g} h)", before[i].hours)
                                              : "");
  }
  a.notes.push_back(fmt::format("{} mm: it has closed up {:.2f} mm in all", row, closed));
  if (r.closes.empty()) return;
  // The trade's rule is a step at `closes_by`; a feeler is not that sharp.
  const double beyond = (closed - r.closes_by) / (kFeeler * std::sqrt(static_cast<double>(before.size())));
  const double ratio = std::exp(std::clamp(2 * beyond, -std::log(3.0), std::log(kMostRatio)));
  a.weights.push_back({r.closes, std::min(ratio, 1.0), std::min(1 / ratio, 1.0)});
  if (ratio > 2) a.notes.emplace_back("so much means that face or seat is going: do not shim again");
}

/// A wet reading against the last dry one of the job.
void wet(Appraised& a, const Reading& r, const Taken& now, const std::vector<PastReading>& earlier) {
  constexpr double kRepeat = 0.04;                                     // of the same hand and gauge, one minute later
  constexpr double kRises = 1.25, kPlain = 1.02, kPlainSpread = 0.03;  // with worn rings, and without; common practice
  constexpr double kMostRatio = 12;
  const std::vector<Point> dry = points_of(r, *now.bike, earlier, [&](const PastReading& p) {
    const auto oil = p.took.at.find("oil");
    return p.this_job && (oil == p.took.at.end() || oil->second == "dry");
  });
  if (dry.empty() || dry.back().corrected <= 0) return;
  const double rise = a.corrected / dry.back().corrected;
  a.notes.push_back(fmt::format("{:.0f} % {} than dry ({:.3g} {})", 100 * std::abs(rise - 1),
                                rise < 1 ? "less" : "more", dry.back().value, r.unit));
  const ReadingWeight w = weigh_reading(rise, {kPlain, kPlainSpread, kMostRatio}, kRises, kRepeat);
  a.weights.push_back({r.with_oil, w.if_so, w.if_not});
}

}  // namespace

void add_history(Appraised& a, const Reading& r, const Taken& now, const std::vector<PastReading>& earlier) {
  if (r.method == ReadingMethod::valve_clearance) closing(a, r, now, earlier);
  if (!r.with_oil.empty() && now.at.word("oil") == "wet") wet(a, r, now, earlier);
}

}  // namespace crankwise
