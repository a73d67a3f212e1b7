#include "core/plan/kernels.h"

#include <bit>
#include <cstdint>

namespace crankwise::plan {
namespace {

/// log2 of a positive normal number: the exponent, and the series of the area tangent of what is left, which lies
/// between 0.7 and 1.4.
inline float log2_of(float x) {
  const std::uint32_t bits = std::bit_cast<std::uint32_t>(x);
  const std::uint32_t shifted = bits - 0x3f3504f3u;  // 0.7071...
  const float exponent = static_cast<float>(static_cast<std::int32_t>(shifted) >> 23);
  const float m = std::bit_cast<float>((shifted & 0x007fffffu) + 0x3f3504f3u);
  const float s = (m - 1) / (m + 1), s2 = s * s;
  constexpr float kTwoOverLn2 = 2.88539008f;
  return exponent + kTwoOverLn2 * s * (1 + s2 * (1 / 3.0f + s2 * (1 / 5.0f + s2 * (1 / 7.0f))));
}

}  // namespace

CRANKWISE_CLONES void entropy_row(float* __restrict h, const float* __restrict p, std::size_t columns) {
  for (std::size_t c = 0; c < columns; ++c) {
    constexpr float kLeast = 1e-30f;
    const float q = 1 - p[c];
    const float a = p[c] > kLeast ? p[c] : kLeast, b = q > kLeast ? q : kLeast;
    h[c] = -(a * log2_of(a) + b * log2_of(b));
  }
}

}  // namespace crankwise::plan
