// A simulated curve told: in words, as lines of a table, as JSON and as a picture (SVG); beside that of the healthy
// one.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "app/engine/simulated.h"

namespace crankwise {

/// "half", "a quarter", "60 %".
std::string share_in_words(double share);
/// "with the main jet blocked by half"
std::string trial_in_words(const Trial&);
/// "right", "lean", "much too rich" ...
std::string mixture_in_words(double lambda);

/// What two minutes of talk would say, a sentence each: what is left of the power, where it stops and how, mixture,
/// heat; and what of it is no figure.
std::vector<std::string> explained(const SimulatedCurve& healthy, const SimulatedCurve& curve);
std::vector<std::string> explained(const SimulatedCurve& healthy);

/// Head and rows of a table over speed; with a second curve its power beside that of the first.
std::vector<std::vector<std::string>> table_of(const SimulatedCurve& healthy, const SimulatedCurve* faulty = nullptr);

nlohmann::json as_json(const SimulatedCurve&);

/// Power, torque and mixture over speed.
std::string picture_of(const SimulatedCurve& healthy, const SimulatedCurve* faulty = nullptr);

}  // namespace crankwise
