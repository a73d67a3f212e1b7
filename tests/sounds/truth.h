// What is true of a made take.
#pragma once

#include <optional>
#include <vector>

#include "tests/sounds/profile.h"

namespace crankwise::sounds {

/// How an engine held wide open ends its climb.
enum class Stop {
  none,         // not held open
  hard_cut,     // ignition cut at a speed, some 10 times a second
  soft,         // it flattens and stays
  breaking_up,  // firings fail at random from a speed on
  surging,      // slow hunting, up to a few a second
  falls_away,   // the top is reached and lost after seconds
};

struct Firing {
  double at_s = 0;
  double rpm = 0;
  double strength = 1;                          // to a full firing at this speed, scatter apart
  bool weak() const { return strength < 0.5; }  // below -6 dB
};

struct Blip {
  double open_s = 0, top_s = 0;     // throttle opened; top reached
  double chop_s = 0, closed_s = 0;  // throttle closed; back near idle
  double from_rpm = 0, top_rpm = 0;
  double rise_s = 0, fall_s = 0;  // between a tenth and nine tenths of the way
};

struct PassBy {
  double speed_mps = 0, closest_m = 0, closest_s = 0;  // heard at closest_s
  double engine_rpm = 0;                               // as on the bike, at that time
};

struct Range {
  double from = 0, to = 0;
};

struct Truth {
  bool engine = true;
  Profile rpm;  // as heard at the microphone, Doppler included; without any knot above 0 if there is no engine
  std::vector<Firing> firings;
  std::optional<double> idle_rpm;     // where the take holds it
  std::optional<double> ceiling_rpm;  // where the take reaches it
  Stop stop = Stop::none;
  std::optional<Range> four_stroking_rpm;  // where every second firing is weaker, all the time
  std::vector<Blip> blips;
  /// From passing half of the top on its way down to within 12 % of idle for 0.3 s.
  std::optional<double> hang_s;
  std::optional<PassBy> pass_by;
  bool second_engine = false;
  bool octave_open = false;  // the sound is the same as one of half the speed: only a hint can decide

  /// Of the firings between these speeds; 0 if there are none.
  double weak_share(double from_rpm = 0, double to_rpm = 1e9) const;
};

}  // namespace crankwise::sounds
