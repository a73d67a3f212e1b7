// Proposes steps and values each by looking one step (or two) ahead: what it costs itself, and for every outcome the
// lesser of what the two base policies cost from there.
#pragma once

#include <utility>
#include <vector>

#include "core/plan/tree.h"

namespace crankwise::plan {

/// What may come out of a step.
struct Branch {
  Point point;
  std::vector<std::pair<int, bool>> answers;  // column, so or not
  bool clean = false;                         // of a run
  double cost = 0;                            // joined cost to go from there, times the chance of getting there
};

struct Candidate {
  int step = -1;
  int fault = -1;    // that the block which proposed it is about
  double bits = 0;   // of an ask: what the split findings tell
  double value = 0;  // joined cost of the whole job, if this is done now, times the weight of the point
  int then = -1;     // of a repair: another one before the run; the branches are those of a run right after it
  std::vector<Branch> branches;
};

class Lookahead {
 public:
  explicit Lookahead(Problem& problem) : problem_(problem), tree_(problem, 0) {}

  /// Steps worth a thought from here, without values. The choices of both base policies are among them, and the last
  /// resort.
  std::vector<Candidate> candidates(const Point&, bool run_again);
  /// Sets value and branches. `ahead`: further steps chosen by looking ahead before the base policies take over.
  void value(const Point&, Candidate&, double eps, int ahead);
  long work() const { return tree_.work(); }

 private:
  double cost_to_go(const Point&, double eps, int ahead, int asking);
  void value_ask(const Point&, Candidate&, double eps, int ahead);
  void value_repair(const Point&, Candidate&, double eps, int ahead);
  void value_run(const Point&, Candidate&, double eps, int ahead);
  std::vector<int> split(const Point&, int step);

  Problem& problem_;
  Tree tree_;
};

}  // namespace crankwise::plan
