// One cycle of a simulated engine as a picture (SVG): pressure over volume in the cylinder, and the pressures in pipe,
// crankcase and inlet over the crank.
#pragma once

#include <string>

#include "app/engine/simulated.h"
#include "core/engine/trace.h"

namespace crankwise {

/// `faulty`: beside the healthy one, or null. Both of one engine and one speed.
struct TracedCycle {
  Trial trial;
  engine::Trace trace;
};
std::string cycle_picture(const TracedCycle& healthy, const TracedCycle* faulty, double rpm);

}  // namespace crankwise
