// What a mechanic tells of a pull in one gear, so that its sound becomes power.
#pragma once

#include <string>
#include <vector>

#include "app/inputs/inputs.h"
#include "core/sound/pull.h"

namespace crankwise {

/// Gearing and tyre (app/inputs/drive.h), mass, drag, rolling, slope, slip, air.
std::vector<Input> pull_inputs();

/// From "mass=190 kg" pairs. Throws BadInput with every problem: units, what cannot be, gearing that no bike has.
sound::PullSetup pull_told(const std::vector<std::string>& pairs);

}  // namespace crankwise
