// The idle of a take: its speed, how much it wanders, whether it hunts.
#pragma once

#include <optional>

#include "core/sound/answer.h"
#include "core/sound/spread.h"
#include "core/sound/track.h"

namespace crankwise::sound {

/// Without a hint, no idle is looked for above this; off-road singles idle at 1,300 to 2,500 rpm (*common practice*).
inline constexpr double kMostIdleRpm = 2800;

struct Idle {
  Value rpm;
  /// Standard deviation of ln rpm over 2 s, a straight line taken off (robust). 0.002 to 0.005 is the method's own.
  Answer<Value> wander = Why::too_short;
  /// If it rises and falls regularly; depth as a share of the speed.
  std::optional<Swing> hunting;
  double seconds = 0;  // that it was heard to idle
};

/// The lowest speed that is kept for most of a second, not the dips below it. With a hint, within a factor of 1.8 of
/// it.
Answer<Idle> idle_of(const Track&, const Engine&);

}  // namespace crankwise::sound
