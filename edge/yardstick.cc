#include "edge/yardstick.h"

#include <algorithm>
#include <cmath>

#include "core/calc/electric.h"
#include "edge/units.h"

namespace crankwise {
namespace {

// How far one reading may move the odds: a baseline of this very bike most, a range of its class least.
constexpr double kBaseline = 30, kHandbook = 20, kKind = 6;
constexpr double kStray = 0.06;          // either way, of a single figure; common practice
constexpr double kSensorStray = 0.1;     // of a sensor from its table; common practice
constexpr double kTableKelvin = 293.15;  // where a table is compared
constexpr double kBeyond = 1.1;          // where a range of its kind is left for good; common practice

bool told_so(const Reading::Range& range, const Conditions& told) {
  return std::all_of(range.told.begin(), range.told.end(), [&](const auto& want) {
    const auto at = told.find(want.first);
    return at != told.end() && at->second == want.second;
  });
}

/// A figure of the bike's own; a single value as a range, in which a wrong one does not lie.
ReadingYardstick around(double low, double high, bool baseline, const Reading& r) {
  ReadingYardstick y{baseline ? FigureFrom::baseline : FigureFrom::handbook, baseline ? "own baseline" : "handbook",
                     low, high};
  y.most_ratio = baseline ? kBaseline : kHandbook, y.middle_told = high == low;
  if (high > low) return y;
  const double nearest =
      std::min(r.below.empty() ? 1.0 : -std::log(r.wrong_below), r.above.empty() ? 1.0 : std::log(r.wrong_above));
  const double stray = std::exp(std::min(kStray, nearest / 2));
  y.low /= stray, y.high *= stray;
  return y;
}

}  // namespace

const Figure* own_figure(const Reading& r, const Bike& bike) {
  for (const auto* figures : {&bike.baselines, &bike.figures}) {
    if (const auto f = figures->find(r.id); f != figures->end()) return &f->second;
  }
  return nullptr;
}

std::optional<ReadingYardstick> own_yardstick(const Reading& r, const Bike& bike) {
  const Figure* f = own_figure(r, bike);
  const auto table = bike.tables.find(r.id);
  if (table != bike.tables.end() && (f == nullptr || !f->baseline)) {
    NtcTable rows;
    for (const auto& [kelvin, ohm] : table->second) rows.push_back({kelvin, ohm});
    const double middle = *convert(ntc_ohm(rows, kTableKelvin).value, "ohm", r.unit);
    ReadingYardstick y{FigureFrom::handbook, "its own table", middle / (1 + kSensorStray), middle * (1 + kSensorStray)};
    y.most_ratio = kHandbook, y.middle_told = true;
    return y;
  }
  if (f == nullptr) return {};
  const auto low = convert(f->low, f->unit, r.unit), high = convert(f->high, f->unit, r.unit);
  if (!low || !high || *low <= 0) return {};
  return around(*low, *high, f->baseline, r);
}

std::optional<ReadingYardstick> yardstick_for(const Reading& r, const Bike& bike, const Conditions& told) {
  if (auto own = own_yardstick(r, bike)) return own;
  const Traits traits(bike.traits);
  for (const auto& range : r.ranges) {
    if (!range.applies.holds(traits) || range.high <= 0 || !told_so(range, told)) continue;
    const double low = range.low > 0 ? range.low : range.high / 20;  // "0 to x": a ratio needs a floor
    ReadingYardstick y{FigureFrom::kind,
                       "usual for its kind (" + (range.source.empty() ? r.source : range.source) + ")", low,
                       range.high};
    y.most_ratio = kKind;
    // Wide ranges: what speaks for neither must lie beyond the end, so a wrong one as far beyond as the middle within.
    const double half = std::sqrt(range.high / low) * kBeyond;
    y.wrong_below = std::min(r.wrong_below, 1 / (half * half)), y.wrong_above = std::max(r.wrong_above, half * half);
    return y;
  }
  return {};
}

Yardsticks yardsticks_of(const Knowledge& k, const Bike& bike) {
  const Traits traits(bike.traits);
  Yardsticks all;
  for (const Reading& r : k.readings) {
    if (!r.applies.holds(traits)) continue;
    if (auto y = yardstick_for(r, bike, bike.facts)) all.emplace(r.id, std::move(*y));
  }
  return all;
}

std::optional<AnswerRates> rates_by_readings(const Knowledge& k, const Finding& f, const Traits& traits,
                                             const Yardsticks& yardsticks) {
  constexpr double kUnsure = 0.02;  // how often somebody is not sure of what the meter shows; common practice
  std::optional<AnswerRates> best;
  const auto offer = [&](double so, double not_so) {
    if (!best || so - not_so > best->yes_if_so - best->yes_if_not) best = AnswerRates{so, not_so, kUnsure, kUnsure};
  };
  for (const Reading& r : k.readings) {
    const bool below = r.below == f.id, above = r.above == f.id, open = r.open == f.id;
    if (!(below || above || open) || !r.applies.holds(traits)) continue;
    if (const auto y = yardsticks.find(r.id); y != yardsticks.end() && (below || above)) {
      const ReadingRates rates =
          rates_of_reading(y->second.healthy(), below ? y->second.wrong_below.value_or(r.wrong_below) : 0,
                           above ? y->second.wrong_above.value_or(r.wrong_above) : 0, y->second.spread_of(r));
      offer(rates.so_if_so, rates.so_if_not);
    }
    if (open) {
      // An open circuit needs no figure; of what is wrong with a winding about half is open. Common practice.
      constexpr double kOpen = 0.98, kNotOpen = 0.02, kHalf = 0.5;
      offer(below || above ? kHalf * kOpen : kOpen, kNotOpen);
    }
  }
  return best;
}

}  // namespace crankwise
