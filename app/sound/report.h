// What was heard, for the mechanic: in lines, and as JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <utility>
#include <vector>

#include "app/sound/listening.h"
#include "core/sound/compare.h"

namespace crankwise {

/// What it is about ("idle"), and what is said of it. Numbers with their uncertainty, and reasons where nothing is
/// said.
using ReportLine = std::pair<std::string, std::string>;

std::vector<ReportLine> report(const Listened&);
/// With an open octave: the two readings of the take, and how to settle it; "" otherwise.
std::string octave_question(const Listened&);
/// Why the cycle that was told is hardly that of the engine heard; "" if nothing speaks against it.
std::string cycle_doubt(const Listened&);
/// Of two takes: what changed, first what is more than chance.
std::vector<ReportLine> report(const Listened& before, const Listened& after);

/// All of it, with the speed over time every `step_s` seconds.
nlohmann::json as_json(const Listened&, double step_s = 0.1);
nlohmann::json as_json(const std::vector<sound::Change>&);

}  // namespace crankwise
