#include "bench/virtual/gauge.h"

#include <algorithm>
#include <cmath>

namespace crankwise::bench {

Gauges::Gauges(const BikeModel& m) : behind_(m.findings.size(), -1) {
  for (const Reading& r : m.knowledge->readings) {
    const auto y = m.yardsticks.find(r.id);
    if (y == m.yardsticks.end()) continue;
    const int number = static_cast<int>(all_.size());
    Gauge g{&r,
            y->second,
            y->second.wrong_below.value_or(r.wrong_below),
            y->second.wrong_above.value_or(r.wrong_above),
            m.finding(r.below),
            m.finding(r.above)};
    for (int* f : {&g.below, &g.above}) {
      if (*f < 0) continue;
      int& behind = behind_[static_cast<size_t>(*f)];
      const bool measured = m.findings[static_cast<size_t>(*f)]->kind == FindingKind::measured;
      if (measured && (behind < 0 || behind == number))
        behind = number;
      else
        *f = -1;  // told by another reading, or not by a number
    }
    if (g.below >= 0 || g.above >= 0) all_.push_back(g);
  }
}

std::optional<int> Gauges::behind(int finding) const {
  const int r = behind_[static_cast<size_t>(finding)];
  return r < 0 ? std::nullopt : std::optional(r);
}

double Gauges::show(int r, bool low, bool high, const Dice& dice, int nth) const {
  constexpr int kGauge = 100000;  // apart from the other throws
  const Gauge& g = all_[static_cast<size_t>(r)];
  const Yardstick y = g.yardstick.healthy();
  const double healthy = std::hypot(y.log_spread, g.yardstick.spread_of(*g.reading));
  const bool either = g.below == g.above;  // wrong on one side or the other
  if (either && low) low = dice.uniform(Throw::noise, kGauge + r, nth) < 0.5, high = !low;
  const double factor = low ? g.wrong_below : g.wrong_above, z = dice.normal(kGauge + r, nth);
  if (!low && !high) return y.middle * std::exp(healthy * z);
  return y.middle * factor * std::exp(wrong_spread(factor, g.yardstick.spread_of(*g.reading), healthy) * z);
}

bool Gauges::says(int r, int finding, double value) const {
  const Gauge& g = all_[static_cast<size_t>(r)];
  const auto ratio = [&](double factor) {
    return weigh_reading(value, g.yardstick.healthy(), factor, g.yardstick.spread_of(*g.reading)).ratio();
  };
  const double low = g.below == finding ? ratio(g.wrong_below) : 0,
               high = g.above == finding ? ratio(g.wrong_above) : 0;
  return low + high > (g.below == g.above ? 2 : 1);
}

}  // namespace crankwise::bench
