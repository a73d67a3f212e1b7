#include "core/engine/faults.h"

#include <algorithm>
#include <array>
#include <cassert>

#include "core/engine/fault_fuel.h"
#include "core/engine/fault_gas.h"
#include "core/engine/fault_parts.h"

namespace crankwise::engine {
namespace {

template <size_t... n>
constexpr auto joined(const std::array<SimulatedFault, n>&... groups) {
  std::array<SimulatedFault, (n + ...)> all{};
  size_t at = 0;
  ((std::copy(groups.begin(), groups.end(), all.begin() + at), at += n), ...);
  return all;
}
constexpr auto kFaults = joined(kFuelFaults, kCarburettorFaults, kAirFaults, kExhaustFaults, kSparkFaults,
                                kTopEndFaults, kValveFaults, kInjectionFaults);

}  // namespace

std::span<const SimulatedFault> simulated_faults() { return kFaults; }

const SimulatedFault* find_fault(std::string_view id) {
  const auto found = std::find_if(kFaults.begin(), kFaults.end(), [&](const auto& f) { return f.id == id; });
  return found == kFaults.end() ? nullptr : &*found;
}

bool applies(const SimulatedFault& fault, const Design& d) {
  switch (fault.of) {
    case FaultOf::any:
      return true;
    case FaultOf::two_stroke:
    case FaultOf::reed:
      return d.cycle == Cycle::two_stroke;
    case FaultOf::four_stroke:
      return d.cycle == Cycle::four_stroke;
    case FaultOf::carburettor:
      return d.mixture.by == Fuelling::carburettor;
    case FaultOf::injection:
      return d.mixture.by == Fuelling::injection;
    case FaultOf::exhaust_valve:
      return d.cycle == Cycle::two_stroke && d.two.exhaust_valve.fitted;
    case FaultOf::packing:
      return d.silencer.volume_m3 > 0;
  }
  return false;
}

Design with_fault(const Design& healthy, const SimulatedFault& fault, double severity) {
  assert(severity >= 0 && severity <= 1);
  Design changed = healthy;
  if (severity > 0) fault.change(changed, severity);  // some caps lie below what a sound part could do
  return changed;
}

}  // namespace crankwise::engine
