// The track of a made take as it is in truth, with the uncertainty that a found one would have.
#pragma once

#include "core/sound/track.h"
#include "tests/sounds/case.h"

namespace crankwise::sound {

Track made_track(const sounds::Case&);

}  // namespace crankwise::sound
