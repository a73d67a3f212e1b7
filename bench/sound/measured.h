// What is made of our track beside the speed, against the truth of the made takes.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bench/sound/take.h"

namespace crankwise::bench {

/// Shares 0 to 1; without a value where there is nothing to compare. Answered: of the true ones, how many got an answer
/// at all is in the count of values.
struct Measured {
  std::string name;
  std::optional<double> ceiling;              // error
  std::optional<double> stop_right;           // 1: the kind of end is named as it is; 0: it is not, or nothing is said
  std::optional<double> stop_wrong;           // 1: another one is named
  std::optional<double> idle;                 // error
  std::optional<double> rise;                 // error of the rise time of the blips, mean; a blip missed counts 1
  std::optional<double> hang;                 // error of the time to idle after the last chop
  std::optional<double> weak_true;            // share of weak firings from 1.3 times the idle on, if there are any
  std::optional<double> weak_found;           // of the same
  std::optional<double> false_weak;           // without any: share of the firings that are told as weak beyond scatter
  std::optional<double> four_stroking;        // where it is: share of the bands found so
  std::optional<double> false_four_stroking;  // where it is not
  std::optional<double> other_right;          // pass-by and second engine, where there is one: found
  std::optional<double> other_wrong;          // where there is none: found
};

/// `take.truth` must be there, with an engine.
Measured measured(const SoundTake& take);

std::string measured_table(const std::vector<Measured>&);

}  // namespace crankwise::bench
