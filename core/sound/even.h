// Single looks made one even line: locally weighted regression that strays do not move (LOWESS, Cleveland 1979).
#pragma once

#include <span>
#include <vector>

namespace crankwise::sound {

struct LinePoint {
  double at_s = 0, value = 0;
};

struct LineFit {
  double value = 0, slope_per_s = 0;
  double scatter = 0;  // of the points about the line, robust
};

/// The line at a moment through the points (in order of time) less than `reach_s` from it, at least the nearest two.
/// `from` is moved on to the first point within reach, so that moments in order are quick. Of no points: zeros.
LineFit fit_at(std::span<const LinePoint>, double at_s, double reach_s, std::size_t& from);

}  // namespace crankwise::sound
