// Gauges and meters on a virtual bike: the number that they show, drawn as core/reading judges it, and what is said of
// it by somebody who only says "so" or "not so".
#pragma once

#include <optional>
#include <vector>

#include "bench/virtual/dice.h"
#include "edge/bike_model.h"

namespace crankwise::bench {

class Gauges {
 public:
  /// The bike model must live on.
  explicit Gauges(const BikeModel&);

  /// The reading behind a finding of kind "measured", if it is judged by a figure.
  std::optional<int> behind(int finding) const;
  const Reading& reading(int r) const { return *all_[static_cast<size_t>(r)].reading; }
  /// Findings that it speaks for when low and when high; -1: none.
  int below(int r) const { return all_[static_cast<size_t>(r)].below; }
  int above(int r) const { return all_[static_cast<size_t>(r)].above; }
  /// The number in the reading's unit, on the `nth` throw.
  double show(int r, bool low, bool high, const Dice&, int nth) const;
  /// Does this number speak for the finding?
  bool says(int r, int finding, double value) const;

 private:
  struct Gauge {
    const Reading* reading = nullptr;
    ReadingYardstick yardstick;
    double wrong_below = 0, wrong_above = 0;
    int below = -1, above = -1;
  };
  std::vector<Gauge> all_;
  std::vector<int> behind_;  // by finding
};

}  // namespace crankwise::bench
