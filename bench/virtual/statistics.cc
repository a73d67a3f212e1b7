#include "bench/virtual/statistics.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise::bench {

double mean(std::span<const double> values) {
  double sum = 0;
  for (double v : values) sum += v;
  return values.empty() ? 0 : sum / static_cast<double>(values.size());
}

double quantile(std::vector<double> values, double share) {
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  const double rank = std::ceil(share * static_cast<double>(values.size()));
  return values[static_cast<size_t>(std::clamp(rank, 1.0, static_cast<double>(values.size()))) - 1];
}

Interval paired_difference(std::span<const double> a, std::span<const double> b) {
  assert(a.size() == b.size() && a.size() > 1);
  const double n = static_cast<double>(a.size()), middle = mean(a) - mean(b);
  double squares = 0;
  for (size_t i = 0; i < a.size(); ++i) squares += (a[i] - b[i] - middle) * (a[i] - b[i] - middle);
  constexpr double k95 = 1.959964;
  const double half = k95 * std::sqrt(squares / (n - 1) / n);
  return {middle, middle - half, middle + half};
}

Interval paired_ratio(std::span<const double> a, std::span<const double> b) {
  const double below = mean(b), ratio = mean(a) / below;
  std::vector<double> scaled;
  for (double x : b) scaled.push_back(ratio * x);
  const Interval zero = paired_difference(a, scaled);
  return {ratio, ratio + zero.low / below, ratio + zero.high / below};
}

}  // namespace crankwise::bench
