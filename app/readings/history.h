// What earlier readings of the same bike add to one: a valve that closes up again and again, oil that lifts the
// compression.
#pragma once

#include <vector>

#include "app/readings/appraise.h"

namespace crankwise {

/// Adds weights and notes. `earlier`: oldest first.
void add_history(Appraised&, const Reading&, const Taken&, const std::vector<PastReading>& earlier);

}  // namespace crankwise
