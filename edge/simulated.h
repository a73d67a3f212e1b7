// What simulated engines say of the faults, as knowledge: knowledge/simulated.toml, made by bench/strengths, and how
// much of it is believed beside what was given by hand.
#pragma once

#include "edge/knowledge.h"
#include "edge/toml_reader.h"

namespace crankwise {

void read(TomlReader&, SimulatedClass&);

/// Finding -> strength for one fault, by hand and by simulation as if so many answers stood behind each. The simulation
/// tells of the findings that it decides; what only one of them knows is that one's, and what is hardly there is left
/// out. `simulated`: null if the class was not simulated. simulated_worth 0: by hand alone.
std::map<std::string, double> pooled_strengths(std::map<std::string, double> by_hand, double hand_worth,
                                               const SimulatedClass* simulated, const std::string& fault,
                                               double simulated_worth);

}  // namespace crankwise
