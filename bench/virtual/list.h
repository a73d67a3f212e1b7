// The list a good mechanic keeps: cheap things first, each look followed by the repair of what it points to, then a
// run; parts that no look can clear are replaced or cleaned in their place; then the last resort.
#pragma once

#include <deque>
#include <set>
#include <string>

#include "bench/virtual/baseline.h"

namespace crankwise::bench {

/// Ids of the knowledge's steps in order, for all kinds of bike.
const std::vector<std::string>& cheap_first_list();

class ListPolicy : public Baseline {
 public:
  /// `sorted`: put in order once, for the complaint, by chance of ending the job over cost; then kept.
  ListPolicy(const BikeModel& believed, bool sorted);
  void note(const std::vector<Entry>&) override;

 protected:
  int choose() override;

 private:
  void begin();
  int points_to(int finding, const std::vector<double>& weight) const;
  Worth worth(int step) const;
  Worth best_left() const;
  bool skip(int step) const;

  bool sorted_, begun_ = false;
  std::vector<int> items_;    // steps of the plan still to come, in order
  std::vector<int> pointed_;  // by finding: the fault it points to, or -1
  std::deque<int> bad_;       // faults that looks have pointed to, not yet put right
  std::set<int> repaired_;    // steps done
};

}  // namespace crankwise::bench
