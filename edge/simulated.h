// What simulated engines say of the faults, as knowledge: knowledge/simulated.toml, made by bench/strengths, and how
// much of it is believed beside what was given by hand.
#pragma once

#include "edge/knowledge.h"
#include "edge/toml_reader.h"

namespace crankwise {

void read(TomlReader&, SimulatedClass&);

/// What a strength by hand and one by simulation are worth together, each as if so many answers stood behind it: the
/// simulation half as much, since how bad a fault is on the bikes that come to the stand, and from where on a rider
/// notices, are judgements in it too.
inline constexpr double kHandWorth = 20, kSimulationWorth = 10;
/// Strengths below are not worth a link.
inline constexpr double kLeastPooled = 0.05;

/// Finding -> strength for one fault of a class, both sources together; those that only one of them knows are those of
/// the one. `by_hand`: strengths of the links that the knowledge gives for this bike.
std::map<std::string, double> pooled_strengths(std::map<std::string, double> by_hand, const SimulatedClass*,
                                               const std::string& fault);

}  // namespace crankwise
