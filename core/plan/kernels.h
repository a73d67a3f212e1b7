// The inner loop of the planner, and its logarithm.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>

#include "core/belief/kernels.h"

namespace crankwise::plan {

using kernels::kBlock;
using kernels::padded;

/// log2 of a positive normal number, error below 1e-6: the exponent, and the series of the area tangent of what is
/// left, which lies between 0.7 and 1.4.
inline float log2_of(float x) {
  const std::uint32_t bits = std::bit_cast<std::uint32_t>(x);
  const std::uint32_t shifted = bits - 0x3f3504f3u;  // 0.7071...
  const float exponent = static_cast<float>(static_cast<std::int32_t>(shifted) >> 23);
  const float m = std::bit_cast<float>((shifted & 0x007fffffu) + 0x3f3504f3u);
  const float s = (m - 1) / (m + 1), s2 = s * s;
  constexpr float kTwoOverLn2 = 2.88539008f;
  return exponent + kTwoOverLn2 * s * (1 + s2 * (1 / 3.0f + s2 * (1 / 5.0f + s2 * (1 / 7.0f))));
}

/// h[c] = entropy in bits of a yes with the chance p[c]; relative error about 1e-6.
void entropy_row(float* h, const float* p, std::size_t columns);

}  // namespace crankwise::plan
