#include "core/sound/even.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace crankwise::sound {
namespace {

constexpr std::size_t kMost = 64;  // points within reach
constexpr double kFar = 6;         // times the middle distance from the line: of no weight (bisquare)
constexpr double kTiny = 1e-4;

double weight_by_distance(double share) {
  const double a = 1 - std::min(1.0, share * share * share);
  return a * a * a;
}

}  // namespace

LineFit fit_at(std::span<const LinePoint> points, double at_s, double reach_s, std::size_t& from) {
  if (points.empty()) return {};
  while (from + 1 < points.size() && points[from].at_s <= at_s - reach_s) ++from;
  std::size_t first = from, last = from;
  while (last < points.size() && points[last].at_s < at_s + reach_s && last - first < kMost) ++last;
  if (last - first < 2) {
    first = first > 0 ? first - 1 : 0;
    last = std::min(points.size(), first + 2);
  }
  const std::size_t count = last - first;
  if (count == 1) return {points[first].value, 0, 0};
  double reach = reach_s;
  for (std::size_t i = first; i < last; ++i) reach = std::max(reach, 1.01 * std::abs(points[i].at_s - at_s));
  std::array<double, kMost> trust{}, off{}, sorted{};
  trust.fill(1);
  LineFit fit;
  for (int pass = 0; pass < 3; ++pass) {
    double w0 = 0, w1 = 0, w2 = 0, v0 = 0, v1 = 0;
    for (std::size_t n = 0; n < count; ++n) {
      const double x = points[first + n].at_s - at_s, y = points[first + n].value;
      const double w = trust[n] * weight_by_distance(std::abs(x) / reach);
      w0 += w, w1 += w * x, w2 += w * x * x, v0 += w * y, v1 += w * x * y;
    }
    if (w0 <= 0) break;
    const double bend = w0 * w2 - w1 * w1;
    fit.slope_per_s = bend > 1e-9 * w0 * w0 * reach * reach ? (w0 * v1 - w1 * v0) / bend : 0;
    fit.value = (v0 - fit.slope_per_s * w1) / w0;
    for (std::size_t n = 0; n < count; ++n) {
      off[n] = std::abs(points[first + n].value - fit.value - fit.slope_per_s * (points[first + n].at_s - at_s));
      sorted[n] = off[n];
    }
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(count / 2);
    std::nth_element(sorted.begin(), middle, sorted.begin() + static_cast<std::ptrdiff_t>(count));
    fit.scatter = 1.4826 * *middle;
    const double far = kFar * std::max(*middle, kTiny);
    for (std::size_t n = 0; n < count; ++n) {
      const double u = off[n] / far, a = 1 - u * u;
      trust[n] = u < 1 ? a * a : 0;
    }
  }
  return fit;
}

}  // namespace crankwise::sound
