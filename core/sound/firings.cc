#include "core/sound/firings.h"

#include <algorithm>
#include <cmath>

#include "core/sound/turns.h"

namespace crankwise::sound {
namespace {

constexpr int kCycles = 16, kOrders = 9;

/// Calls `f(low, high)` for each band that holds one of the speeds.
template <typename Items, typename Use, typename F>
void each_band(const Items& items, double least_rpm, Use use, F f) {
  double most = 0;
  for (const auto& item : items)
    if (use(item)) most = std::max(most, static_cast<double>(item.rpm));
  for (double low = std::floor(least_rpm / kBandRpm) * kBandRpm; low <= most; low += kBandRpm) {
    const double from = std::max(low, least_rpm), to = low + kBandRpm;
    if (std::any_of(items.begin(), items.end(),
                    [&](const auto& item) { return use(item) && item.rpm >= from && item.rpm < to; }))
      f(from, to);
  }
}

/// How many of a normal distribution lie below the threshold, by what lies above its middle.
double below_threshold(const std::vector<double>& strengths) {
  const double middle = quantile(strengths, 0.5), spread = quantile(strengths, 0.84) - middle;
  const double threshold = std::pow(10, kWeakDb / 20);
  return spread > 0 ? 0.5 * std::erfc((middle - threshold) / spread / std::sqrt(2.0)) : 0;
}

double db(double power) { return 10 * std::log10(power + 1e-20); }

/// Mean log power at orders k + part and k + 1 - part against that at k and k + 1.
double beside_whole(std::span<const float> power, int part) {
  double sum = 0;
  for (int k = 1; k < 8; ++k) {
    const auto at = [&](int line) { return db(static_cast<double>(power[static_cast<size_t>(line)])); };
    const int low = k * kCycles, high = low + kCycles;
    sum += (at(low + part) + at(high - part) - at(low) - at(high)) / 2;
  }
  return sum / 7;
}

Value mean_of(const std::vector<double>& values) {
  double sum = 0, squares = 0;
  const auto n = static_cast<double>(values.size());
  for (const double v : values) sum += v / n;
  for (const double v : values) squares += (v - sum) * (v - sum);
  // Neighbours share half of what they look at; their true spread is not below 2 dB (7 lines of 5.6 dB each).
  const double spread = std::max(2.0, std::sqrt(squares / std::max(1.0, n - 1)));
  return {sum, spread / std::sqrt(std::max(1.0, n / 1.5))};
}

}  // namespace

Answer<WeakShare> weak_share(const std::vector<Firing>& firings, double from_rpm, double to_rpm) {
  constexpr int kLeast = 50;
  int seen = 0, weak = 0, hidden = 0;
  std::vector<double> good;
  for (const Firing& firing : firings) {
    if (!firing.sure || firing.rpm < from_rpm || firing.rpm >= to_rpm) continue;
    if (!firing.visible) {
      ++hidden;
      continue;
    }
    ++seen;
    if (firing.weak())
      ++weak;
    else
      good.push_back(std::pow(10, static_cast<double>(firing.db) / 20));
  }
  if (seen + hidden < kLeast) return Why::too_few_firings;
  if (hidden > seen || seen < kLeast) return Why::firings_hidden;
  return WeakShare{share_of(weak, seen), good.empty() ? 0 : below_threshold(good)};
}

std::vector<WeakBand> weak_by_speed(const std::vector<Firing>& firings, double least_rpm) {
  std::vector<WeakBand> bands;
  each_band(
      firings, least_rpm, [](const Firing& f) { return f.sure; },
      [&](double from, double to) {
        bands.push_back({from, to, weak_share(firings, from, to)});
      });
  return bands;
}

std::vector<HalfOrders> half_orders_along(const Signal& signal, const Track& track, const Engine& engine) {
  OrderSpectrum orders(kCycles, kOrders);
  std::vector<HalfOrders> found;
  double next_s = 0;
  const auto& frames = track.frames;
  for (size_t i = 2; i + 2 < frames.size(); ++i) {
    if (track.seconds(i) < next_s || !track.sure(i)) continue;
    const double rate = engine.firing_hz(static_cast<double>(frames[i].rpm));
    const double half_s = kCycles / rate / 2;
    const auto reach = static_cast<size_t>(std::ceil(half_s / kHopS));
    if (i < reach || i + reach >= frames.size()) continue;
    bool all = true;
    double least = 1e9, most = 0;
    for (size_t n = i - reach; n <= i + reach; ++n) {
      all = all && track.sure(n);
      least = std::min(least, static_cast<double>(frames[n].rpm));
      most = std::max(most, static_cast<double>(frames[n].rpm));
    }
    // What changes by half within the cut is not even to first order.
    if (!all || most > 1.5 * least) continue;
    const double slope = engine.firing_hz(static_cast<double>(frames[i + reach].rpm - frames[i - reach].rpm)) /
                         (2 * static_cast<double>(reach) * kHopS);
    const auto power = orders.at(signal, {track.seconds(i), rate, slope});
    found.push_back({track.seconds(i), static_cast<double>(frames[i].rpm), beside_whole(power, kCycles / 2),
                     beside_whole(power, kCycles / 4),
                     (beside_whole(power, kCycles / 8) + beside_whole(power, 3 * kCycles / 8)) / 2});
    next_s = track.seconds(i) + half_s;
  }
  return found;
}

Answer<Alternation> alternation(const std::vector<HalfOrders>& moments, double from_rpm, double to_rpm) {
  constexpr size_t kLeast = 3;
  std::vector<double> halves, quarters, eighths, over_quarters, over_eighths;
  for (const HalfOrders& at : moments) {
    if (at.rpm < from_rpm || at.rpm >= to_rpm) continue;
    halves.push_back(at.half_db);
    quarters.push_back(at.quarter_db);
    eighths.push_back(at.eighth_db);
    over_quarters.push_back(at.half_db - at.quarter_db);
    over_eighths.push_back(at.half_db - at.eighth_db);
  }
  if (halves.size() < kLeast) return Why::too_short;
  const double half = mean_of(halves).value, quarter = mean_of(quarters).value, eighth = mean_of(eighths).value;
  const bool by_fourths = quarter > -12 && quarter - eighth > 4;  // repeats every fourth firing
  const Value over = mean_of(by_fourths ? over_eighths : over_quarters);
  Alternation is{half, by_fourths ? eighth : quarter, over.sigma};
  is.regular = over.value - over.sigma > 4 && half > -12;
  // Firings 1 and w by turns: (1 - w) / 2 at half orders, (1 + w) / 2 at whole ones.
  const double ratio = std::sqrt(std::max(0.0, std::pow(10, half / 10) - std::pow(10, is.floor_db / 10)));
  is.weaker = std::clamp((1 - ratio) / (1 + ratio), 0.0, 1.0);
  return is;
}

std::vector<AlternationBand> alternation_by_speed(const std::vector<HalfOrders>& moments, double least_rpm) {
  std::vector<AlternationBand> bands;
  each_band(
      moments, least_rpm, [](const HalfOrders&) { return true; },
      [&](double from, double to) {
        bands.push_back({from, to, alternation(moments, from, to)});
      });
  return bands;
}

}  // namespace crankwise::sound
