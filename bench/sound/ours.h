// Our own tracker, as the bench asks it.
#pragma once

#include <vector>

#include "bench/sound/take.h"

namespace crankwise::bench {

std::vector<Said> listen(const SoundTake&);

/// Seconds it takes for a minute of sound made of the first takes of the tuning set, the least of so many goes.
double seconds_per_minute(int goes);

}  // namespace crankwise::bench
