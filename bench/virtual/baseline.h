// What the policies to compare with have in common: the belief, the prices, a run after each repair, the proof and the
// stop rule.
#pragma once

#include "bench/virtual/filter.h"
#include "bench/virtual/policy.h"

namespace crankwise::bench {

class Baseline : public Policy {
 public:
  explicit Baseline(const BikeModel& believed);

  void note(const std::vector<Entry>& entries) override;
  std::optional<int> next() final;

 protected:
  /// A step when nothing waits to be run.
  virtual int choose() = 0;

  /// Brings worlds_ and alone_ up to what is written down.
  void think();
  bool just_ran() const { return just_ran_; }  // since the last choice

  struct Worth {
    double ends = 0;  // chance that it ends the job
    double cost = 0;  // joined, expected, with the run after it
    double index() const { return ends / cost; }
  };
  Worth worth_of_repair(int step, PartMask from) const;
  /// Give up rather than do the best that is left: chance of ending * price of giving up < cost / 2.
  bool hopeless(const Worth& best) const { return best.ends * book_.give_up_cost() < 0.5 * best.cost; }
  /// The repair of this fault at the least cost for its chance, from this state; -1 if there is none.
  int cheapest_repair(int fault, PartMask from) const;
  /// Cheapest way on by repairs alone, or the last resort.
  int best_repair_or_give_up() const;

  Book book_;
  Filter filter_;
  std::vector<World> worlds_;  // the likeliest, weights sum to one
  std::vector<double> alone_;  // by fault: chance that it is the only one left

 private:
  bool just_ran_ = false;
  std::vector<std::vector<int>> repairs_of_;  // by fault: steps
};

}  // namespace crankwise::bench
