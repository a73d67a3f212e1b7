// What is followed but turns too evenly for an engine: hum of the mains, a compressor, a whistle.
//
// Combustion differs from cycle to cycle, so the speed of an engine wanders by some tenths of a percent: in a window of
// seconds its higher orders are smeared. Two signs of a tone:
//   - it stays within 1 % and no bangs stand out (core/sound/pulses.h);
//   - several of its orders are lines as sharp as the window can show.
// A tone goes on while its pitch stays, whatever is louder for a while.
#pragma once

#include <vector>

#include "core/sound/pulses.h"
#include "core/sound/track.h"

namespace crankwise::sound {

/// By frame: is what is followed there such a tone?
std::vector<bool> tones_in(const Signal&, const Track&, const Engine&, const std::vector<Firing>&);

/// The firing rate at which the path dwells in most of these frames; 0 if there is hardly one second of them.
double dwelt_at(const Track&, const Engine&, const std::vector<bool>& frames);

}  // namespace crankwise::sound
