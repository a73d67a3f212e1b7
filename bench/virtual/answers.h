// What a look at a virtual bike says: drawn as core/belief models it, noisy-OR with a background, imperfect and
// sometimes unsure answers, and looks that share their error.
//
// Each finding is thrown once, so or not so and how it is answered, and afresh after each repair that bears on it;
// asked again with no such repair between, it says the same again.
#pragma once

#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "bench/virtual/dice.h"
#include "bench/virtual/gauge.h"
#include "core/belief/belief.h"

namespace crankwise::bench {

class Answers {
 public:
  /// `round`: how often the rider's story was thrown again. `gauges`: of the same bike; without, what is measured is
  /// answered like the rest. All must live on.
  Answers(const Model&, const Dice&, int round, const Gauges* gauges = nullptr);

  /// `there`: the faults that are there now.
  bool is_so(int finding, const std::vector<int>& there) const;
  Answer give(int finding, const std::vector<int>& there);
  /// The number on which a finding was said to be so or not; nothing if it was not told by one.
  std::optional<double> number(int finding, const std::vector<int>& there) const;
  /// The rider tells unasked what is so: yes, and it stays said.
  void told(int finding) { said_[{finding, bearing_[static_cast<size_t>(finding)]}] = Answer::yes; }
  /// Was it asked since the last repair that bears on it?
  bool given(int finding) const;
  /// A repair, or a part put back, that touches these faults.
  void repaired(const std::vector<int>& faults);

 private:
  bool bad_look(int group) const;
  int turn(int finding) const;  // which throw of its dice it stands at

  const Model* model_;
  const Dice* dice_;
  const Gauges* gauges_;
  int round_;
  std::vector<double> error_;  // by error group: how often a look misleads
  std::vector<int> bearing_;   // by finding: repairs so far that bear on it
  int repairs_ = 0;
  std::map<std::pair<int, int>, Answer> said_;  // by finding and bearing repairs
};

/// The share of the answers that comes the same whatever is there.
double blind_share(const AnswerRates&);
/// P(the finding is so | these faults are there).
double chance_so(const FindingModel&, const std::vector<int>& there);

}  // namespace crankwise::bench
