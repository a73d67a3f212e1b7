// Middles and spreads of samples, robust ones, and the chance behind a count.
#pragma once

#include <optional>
#include <span>
#include <vector>

namespace crankwise::sound {

/// Linear between the order statistics, (n - 1) share; not empty.
double quantile(std::vector<double>, double share);
double median(std::vector<double>);

/// 1.4826 times the median of the distances from the median: the standard deviation, if normal. Not empty.
double robust_sigma(const std::vector<double>&);

/// A straight line by least squares, x in the middle 0: y = middle + slope (x - x_middle). At least two.
struct Line {
  double middle = 0, slope = 0, x_middle = 0;
  double at(double x) const { return middle + slope * (x - x_middle); }
};
Line line_through(std::span<const double> x, std::span<const double> y);

/// Share of a count and the interval that covers it with 95 % (Wilson's score interval, NIST/SEMATECH e-Handbook,
/// 7.2.4.1). n above 0.
struct Share {
  int hits = 0, n = 0;
  double share = 0, low = 0, high = 1;
};
Share share_of(int hits, int n);

/// A regular rise and fall: the sine that takes most of the spread out of evenly spaced values.
struct Swing {
  double period_s = 0, period_sigma_s = 0;
  double depth = 0, depth_sigma = 0;  // from the middle to the top
  double explained = 0;               // share of the variance
};
/// Nothing unless it goes through at least three periods, each no shorter than `least_period_s`, explains 0.6 of the
/// variance and is `least_depth` deep. A straight line is taken off first. Uncertainty: Rife and Boorstyn 1974 (from
/// memory), with values independent every `independent_s`.
std::optional<Swing> regular_swing(std::span<const double> values, double hop_s, double least_period_s,
                                   double least_depth, double independent_s);

}  // namespace crankwise::sound
