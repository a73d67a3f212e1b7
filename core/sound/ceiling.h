// The rev ceiling: the speed at which an engine held wide open stops rising, and how it stops.
//
//   hard cut        firings drop out at one speed, regularly or in a row: an ignition limiter
//   flattening      it stops rising by and by and fires on: rich, restricted, port timing, pipe
//   breaking up     firings fail at random from a speed on
//   surging         it rises and falls at the top, periodically
//   falls away      it reaches its top and sinks after a second or more while held open
//
// From the sound it cannot be known whether the throttle was fully open; that is what the take was made for.
#pragma once

#include <optional>
#include <vector>

#include "core/sound/answer.h"
#include "core/sound/firings.h"
#include "core/sound/spread.h"
#include "core/sound/track.h"

namespace crankwise::sound {

enum class Top { hard_cut, flattening, breaking_up, surging, falls_away };

struct Ceiling {
  Value rpm;
  double reached_s = 0;  // when it came there
  double held_s = 0;     // how long it was kept near it
  Answer<Top> shape = Why::between_the_shapes;
  // What the shape is drawn from.
  Answer<WeakShare> weak = Why::too_few_firings;        // at the top
  Answer<WeakShare> weak_below = Why::too_few_firings;  // at 60 to 85 % of it
  Answer<Alternation> alternation = Why::too_short;     // at the top; regular: rich there
  Value sink;                                           // how far it sinks while held open, as a share of the speed
  Value ripple;                // how unsteady it is at the top: standard deviation, as a share of the speed
  std::optional<Swing> surge;  // depth as a share of the speed
};

/// Only sure frames count.
Answer<Ceiling> ceiling_of(const Track&, const std::vector<Firing>&, const std::vector<HalfOrders>&);

}  // namespace crankwise::sound
