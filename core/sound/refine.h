// The path made exact: the orders of a few cycles around each moment, cut by the path's own pace, say how far off it
// is, and what lies between the orders says how trustworthy it is.
#pragma once

#include <span>
#include <vector>

#include "core/sound/octave.h"
#include "core/sound/turns.h"

namespace crankwise::sound {

/// What the orders around one moment say.
struct OrderLook {
  bool heard = false;  // false: not looked at
  double at_s = 0;
  double rate_hz = 0;     // of the firing, made exact
  float contrast_db = 0;  // whole orders above what lies between them
  OrderSigns signs;
};

/// Looks along a path: `rate_hz` by hop, 0 for none; `rough`: firings until the sound repeats. One look each hop or
/// each cycle, whichever is longer.
std::vector<OrderLook> look_along(const Signal&, std::span<const double> rate_hz, std::span<const int> rough);

}  // namespace crankwise::sound
