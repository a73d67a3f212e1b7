// How a take is put together, before it is made.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/sound/track.h"
#include "tests/sounds/noises.h"
#include "tests/sounds/phone.h"
#include "tests/sounds/random.h"
#include "tests/sounds/ride.h"
#include "tests/sounds/single.h"

namespace crankwise::sounds {

/// Something else in the take.
struct Beside {
  Noise noise = Noise::air;
  double snr_db = 30;  // mean square of the engine while it turns over that of this, before the telephone
};

struct Second {
  Single single;
  Truth truth;
  double level_db = 0;  // to the first
};

/// The microphone stands still, the bike goes by on a straight line.
struct Passing {
  double speed_mps = 0, closest_m = 0, closest_s = 0;
};

struct Recipe {
  sound::Engine engine;
  Single single;
  Truth truth;  // as ridden: what is still to come is what was fired and what was heard
  std::vector<Beside> beside{{}};
  Phone phone;
  std::optional<Second> second;
  std::optional<Passing> passing;
};

struct Made {
  std::vector<float> samples;
  Truth truth;
};
Made make(const Recipe&, Random&);

/// What differs between the sets: numbers stand as given in one and are drawn about it in the other.
class Draw {
 public:
  Draw(Random& dice, bool varied) : random(dice), varied_(varied) {}

  double of(double value, double spread = 0.12) {
    return varied_ ? value * random.uniform(1 - spread, 1 + spread) : value;
  }
  /// Engines of the kind, with a pipe of their own.
  Single two_stroke();
  Single four_stroke();

  Random& random;

 private:
  Single single(double first_pipe_hz, double jitter_low, double jitter_high);
  bool varied_;
};

/// A kind of take.
struct Kind {
  std::string name;
  bool tuning = true;  // in the tuning set too
  void (*fill)(Recipe&, Draw&) = nullptr;
};

std::vector<Kind> two_stroke_kinds();
std::vector<Kind> four_stroke_kinds();
std::vector<Kind> odd_kinds();  // tops, starts, stops, gears
std::vector<Kind> disturbed_kinds();
std::vector<Kind> no_engine_kinds();

}  // namespace crankwise::sounds
