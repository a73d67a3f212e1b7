// How far off the truth a tracker is.
#pragma once

#include <optional>
#include <vector>

#include "bench/sound/take.h"

namespace crankwise::bench {

inline constexpr double kGross = 0.03;  // farther off than this share is a gross error

/// Shares are 0 to 1, of the frames in which an engine turns, unless said otherwise; without a value where there is
/// nothing to take a share of.
struct Score {
  std::optional<double> gross = {};             // no answer, or grossly off
  std::optional<double> octave = {};            // grossly off, but right (within kGross) as half, double, a third ..
  std::optional<double> median = {};            // error of the good frames, as a share
  std::optional<double> sure = {};              // called sure
  std::optional<double> sure_wrong = {};        // of the sure frames: grossly off, or where no engine is
  std::optional<double> sure_octave = {};       // of the sure frames: off by an octave or the like
  std::optional<double> covered = {};           // of the good frames: truth within 2 sigma
  std::optional<double> heard_in_nothing = {};  // of the frames without an engine: with an answer
  std::optional<double> sure_in_nothing = {};
  std::optional<double> ceiling = {};  // error of the 97th percentile of the sure frames, as a share
};

Score score(const SoundTake&, const std::vector<Said>&);

/// Of those that are there; nothing if none is.
std::optional<double> mean(const std::vector<std::optional<double>>&);
std::optional<double> median(const std::vector<std::optional<double>>&);

}  // namespace crankwise::bench
