// Judges for the tests: slow and plain, written from the documented meaning of belief.h and likelihood.h, and without
// a call of the core. Three of them, so that they can be held against each other:
//   Network     any discrete Bayesian network, summed over all states
//   Truth       a job, summed over all sets of faults and all luck of its repairs
//   Quickscore  exact noisy-OR with perfect answers (Heckerman 1989), summed over the subsets of the findings seen
#pragma once

#include <map>
#include <span>
#include <utility>
#include <vector>

#include "core/belief/belief.h"

namespace crankwise::oracle {

class Network {
 public:
  struct Node {
    int states = 2;
    std::vector<int> parents;
    std::vector<double> table;  // for each state of the parents (last parent fastest) one row of `states` chances
  };
  using Evidence = std::vector<std::pair<int, int>>;  // variable, state

  /// Adds a variable and returns its number. Parents must be there already.
  int add(Node node);
  /// A variable with the states 0 (no) and 1 (yes), given P(yes) for each state of the parents, last parent fastest.
  int add_yes_no(std::vector<int> parents, const std::vector<double>& yes);

  double probability(const Evidence&) const;
  double posterior(int variable, int state, const Evidence&) const;  // P(variable = state | evidence)
  const std::vector<Node>& nodes() const { return nodes_; }

 private:
  std::vector<Node> nodes_;
};

class Truth {
 public:
  /// All sets of at most `largest` faults. Each repair of chance between 0 and 1 has its own luck.
  Truth(const Model&, std::span<const Happening> history, int largest);

  double evidence() const;  // P(everything seen), the prior being that over sets of at most `largest`
  std::vector<double> still_there() const;
  std::vector<double> there_at_start() const;
  std::vector<double> alone_now() const;
  double nothing_left() const;
  double more_than(int faults) const;  // P(more than so many at the start)
  double chance_so(const FindingModel&) const;
  /// (faults at the start, of these still there) and their probability
  std::map<std::pair<std::vector<int>, std::vector<int>>, double> sets() const;
  bool contradiction() const { return contradiction_; }

 private:
  struct World {
    unsigned start = 0, luck = 0;  // bit per fault, bit per uncertain cure
    unsigned there = 0;            // bit per fault: there now
    unsigned put_right = 0;        // by the last repair of this fault
    unsigned since_run = 0;        // put right since the last run
    double weight = 0;
  };
  template <class Chance>
  void see(const Chance& chance);  // multiplies by chance(world), unless that leaves nothing
  template <class Of>
  double mean(const Of& of) const;  // of(world) averaged
  std::vector<double> share_of(unsigned World::*set) const;
  void answer(const Model&, std::span<const Happening> history, size_t place);
  void repair(const Repaired&, size_t& coin);
  void run(const Model&, RunResult);

  size_t faults_ = 0;
  double prior_ = 0;
  bool contradiction_ = false;
  std::vector<World> worlds_;
};

struct Quickscore {
  double evidence = 0;
  std::vector<double> marginals;
};
/// `present`, `absent`: findings seen and seen to be absent, with certainty. Complaint and exclusive pairs do not
/// count.
Quickscore quickscore(const Model&, const std::vector<int>& present, const std::vector<int>& absent);

}  // namespace crankwise::oracle
