// What happens within a cycle, for pictures: pressures over the crank's angle.
#pragma once

#include <vector>

#include "core/engine/run.h"

namespace crankwise::engine {

struct TracePoint {
  double crank_rad = 0;  // from top dead centre of the working stroke; below 0 before it
  double cylinder_m3 = 0, cylinder_pa = 0, cylinder_k = 0;
  double crankcase_pa = 0;     // two-stroke
  double exhaust_port_pa = 0;  // in the pipe, a cell from the port
  double exhaust_m_s = 0;      // there, away from the engine
  double inlet_pa = 0;         // behind the throttle
};

struct Trace {
  Outcome::State state = Outcome::State::does_not_repeat;
  LostGas lost;
  std::vector<TracePoint> at;  // one cycle, by angle, about a degree apart
};

/// The cycle after those that run() takes the mean of. One member alone, in double.
Trace trace(const Member&, const RunOptions&);

}  // namespace crankwise::engine
