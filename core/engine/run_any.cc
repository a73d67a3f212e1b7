#include "core/engine/machines.h"
#include "core/engine/run_lanes.h"

namespace crankwise::engine {

std::vector<Outcome> run_any(std::span<const Member> members, const RunOptions& options) {
  return run_in<flow::Lanes<float, 4, flow::Isa::any>>(members, options);
}

}  // namespace crankwise::engine
