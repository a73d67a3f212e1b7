// What is followed but is no engine's, or not surely that of the one engine: speech, music, hammering, hum, a second
// engine.
//
// An engine keeps its timbre while its speed stays: pipe and silencer do not change. The shape of the spectrum a moment
// later, at about the same pitch, differs by 1 to 2 dB over the bands of an octave's third; that of a voice or of music
// differs by 5 and more. A steady tone keeps it too (core/sound/tones.h). Where a second engine is
// heard (core/sound/others.h) it is not known which of the two the path is of.
#pragma once

#include <vector>

#include "core/sound/pulses.h"
#include "core/sound/track.h"

namespace crankwise::sound {

/// By frame: may it be the engine's, as far as this tells?
std::vector<bool> like_an_engine(const Signal&, const Track&, const Engine&, const std::vector<Firing>&);

}  // namespace crankwise::sound
