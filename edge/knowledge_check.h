// What must hold between the things of the knowledge: known names, causes and cures for everything, no circles.
#pragma once

#include <vector>

#include "edge/knowledge.h"
#include "edge/problem.h"

namespace crankwise {

/// Adds every problem found.
void check_knowledge(const Knowledge&, std::vector<Problem>& problems);

}  // namespace crankwise
