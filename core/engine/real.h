// The arithmetic of lanes and of single numbers, under the same names.
#pragma once

#include "core/flow/lanes.h"

namespace crankwise::engine {

using flow::abs;
using flow::exp;
using flow::log;
using flow::max;
using flow::min;
using flow::pow;
using flow::select;
using flow::sqrt;
using flow::with_sign;

}  // namespace crankwise::engine
