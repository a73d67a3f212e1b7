// Is the engine that is followed the only one, and has it one cylinder?
//
// A second engine has lines of its own between the orders of the first. They are sought along the first one's path, as
// a second path that changes no faster than an engine does. Its speed is not believed: what is known is that there is
// another. One that
// keeps a simple ratio to the first (the same speed, half, twice), or turns at less than 0.28 of its rate, cannot be
// told from it; nor can any while firings are cut, or beside an engine that repeats only every few firings: that makes
// lines between the orders too.
//
// A single bangs once a cycle. More cylinders that fire unevenly (a twin with the cranks at an angle) show as a second
// bang at the same place of the cycle at every speed; an echo comes after the same time instead. Cylinders that fire
// evenly and alike sound like one at so many times the speed: only the limits of speed speak against that.
#pragma once

#include <vector>

#include "core/sound/answer.h"
#include "core/sound/pulses.h"
#include "core/sound/track.h"

namespace crankwise::sound {

struct SecondEngine {
  bool suspected = false;
  double strength = 0;   // mean excess of its teeth over their surroundings along the path, as amplitude; 0.9 suspects
  double firing_hz = 0;  // middle of that path
  double from_s = 0, to_s = 0;
};
/// In the first minute of what can be judged: sure, and not changing by more than a sixteenth over 24 cycles.
Answer<SecondEngine> second_engine(const Signal&, const Track&, const Engine&, const std::vector<Firing>&);

struct Bangs {
  bool more_than_one = false;
  double second = 0;    // strength of the second rise of loudness in the cycle over the first
  double distance = 0;  // from it, in cycles, the shorter way
};
Answer<Bangs> bangs_per_cycle(const Signal&, const Track&, const Engine&);

}  // namespace crankwise::sound
