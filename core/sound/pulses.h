// Every single firing along a track: when, and how strong beside its neighbours.
//
// The track's rate is summed to a phase; where in the cycle the bang comes is found from the mean rise of loudness
// within it, anew every few cycles, so that a small error of the track does not slide the cuts across the bangs. The
// strength of a firing is the energy of the half cycle after its onset less what was ringing on before it (but no more
// than 3 dB below the energy with that, beside its neighbours'), of the sound's first difference: the upper sound dies
// down fastest, and wind is low.
#pragma once

#include <vector>

#include "core/sound/track.h"

namespace crankwise::sound {

inline constexpr double kWeakDb = -6;

struct Firing {
  double at_s = 0;
  float rpm = 0;
  float db = 0;         // energy over the median of the 13 around it; not below -30
  bool sure = false;    // the track was
  bool visible = true;  // a missing one would show: what rings on is well below the bangs

  bool weak() const { return db < kWeakDb; }
};

/// In order of time. Stretches of less than 16 cycles are left out.
std::vector<Firing> firings_along(const Signal&, const Track&, const Engine&);

}  // namespace crankwise::sound
