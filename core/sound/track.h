// The speed of a single's engine over time, from its sound.
//
//   Engine engine{.cycle = Cycle::two_stroke, .idle_rpm = 1800};
//   Track track = follow(signal, engine);
//   track.frames[i].rpm;                      // at i * kHopS seconds; 0 where no engine was heard
//
// A single sounds once per working cycle: every turn (two-stroke) or every second one (four-stroke). The sound is a
// train of pulses, coloured by pipe and silencer and roughened by uneven burning, so that no single line of its
// spectrum can be trusted. One path through all evidence over time is sought, no faster than an engine can change its
// speed, and then the path is tried against its own multiples and parts (core/sound/octave.h).
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "core/calc/cycle.h"
#include "core/sound/signal.h"

namespace crankwise::sound {

inline constexpr double kHopS = 0.02;

/// What is known of the engine.
struct Engine {
  Cycle cycle = Cycle::two_stroke;
  double rpm_min = 700, rpm_max = 14500;   // that it can turn at; 300 <= min, 2 min <= max <= 20000
  std::optional<double> idle_rpm = {};     // as set or as told, within about a third
  std::optional<double> ceiling_rpm = {};  // it never turns faster than this by more than a twentieth

  double firing_hz(double rpm) const { return rpm / (cycle == Cycle::two_stroke ? 60 : 120); }
  double rpm_of(double firing_hz) const { return firing_hz * (cycle == Cycle::two_stroke ? 60 : 120); }
};

struct Frame {
  float rpm = 0;         // 0: nothing is said
  float sigma_rpm = 0;   // standard uncertainty of rpm, given that the firing is the right one
  float confidence = 0;  // 0 to 1
  float level_db = 0;    // of the sound, to full scale; -120 for none
};

inline constexpr float kSure = 0.5F;  // confidence from which a frame counts as sure

/// How sure it is that the path is not that of a multiple or part of the firing.
enum class Octave {
  settled,  // by the limits, by a hint, or by the sound
  open,     // `other` may be the truth
};

struct Track {
  std::vector<Frame> frames;
  Octave octave = Octave::settled;
  double other = 1;  // open: the speeds may be this many times those given (2, 0.5, ...)

  double seconds(std::size_t frame) const { return static_cast<double>(frame) * kHopS; }
  /// Sure of the path and of the octave.
  bool sure(std::size_t frame) const {
    return octave == Octave::settled && frames[frame].rpm > 0 && frames[frame].confidence >= kSure;
  }
};

/// `progress` is told the share done, 0 to 1; what it throws ends the work.
Track follow(const Signal&, const Engine&, const std::function<void(double)>& progress = {});

}  // namespace crankwise::sound
