#include "core/engine/run.h"

#include "core/engine/machines.h"

namespace crankwise::engine {
namespace {

struct Machine {
  int lanes;
  std::vector<Outcome> (*run)(std::span<const Member>, const RunOptions&);
};

Machine machine() {
#ifdef CRANKWISE_MACHINES
  if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512bw") &&
      __builtin_cpu_supports("avx512vl"))
    return {16, run_avx512};
  if (__builtin_cpu_supports("avx2")) return {8, run_avx2};
#endif
  return {4, run_any};
}

}  // namespace

int Cells::all(Cycle cycle) const { return runner + exhaust + (cycle == Cycle::two_stroke ? transfer : port); }

std::vector<Outcome> run(std::span<const Member> members, const RunOptions& options) {
  return machine().run(members, options);
}

int members_at_once() { return machine().lanes; }

}  // namespace crankwise::engine
