// The inner loop of the planner.
#pragma once

#include <cstddef>

#include "core/belief/kernels.h"

namespace crankwise::plan {

using kernels::kBlock;
using kernels::padded;

/// h[c] = entropy in bits of a yes with the chance p[c]; relative error about 1e-6.
void entropy_row(float* h, const float* p, std::size_t columns);

}  // namespace crankwise::plan
