// Every position of a game that can come up without waste, and what can be computed over all of them.
#pragma once

#include <vector>

#include "tests/exact/game.h"

namespace crankwise::exact {

class Graph {
 public:
  struct Arrow {
    double probability = 0, cost = 0;
    int to = -1;  // -1: the job has ended
    Bits asked = 0, yes = 0;
    bool clean = false;
  };
  struct Choice {
    int step = -1;
    double cost = 0;
    std::vector<Arrow> arrows;
  };
  struct Node {
    Position position;
    std::vector<Choice> choices;
  };

  explicit Graph(const Game&);

  const Game& game() const { return game_; }
  /// Nodes in an order in which every arrow leads to an earlier one.
  const std::vector<Node>& nodes() const { return nodes_; }
  int start() const { return static_cast<int>(nodes_.size()) - 1; }
  int find(const Position& p) const { return known_.at(game_.key(p, false)); }

  /// Expected cost of a choice if what follows costs `to_go` (one number a node).
  static double value(const Choice&, const std::vector<double>& to_go);

 private:
  int visit(const Position&);

  const Game& game_;
  std::vector<Node> nodes_;
  std::unordered_map<std::string, int> known_;
};

/// Least expected cost of the whole job, from every node (dynamic programming).
std::vector<double> optimum(const Graph&);

/// Cost if the faults were known: for each world the cheapest repair of each fault left, as if alone, from the present
/// strip-down with closing and run; or the last resort if that is less. A lower bound where one fault at most is there.
std::vector<double> known_fault(const Graph&);

/// The least over `steps` exact steps with `after` behind them.
std::vector<double> tightened(const Graph&, std::vector<double> after, int steps);

/// The value of any policy given as a function, from every node.
std::vector<double> values(const Graph&, const Value&);

/// At each node the choice that is best if `behind` is paid afterwards; and the value of doing that to the end.
std::vector<double> rollout(const Graph&, const std::vector<double>& behind);

/// Penalised information relaxation (Brown, Smith and Sun 2010): the planner sees the fault and every answer, but pays
/// for what the news is worth by `guess`. A lower bound of the optimum for any guess, equal to it if the guess is.
/// For jobs with at most one fault there, sure repairs, runs that never err and answers yes or no.
double relaxed_bound(const Graph&, const std::vector<double>& guess);

}  // namespace crankwise::exact
