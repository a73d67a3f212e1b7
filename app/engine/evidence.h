// What the simulation says of a class's faults (knowledge/simulated.toml) beside what is known by hand: where the two
// disagree, and which faults fit the speed at which an engine was heard to stop.
#pragma once

#include <string>
#include <vector>

#include "app/engine/ensemble.h"
#include "edge/knowledge.h"

namespace crankwise {

/// The generated file of knowledge, as TOML.
std::string as_knowledge(const std::vector<EngineEvidence>&, const EnsembleOptions&);

struct Disagreement {
  std::string of_class, fault, finding;
  double by_hand = 0, simulated = 0;
};
struct Disagreements {
  int compared = 0;
  std::vector<Disagreement> all;  // odds that differ by so much or more, the farthest apart first
};
/// `class_id` empty: all classes. Strengths that both hold for slight are not counted as apart.
Disagreements disagreements(const Knowledge&, const std::string& class_id, double odds_ratio = 6);

/// A fault whose simulated engine stops about there.
struct FitsCeiling {
  const SimulatedClass::SimulatedFault* fault = nullptr;
  double chance = 0;  // among the faults of the simulation, by their shares in the knowledge
  double factor = 0;  // what the speed alone does to its odds
};
/// `share`: where it stops, of where the same bike stops healthy. `sd`: of what was heard; the simulation's own error
/// comes to it. The likeliest first.
std::vector<FitsCeiling> that_fit(const Knowledge&, const SimulatedClass&, double share, bool in_neutral, double sd);

}  // namespace crankwise
