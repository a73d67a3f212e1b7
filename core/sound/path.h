// The one path through the evidence over time: dynamic programming (Viterbi 1967), without a state for "no engine": an
// engine cannot be elsewhere a moment later, and what is allowed to vanish comes back in the wrong octave.
//
// A rough engine is like itself only every second or fourth firing. So the path is one of the firing together with how
// many firings the sound takes to repeat, and it may begin or cease to be rough on its way without a leap in speed.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "core/sound/grid.h"

namespace crankwise::sound {

/// How fast an engine changes its speed, as d(rpm)/dt over rpm. *Common practice*: a blip takes a light single from
/// idle to 12,000 rpm in half a second, which at its beginning is 7 a second.
inline constexpr double kMostRisePerS = 9, kMostFallPerS = 7;

class PathFinder {
 public:
  struct Place {
    int bin = -1;   // of the firing
    int rough = 0;  // which of the roughnesses
  };

  /// `roughness`: firings until the sound repeats, the first 1.
  PathFinder(const Grid&, const std::vector<int>& roughness);

  /// The path through these rows (of grid.size each). It starts within reach of `before`, if that is somewhere.
  /// `about`: where the firing is already known to be, within half an octave, by hop; empty if it is not. Then it costs
  /// nothing to begin rough, and among rates at whose part the sound repeats that one is taken which speaks for itself.
  std::vector<Place> through(std::span<const float> rows, Place before, std::span<const int> about = {});

  /// The evidence that a place stands on: that of the rate at which the sound repeats.
  float evidence(std::span<const float> row, Place) const;

 private:
  float* sums(std::size_t hop, int rough);  // from bin 0 on
  void arrive(std::size_t hop, int rough, Place leader);
  Place came_from(std::size_t hop, Place, Place leader);
  Place leader_of(std::size_t hop);
  float worth(std::span<const float> row, Place, std::span<const int> about, std::size_t hop) const;

  Grid grid_;
  std::vector<int> below_;   // bins from the firing down to where its sound repeats; one for each roughness
  std::vector<float> sums_;  // by hop, roughness, bin: of the best path that ends there; with room for moves beside
};

}  // namespace crankwise::sound
