// What simulated engines say of the faults, as knowledge: knowledge/simulated.toml, made by bench/strengths, and how
// much of it is believed beside what was given by hand.
#pragma once

#include "edge/knowledge.h"
#include "edge/toml_reader.h"

namespace crankwise {

void read(TomlReader&, SimulatedClass&);

}  // namespace crankwise
