#include "core/engine/run.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numbers>

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

std::string in_words(const LostGas& lost) {
  using Place = LostGas::Place;
  const auto where = [&]() -> std::string {
    switch (lost.place) {
      case Place::nowhere:
        return "nowhere";
      case Place::air_box:
        return "in the air box";
      case Place::inlet:
        return "behind the throttle";
      case Place::runner:
        return "in the runner";
      case Place::port:
        return "in the inlet port";
      case Place::crankcase:
        return "in the crankcase";
      case Place::transfer:
        return "in the transfer passages";
      case Place::cylinder:
        return "in the cylinder";
      case Place::exhaust:
        return "in the exhaust";
    }
    return "";
  }();
  const long degrees = std::lround(lost.crank_rad * 180 / std::numbers::pi);
  std::string words = where;
  if (lost.at_m > 0) words += ", " + std::to_string(std::lround(lost.at_m * 1000)) + " mm from where the gas enters";
  return words + ", " + std::to_string(std::labs(degrees)) + " degrees " + (degrees < 0 ? "before" : "after") +
         " top dead centre of cycle " + std::to_string(lost.cycle);
}

Cells Cells::half() const {
  const auto of = [](int cells) { return std::max(4, cells / 2); };
  return {of(runner), of(port), of(transfer), of(exhaust)};
}

std::vector<Outcome> run(std::span<const Member> members, const RunOptions& options) {
  return machine().run(members, options);
}

int members_at_once() { return machine().lanes; }

}  // namespace crankwise::engine
