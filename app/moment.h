// When an event counts among all others, wherever it was written.
#pragma once

#include <cstdint>
#include <string>
#include <tuple>

namespace crankwise {

/// By time; what two shops wrote within one millisecond by shop and number, so that all shops order it alike.
struct Moment {
  std::string order;     // UTC: when it happened, or later if it was written after an event of a later time
  std::string shop;      // that wrote it
  std::int64_t seq = 0;  // its number there
};
inline bool operator<(const Moment& a, const Moment& b) {
  return std::tie(a.order, a.shop, a.seq) < std::tie(b.order, b.shop, b.seq);
}
inline bool operator>(const Moment& a, const Moment& b) { return b < a; }
inline bool operator<=(const Moment& a, const Moment& b) { return !(b < a); }

}  // namespace crankwise
