// Air as sums ask for it: height or pressure, temperature, humidity.
#pragma once

#include <string>
#include <vector>

#include "app/inputs/inputs.h"
#include "core/calc/air.h"

namespace crankwise {

/// The inputs, their names ending in `day` ("-then" or "").
std::vector<Input> air_inputs(const std::string& day);

/// Pressure as told, or that of the standard atmosphere at the height.
MoistAir air_of(const Inputs&, const std::string& day);

}  // namespace crankwise
