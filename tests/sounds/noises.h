// All that is heard beside an engine, or without one. At kInsideHz, mean square 1.
#pragma once

#include "tests/sounds/filters.h"
#include "tests/sounds/random.h"

namespace crankwise::sounds {

enum class Noise {
  wind,    // steep above 100-200 Hz, in slow swells
  gusts,   // the same with gusts of 10 dB and more
  air,     // pink: the background of any recording
  white,   // broadband
  speech,  // a voice: glottal pulses of gliding pitch through formants, with pauses
  music,   // chords and a drum
  hum_50,  // mains and its harmonics
  hum_60,
  saw,         // circular saw: steady tone with a few harmonics and noise
  compressor,  // a steady thump of some 15 Hz with noise
  hammer,      // blows on metal, uneven
};

Sound noise(Noise, std::size_t samples, Random&);

}  // namespace crankwise::sounds
