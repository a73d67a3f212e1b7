// Anything that may be written down on a job, by chance.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "app/shop.h"
#include "tests/small_knowledge.h"

namespace crankwise::test {

class Chance {
 public:
  explicit Chance(unsigned seed) : random_(seed) {}
  int below(int n) { return std::uniform_int_distribution(0, n - 1)(random_); }
  double number(double low, double high) { return std::uniform_real_distribution(low, high)(random_); }
  template <class Shelf>
  std::string id(const Shelf& shelf, const Traits& traits) {
    std::vector<std::string> ids;
    for (const auto& x : shelf) {
      if (x.applies.holds(traits)) ids.push_back(x.id);
    }
    return ids[static_cast<size_t>(below(static_cast<int>(ids.size())))];
  }
  /// Conditions that go with the reading, or none.
  Conditions told(const std::string& reading) {
    if (below(2) == 0) return {};
    if (reading == "compression") return {{"height", fmt::format("{} m", below(3000))}, {"kick", "brisk"}};
    if (reading == "coil") return {{"temperature", fmt::format("{} degC", below(90))}};
    return {};
  }
  Entry entry(const Bike& bike) {
    const Knowledge& k = small_knowledge();
    const Traits traits(bike.traits);
    const std::string step = id(k.steps, traits);
    const Step& s = *k.steps.find(step);
    switch (below(9)) {
      case 0:
      case 1:
        return SaidSo{id(k.findings, traits), static_cast<Answer>(below(3))};
      case 2: {
        const std::string reading = id(k.readings, traits);
        const Reading& r = *k.readings.find(reading);
        if (!r.open.empty() && below(4) == 0) return Took{reading, 0, "", true};
        return Took{reading, number(r.least, std::min(r.most, 300.0)), r.unit, false, {}, told(reading)};
      }
      case 3:
        return RanIt{static_cast<RunResult>(below(3)), below(2) == 0 ? "" : "ride"};
      case 4:
        return WasSo{below(2) == 0 ? "stood" : "new-plug", below(2) == 0};
      case 5:
        return PartsNow{below(3) == 0 ? std::vector<std::string>{} : std::vector<std::string>{id(k.parts, traits)}};
      case 6:
        if (below(2) == 0) return NotMeant{id(k.findings, traits)};
        return Noted{fmt::format("note {} \"%\"", below(1000))};
      case 7:
        return s.kind == StepKind::swap || s.kind == StepKind::replace ? Entry{WentBack{step}}
                                                                       : Entry{Skipped{step, "no part"}};
      default:
        return Did{step};
    }
  }

 private:
  std::mt19937 random_;
};

/// A reading, a ride, another meter, a correction.
inline void change_hours(Shop& s, const std::string& id, Chance& chance) {
  const double shown = s.bike(id).hours - s.hour_book(id).meter_lag;
  if (!s.bike(id).hours_known)
    s.set_hours(id, chance.number(0, 50), HoursTold::estimate);
  else if (const int how = chance.below(5); how == 0)
    s.ridden(id, chance.number(0.1, 5));
  else if (how == 1)
    s.set_hours(id, chance.number(0, 9), HoursTold::new_meter);
  else if (how == 2)
    s.set_hours(id, shown * chance.number(0.5, 1), HoursTold::correction);
  else
    s.set_hours(id, shown + chance.number(0, 9));
}

}  // namespace crankwise::test
