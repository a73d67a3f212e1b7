// An id that nobody else has: 128 random bits of the machine as 32 lower-case hex digits.
#pragma once

#include <string>

namespace crankwise {

std::string random_id();

}  // namespace crankwise
