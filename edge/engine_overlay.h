// One engine's file laid over another.
#pragma once

#include <toml++/toml.h>
#include <vector>

#include "edge/problem.h"

namespace crankwise {

/// Fields of `over` take the place of those of `base`, told with their own file and line from then on. Of a list of
/// stretches one is named by its number, from 1: `exhaust.2.length`. `over` is used up.
void lay_over(toml::table& base, toml::table& over, std::vector<Problem>& problems);

}  // namespace crankwise
