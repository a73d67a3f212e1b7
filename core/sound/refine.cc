#include "core/sound/refine.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace crankwise::sound {
namespace {

constexpr int kCycles = 8, kMostOrder = 24;
constexpr double kLongestS = 1;  // of what is looked at
constexpr double kHighestHz = 2200, kLowestHz = 45;
constexpr double kScan = 0.03, kScanStep = 0.0025;
constexpr int kScans = 2 * static_cast<int>(kScan / kScanStep) + 1;

/// The slope of a path around a hop: a line through the two hops on either side.
double slope_of(std::span<const double> rate_hz, size_t hop) {
  double sum = 0, weight = 0;
  for (size_t d = 1; d <= 2; ++d) {
    if (hop < d || hop + d >= rate_hz.size() || rate_hz[hop - d] <= 0 || rate_hz[hop + d] <= 0) continue;
    const auto x = static_cast<double>(d);
    sum += x * (rate_hz[hop + d] - rate_hz[hop - d]);
    weight += 2 * x * x;
  }
  return weight > 0 ? sum / (weight * kHopS) : 0;
}

class Orders {
 public:
  Orders(std::span<const float> power, double rate_hz, int cycles, int rough)
      : db_(power.size()), cycles_(cycles), rough_(rough) {
    for (size_t i = 0; i < power.size(); ++i) db_[i] = 10 * std::log10(power[i] + 1e-20F);
    first_ = std::max(1, static_cast<int>(std::ceil(kLowestHz / rate_hz)));
    last_ = std::clamp(static_cast<int>(kHighestHz / rate_hz), first_ + 3, kMostOrder - 1);
    first_ = std::min(first_, last_ - 3);
  }

  /// In dB, a parabola through the three lines nearest: the shape of a Hann window's peak, nearly.
  float at(double order, double scale) const {
    const auto place = static_cast<float>(order * scale * cycles_);
    const auto i = std::clamp(static_cast<int>(place + 0.5F), 1, static_cast<int>(db_.size()) - 2);
    const float x = place - static_cast<float>(i), *line = db_.data() + i;
    return line[0] + 0.5F * x * (line[1] - line[-1] + x * (line[1] - 2 * line[0] + line[-1]));
  }
  float mean(double offset, double scale) const {
    float sum = 0;
    for (int k = first_; k <= last_; ++k) sum += at(k + offset, scale);
    return sum / static_cast<float>(last_ - first_ + 1);
  }
  /// How far the whole orders are from where they were looked for.
  double best_scale() const {
    std::array<float, kScans> score{};
    for (int s = 0; s < kScans; ++s) {
      // Where the sound repeats every few firings, the orders between are as good.
      for (int part = 0; part < rough_; ++part)
        score[static_cast<size_t>(s)] += mean(-static_cast<double>(part) / rough_, 1 - kScan + s * kScanStep);
    }
    const auto best = static_cast<int>(std::max_element(score.begin(), score.end()) - score.begin());
    double between = 0;
    if (best > 0 && best + 1 < kScans) {
      const float a = score[static_cast<size_t>(best - 1)], b = score[static_cast<size_t>(best)],
                  c = score[static_cast<size_t>(best + 1)];
      const float bend = a - 2 * b + c;
      if (bend < 0) between = std::clamp(0.5 * static_cast<double>((a - c) / bend), -0.5, 0.5);
    }
    return 1 - kScan + (best + between) * kScanStep;
  }
  /// Orders that are multiples of m against those beside them.
  float repeats_more(int m, double scale) const {
    float sum = 0;
    int count = 0;
    for (int k = m; k + 1 <= last_; k += m) {
      if (k - 1 < first_) continue;
      sum += at(k, scale) - 0.5F * (at(k - 1, scale) + at(k + 1, scale));
      ++count;
    }
    return count > 0 ? sum / static_cast<float>(count) : 0;
  }

 private:
  std::vector<float> db_;
  int cycles_, rough_, first_ = 1, last_ = 1;
};

}  // namespace

std::vector<OrderLook> look_along(const Signal& signal, std::span<const double> rate_hz, std::span<const int> rough) {
  std::map<int, OrderSpectrum> spectra;
  std::vector<OrderLook> looks(rate_hz.size());
  double next_s = 0;
  for (size_t hop = 0; hop < rate_hz.size(); ++hop) {
    const double at_s = static_cast<double>(hop) * kHopS;
    if (rate_hz[hop] <= 0 || at_s + 1e-9 < next_s) continue;
    next_s = at_s + std::max(kHopS, 1 / rate_hz[hop]);
    const int repeats = kCycles * rough[hop] / rate_hz[hop] < kLongestS ? rough[hop] : 1;
    OrderSpectrum& spectrum = spectra.try_emplace(repeats, kCycles * repeats, kMostOrder).first->second;
    const Orders orders(spectrum.at(signal, {at_s, rate_hz[hop], slope_of(rate_hz, hop)}), rate_hz[hop],
                        spectrum.cycles(), repeats);
    OrderLook& look = looks[hop];
    const double scale = orders.best_scale();
    const float whole = orders.mean(0, scale);
    look.heard = true;
    look.at_s = at_s;
    look.rate_hz = rate_hz[hop] * scale;
    for (size_t i = 0; i < OrderSigns::kMultiples.size(); ++i)
      look.signs.repeats_more[i] = orders.repeats_more(OrderSigns::kMultiples[i], scale);
    look.signs.half = orders.mean(-0.5, scale) - whole;
    look.signs.third = 0.5F * (orders.mean(-1.0 / 3, scale) + orders.mean(-2.0 / 3, scale)) - whole;
    look.signs.quarter = 0.5F * (orders.mean(-0.25, scale) + orders.mean(-0.75, scale)) - whole;
    look.contrast_db = -std::max(look.signs.half, look.signs.quarter);
  }
  return looks;
}

}  // namespace crankwise::sound
