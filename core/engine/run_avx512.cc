#include "core/engine/machines.h"
#include "core/engine/run_lanes.h"

namespace crankwise::engine {

std::vector<Outcome> run_avx512(std::span<const Member> members, const RunOptions& options) {
  return run_in<flow::Lanes<float, 16, flow::Isa::avx512>>(members, options);
}

}  // namespace crankwise::engine
