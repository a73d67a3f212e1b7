// Takes for the tests of core/sound's measures, made from formulas: tracks of any speed over time, and trains of bangs
// at exact times.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "core/sound/track.h"
#include "tests/sounds/random.h"

namespace crankwise::sound {

/// Without hints.
Engine engine_of(Cycle);

using RpmAt = std::function<double(double seconds)>;

/// Sure frames with a standard uncertainty of `share`; none where the speed is 0. `noise`: of the speeds, white.
Track track_of(const RpmAt&, double seconds, double share = 0.003, double noise = 0);

/// When each firing comes: whole cycles of the integral of the speed.
std::vector<double> firing_times(const RpmAt&, double seconds, Cycle);

struct Train {
  std::function<double(std::size_t)> strength = [](std::size_t) { return 1; };
  double jitter = 0.005;  // of each firing in time, to the period
  double scatter = 0.1;   // of each in strength
  double noise = 0.002;   // white, full scale 1
  std::uint64_t seed = 1;
};
/// A bang is three dying tones, 4 ms and less, of peak 0.2.
std::vector<float> sound_of(const std::vector<double>& times, double seconds, const Train&);

}  // namespace crankwise::sound
