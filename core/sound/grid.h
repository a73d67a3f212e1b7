// The firing rates that are looked for: evenly spaced in their logarithm.
#pragma once

#include <cmath>

namespace crankwise::sound {

struct Grid {
  static constexpr int kPerOctave = 48;  // 1.45 % apart

  double lowest_hz = 10;
  int size = 1;

  static Grid over(double lowest_hz, double highest_hz) {
    return {lowest_hz, 1 + static_cast<int>(std::ceil(kPerOctave * std::log2(highest_hz / lowest_hz)))};
  }
  double hz(double index) const { return lowest_hz * std::exp2(index / kPerOctave); }
  double index(double hz) const { return kPerOctave * std::log2(hz / lowest_hz); }
};

}  // namespace crankwise::sound
