// What cannot be in metal, though each figure alone could.
#pragma once

#include "core/engine/design.h"
#include "edge/toml_reader.h"

namespace crankwise {

/// The tables of an engine's file, to name the place; null where the file has none.
using EngineTables = std::map<std::string, TomlReader>;

/// Angles of ports and valves, rod against stroke, the order of openings, stretches that meet.
void check_engine(const engine::Design&, EngineTables&);

/// Two stretches one after the other: a step of their area may be `kMostStep` at most.
inline constexpr double kMostStep = 4;
void check_stretches(const std::vector<flow::Stretch>&, std::vector<TomlReader>&);

}  // namespace crankwise
