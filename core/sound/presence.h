// What a take holds before any speed is believed: where an engine is heard, where nothing is, where something else is.
#pragma once

#include <vector>

#include "core/sound/pulses.h"
#include "core/sound/track.h"

namespace crankwise::sound {

struct Stretch {
  enum class Kind {
    engine,
    silence,    // nothing to be followed, 35 dB and more below what is loud in the take or below -60 dB of full scale
    no_engine,  // sound, but none that an engine makes well enough to be followed: noise, speech, music, hum
  };
  enum class Lack {
    none,        // of an engine; or of sound
    not_sure,    // nothing repeats well enough
    no_bangs,    // a tone, but no bangs in it that stand out: hum, music, or an engine drowned in noise
    with_pauses  // it stops and starts again many times: speech, hammering
  };
  Kind kind{};
  double from_s = 0, to_s = 0;
  Lack lack = Lack::none;  // of no_engine
};

/// The whole take, in order and without gaps; none shorter than 0.3 s but for a shorter take. Its bounds are known to
/// about a quarter of a second.
std::vector<Stretch> stretches_of(const Track&, const std::vector<Firing>&);

/// Share of the take with an engine, of sure frames among these.
struct EngineShare {
  double engine = 0, sure = 0;
};
EngineShare engine_share(const Track&, const std::vector<Stretch>&);

}  // namespace crankwise::sound
