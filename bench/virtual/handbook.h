// A bike whose owner has typed in its handbook: a figure for every reading.
#pragma once

#include "edge/job.h"
#include "edge/knowledge.h"

namespace crankwise::bench {

/// Invented figures: bands of a fifth either way, or that of its kind where it is narrower.
void type_in_handbook(Bike&, const Knowledge&);

}  // namespace crankwise::bench
