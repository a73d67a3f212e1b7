// What was heard as a picture (SVG): the spectrogram with the speed on it, and the speed over time; or two takes, one
// over the other.
#pragma once

#include <string>

#include "app/sound/listening.h"

namespace crankwise {

/// The spectrogram with the firing's path, over the speed with its uncertainty, the ceiling and the idle marked.
std::string picture_of(const Listened&);

/// The speeds of both from their first blip or rise on, the ceilings marked.
std::string picture_of(const Listened& before, const Listened& after);

}  // namespace crankwise
