// A bike that goes by instead of standing: its firing is heard too high while it comes and too low when it is gone
// (Doppler 1842).
//
// Straight past at v, the closest distance d passed at t0:  f = f0 / (1 + (v / c) s),  s = x / sqrt(x^2 + d^2),
// x = v (t - t0). Far before and after f1 = f0 / (1 - v / c) and f2 = f0 / (1 + v / c), so v = c (f1 - f2) / (f1 + f2).
// ln f is fitted as a - b s, with b = artanh(v / c); the rate at rest is sqrt(f1 f2) but for (v / c)^2 / 2.
#pragma once

#include "core/sound/answer.h"
#include "core/sound/track.h"

namespace crankwise::sound {

struct PassBy {
  Value speed_m_s;
  Value rpm;             // of the engine itself
  double closest_s = 0;  // as heard
  Value closest_m;
};

/// One smooth step down of 2 to 15 %, with the sound loudest about it; no_engine or not_passing if it is none.
/// Air of so many kelvin.
Answer<PassBy> pass_by_of(const Track&, double air_k = 293.15);

}  // namespace crankwise::sound
