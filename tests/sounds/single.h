// The sound of a single: a train of blow-down pulses and the jet noise that goes with each, through a pipe.
#pragma once

#include <vector>

#include "core/calc/cycle.h"
#include "tests/sounds/filters.h"
#include "tests/sounds/random.h"
#include "tests/sounds/ride.h"
#include "tests/sounds/truth.h"

namespace crankwise::sounds {

struct Resonance {
  double hz = 0, q = 0, gain = 0;
};

struct Single {
  Cycle cycle = Cycle::two_stroke;
  double jitter = 0.01;  // of each firing in time, to the period (standard deviation)
  double scatter = 0.2;  // of each firing in strength
  double shape = 0.1;    // of each blow-down in width (standard deviation)
  double blow_down_s = 0.0012;
  double hiss = 0.3;      // jet noise to pulse
  double hiss_s = 0.003;  // it dies away with this
  double dry = 0.4;       // of the pulse past the pipe
  std::vector<Resonance> pipe;
  double intake = 0.1;     // noise that swells with each cycle, to the whole (amplitude)
  double clatter = 0.03;   // steady mechanical noise, to the whole
  double ticks = 0;        // valve train: two knocks a cycle, to a firing
  double whine_order = 0;  // gears: a line at so many times the crankshaft
  double whine = 0;        // its strength, to the whole
  std::vector<Weak> weak;
};

/// One for each cycle of the profile.
std::vector<Firing> firings(const Single&, const Profile&, Random&);

/// At kInsideHz, `samples` long; mean square 1 while the engine turns.
Sound render(const Single&, const Profile&, const std::vector<Firing>&, std::size_t samples, Random&);

}  // namespace crankwise::sounds
