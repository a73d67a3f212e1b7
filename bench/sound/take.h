// What the bench plays to the trackers, made or real.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/sound/track.h"
#include "tests/sounds/truth.h"

namespace crankwise::bench {

struct SoundTake {
  std::string name;
  sound::Engine engine;
  std::vector<float> samples;         // at sound::kRateHz
  std::function<double(double)> rpm;  // true speed at a time in seconds; 0: none, or not known
  bool engine_there = true;           // false: nothing may be heard
  bool silence_known = true;          // where rpm is 0 there is no engine
  std::optional<double> ceiling_rpm;
  std::optional<sounds::Truth> truth;  // all of it, of a made take

  double seconds() const { return static_cast<double>(samples.size()) / sound::kRateHz; }
};

inline constexpr double kFrameS = 0.01;  // all trackers are judged at these times

/// What a tracker says at one of them.
struct Said {
  double rpm = 0;    // 0: nothing
  double sigma = 0;  // 0: not stated
  bool sure = false;
};

/// As many as there are frames in the take.
inline std::size_t frames_of(const SoundTake& t) { return static_cast<std::size_t>(t.seconds() / kFrameS); }

}  // namespace crankwise::bench
