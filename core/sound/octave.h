// Is the path that of the firing, or of a multiple or a part of it? A rough engine is like itself every second or
// fourth firing rather than every one, and a clean one is like itself twice as often as it fires too. Decided over the
// whole take, by the orders of the sound along the path.
#pragma once

#include <array>
#include <span>

#include "core/sound/track.h"

namespace crankwise::sound {

/// What the orders around one moment say, in dB.
struct OrderSigns {
  static constexpr std::array<int, 3> kMultiples = {2, 3, 4};
  std::array<float, 3> repeats_more{};     // orders that are multiples of m above those beside them
  float half = 0, third = 0, quarter = 0;  // orders k + 1/2, k +- 1/3 and k +- 1/4, above whole ones
};

struct OctaveVerdict {
  double factor = 1;  // the firing is so many times the path
  bool open = false;
  double other = 1;  // open: it may also be so many times the factor
};

/// `signs`: of the moments to be trusted, which turn at `least_rpm` to `most_rpm` if the path is right.
OctaveVerdict judge_octave(const Engine&, std::span<const OrderSigns> signs, double least_rpm, double most_rpm);

}  // namespace crankwise::sound
