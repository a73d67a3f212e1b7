// When an event counts among all others, wherever it was written.
#pragma once

#include <compare>
#include <cstdint>
#include <string>

namespace crankwise {

/// By time; what two shops wrote within one millisecond by shop and number, so that all shops order it alike.
struct Moment {
  std::string order;     // UTC: when it happened, or later if it was written after an event of a later time
  std::string shop;      // that wrote it
  std::int64_t seq = 0;  // its number there
  auto operator<=>(const Moment&) const = default;
};

}  // namespace crankwise
