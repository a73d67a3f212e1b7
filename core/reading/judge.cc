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

ReadingWeight weigh_reading(double value, const Yardstick& y, double wrong_factor, double log_reading_spread) {
  assert(y.middle > 0 && wrong_factor > 0 && wrong_factor != 1);
  constexpr double kWrongSpread = 0.25;  // how far wrong ones spread, ln; common practice, wide
  const double shift = std::log(wrong_factor);
  // Position between the healthy middle (0) and the wrong one (1), in ln; held inside.
  const double at = value > 0 ? std::log(value / y.middle) : -1e9;  // nothing at all is as low as can be
  const double x = shift < 0 ? std::clamp(at, shift, 0.0) : std::clamp(at, 0.0, shift);
  const double healthy = std::hypot(y.log_spread, log_reading_spread);
  const double wrong = std::max(healthy, std::hypot(kWrongSpread, log_reading_spread));
  const auto log_density = [](double d, double s) { return -0.5 * d * d / (s * s) - std::log(s); };
  const double most = std::log(y.most_ratio);
  const double log_ratio = std::clamp(log_density(x - shift, wrong) - log_density(x, healthy), -most, most);
  return {std::exp(std::min(log_ratio, 0.0)), std::exp(std::min(-log_ratio, 0.0))};
}

}  // namespace crankwise
