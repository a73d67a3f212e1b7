// How an order that does not fit is refused.
#pragma once

#include <string>
#include <utility>

#include "edge/problem.h"

namespace crankwise {

/// What it is about is not there.
struct Unknown : BadInput {
  using BadInput::BadInput;
};

/// It would fit, had somebody else not written meanwhile.
struct Overtaken : BadInput {
  using BadInput::BadInput;
};

[[noreturn]] inline void refuse(std::string wrong, std::string right) {
  throw BadInput({"", 0, "", std::move(wrong), std::move(right)});
}

}  // namespace crankwise
