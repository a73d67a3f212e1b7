// What sums and recordings ask of a bike's gearing and rear tyre.
#pragma once

#include <vector>

#include "app/inputs/inputs.h"
#include "core/calc/gearing.h"

namespace crankwise {

/// primary, gear, front, rear; circumference, or tyre-width, tyre-aspect and rim.
std::vector<Input> drive_inputs();
Gearing gearing_of(const Inputs&);
/// What the rear tyre rolls: as told, or its size's less 3 %, as a loaded one does (*common practice*: 2 to 4 %).
double circumference_m(const Inputs&);

}  // namespace crankwise
