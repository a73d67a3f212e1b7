// What a bike's engine can do, as far as it helps to follow its sound.
#pragma once

#include "core/sound/track.h"
#include "edge/job.h"
#include "edge/problem.h"

namespace crankwise {

/// The bike's cycle, wide limits of speed for its size, and as hints its own figures: idle-speed, and cut-ceiling as
/// the speed that it never passes. A baseline goes before the handbook's.
sound::Engine engine_of(const Bike&);

/// Of a bike that is in no shop. `displacement_cc` 0: not known.
sound::Engine usual_engine(Cycle, double displacement_cc);

/// Problems with hints and limits, in words that name the field; none: core/sound can use it.
std::vector<Problem> problems(const sound::Engine&);

}  // namespace crankwise
