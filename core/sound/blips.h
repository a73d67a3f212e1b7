// Blips of the throttle: how fast the engine comes up, and how it comes down to its idle.
#pragma once

#include <vector>

#include "core/sound/answer.h"
#include "core/sound/track.h"

namespace crankwise::sound {

/// How it settles after a chop.
struct Settling {
  Value hang_s;          // from passing half way down to staying within 12 % of idle for 0.3 s
  Value dip;             // the lowest below idle in the 2 s after that, as a share of idle; 0 for none
  bool hanging = false;  // it stayed 15 % and more above idle for 2 s, below twice the idle: a hanging idle
};
struct Blip {
  double start_s = 0, peak_s = 0, end_s = 0;
  double from_rpm = 0;
  Value peak_rpm;
  Value rise_s;                                     // from 10 to 90 % of the way
  Value fastest_rpm_s;                              // d(rpm)/dt where it rises fastest, over a tenth of a second
  Answer<Value> fall_s = Why::never_fell;           // from 90 to 10 % of the way down to the next low
  Answer<Value> time_constant_s = Why::never_fell;  // of the fall towards idle, from 80 to 20 % of the way
  Answer<Settling> settling = Why::idle_unknown;
};

/// Rises by half and more and falls of a quarter and more after them; those not heard surely enough are left out.
/// `idle_rpm`: 0 if not known.
Answer<std::vector<Blip>> blips_of(const Track&, double idle_rpm);

}  // namespace crankwise::sound
