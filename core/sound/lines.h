// Lines of a fixed frequency that are no part of the engine: mains hum, a compressor, a whistle.
#pragma once

#include <vector>

#include "core/sound/track.h"

namespace crankwise::sound {

struct FixedLine {
  double hz = 0;
  double over_db = 0;  // its surroundings, the median over the take
};

/// Strongest first, at most ten; between 40 and 2,000 Hz, 12 dB and more over their surroundings in most of the take.
/// The resolution is 2 Hz. Lines at multiples of half the firing rate while the speed stays are taken for the engine's.
std::vector<FixedLine> fixed_lines(const Signal&, const Track&, const Engine&);

}  // namespace crankwise::sound
