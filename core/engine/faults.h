// What is wrong, as a change of the parameters of the engine: each fault acts on what it acts on in the metal.
//
//   Design d = with_fault(healthy, *find_fault("main-jet-blocked"), 0.5);   // half blocked
//
// The identities are those of the knowledge. A severity of 0 changes nothing, 1 is as bad as it gets while the engine
// may still run; how far each goes at 1 is a judgement (*common practice*, from memory), said in its words or beside it
// (fault_*.h).
#pragma once

#include <span>
#include <string_view>

#include "core/engine/design.h"

namespace crankwise::engine {

enum class FaultOf { any, two_stroke, four_stroke, carburettor, injection, reed, exhaust_valve, packing };

struct SimulatedFault {
  std::string_view id;     // of the fault in the knowledge
  std::string_view words;  // "with the main jet blocked by half": {} is the share
  FaultOf of = FaultOf::any;
  void (*change)(Design&, double severity) = nullptr;
};

std::span<const SimulatedFault> simulated_faults();
const SimulatedFault* find_fault(std::string_view id);  // null: the physics here does not know it

/// Can this engine have it?
bool applies(const SimulatedFault&, const Design&);

/// 0 <= severity <= 1.
Design with_fault(const Design& healthy, const SimulatedFault&, double severity);

}  // namespace crankwise::engine
