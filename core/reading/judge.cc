#include "core/reading/judge.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise {

Yardstick from_range(double low, double high, double most_ratio) {
  assert(0 < low && low < high);
  constexpr double k90 = 1.6449;  // standard normal: 90 % lie within
  return {std::sqrt(low * high), std::log(high / low) / (2 * k90), most_ratio};
}

double wrong_spread(double wrong_factor, double log_reading_spread, double healthy_spread) {
  constexpr double kMost = 0.25, kOfTheWay = 0.6;
  const double own = std::min(kMost, kOfTheWay * std::abs(std::log(wrong_factor)));
  return std::max(healthy_spread, std::hypot(own, log_reading_spread));
}

ReadingWeight weigh_reading(double value, const Yardstick& y, double wrong_factor, double log_reading_spread) {
  assert(y.middle > 0 && wrong_factor > 0 && wrong_factor != 1);
  const double shift = std::log(wrong_factor);
  // Position between the healthy middle (0) and the wrong one (1), in ln; held inside.
  const double at = value > 0 ? std::log(value / y.middle) : -1e9;  // nothing at all is as low as can be
  const double x = shift < 0 ? std::clamp(at, shift, 0.0) : std::clamp(at, 0.0, shift);
  const double healthy = std::hypot(y.log_spread, log_reading_spread);
  const double wrong = wrong_spread(wrong_factor, log_reading_spread, healthy);
  const auto log_density = [](double d, double s) { return -0.5 * d * d / (s * s) - std::log(s); };
  const double most = std::log(y.most_ratio);
  const double log_ratio = std::clamp(log_density(x - shift, wrong) - log_density(x, healthy), -most, most);
  return {std::exp(std::min(log_ratio, 0.0)), std::exp(std::min(-log_ratio, 0.0))};
}

ReadingRates rates_of_reading(const Yardstick& y, double below, double above, double log_reading_spread) {
  assert(below > 0 || above > 0);
  const double healthy = std::hypot(y.log_spread, log_reading_spread);
  const double sides = (below > 0 ? 1.0 : 0.0) + (above > 0 ? 1.0 : 0.0);
  const auto beyond = [](double z) { return 0.5 * std::erfc(z / std::sqrt(2.0)); };  // of a standard normal
  ReadingRates rates{0, 0};
  for (double factor : {below, above}) {
    if (factor <= 0) continue;
    // Where between the healthy middle and the wrong one it speaks for neither, by halving.
    const double shift = std::log(factor), wrong = wrong_spread(factor, log_reading_spread, healthy);
    double in = 0, out = 1;
    constexpr int kHalvings = 24;
    for (int i = 0; i < kHalvings; ++i) {
      const double at = (in + out) / 2;
      double ratio = 0;
      for (double side : {below, above}) {
        if (side > 0) ratio += weigh_reading(y.middle * std::exp(at * shift), y, side, log_reading_spread).ratio();
      }
      (ratio > sides ? out : in) = at;
    }
    const double cut = in * std::abs(shift);
    rates.so_if_so += beyond((cut - std::abs(shift)) / wrong) / sides;
    rates.so_if_not += beyond(cut / healthy);
  }
  // Neither answer moves the odds further than the yardstick can carry.
  rates.so_if_not = std::max(rates.so_if_not, rates.so_if_so / y.most_ratio);
  rates.so_if_so = std::min(rates.so_if_so, 1 - (1 - rates.so_if_not) / y.most_ratio);
  return rates;
}

}  // namespace crankwise
