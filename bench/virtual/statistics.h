// The few statistics of the tables.
#pragma once

#include <span>
#include <vector>

namespace crankwise::bench {

double mean(std::span<const double>);
/// The value below which `share` of the values lie (nearest rank); 0 of none.
double quantile(std::vector<double> values, double share);

struct Interval {
  double value = 0, low = 0, high = 0;
};
/// Mean of a - b over pairs, with its 95 % interval (normal).
Interval paired_difference(std::span<const double> a, std::span<const double> b);
/// Mean of a over mean of b, taken on the same jobs, with its 95 % interval (delta method; Cochran 1977, 6.3).
Interval paired_ratio(std::span<const double> a, std::span<const double> b);

}  // namespace crankwise::bench
