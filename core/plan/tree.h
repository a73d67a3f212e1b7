// What it costs to go on from a point of the job by a simple policy, all its outcomes added up exactly.
//
//   Tree tree(problem, eps);
//   tree.root() = ...;                    a point of the job
//   double cost = tree.follow(base);      joined cost from there, times the weight of its worlds
//
// Two base policies choose the next step:
//   by_index        the look or blind repair with the highest chance of ending the job, per expected cost from here
//   by_information  the look or question with the most bits per cost; a fault that is likelier than not is dealt with
// After a repair both run the engine, or do a second repair first where that saves more than it costs (postponed
// system test). At every point giving up is taken where it is cheaper than going on. A branch that is reached with a
// chance below eps is closed by the cost of a list: the faults one by one, looked at or repaired blind, in the order of
// chance per cost.
#pragma once

#include <bitset>
#include <deque>
#include <vector>

#include "core/plan/problem.h"

namespace crankwise::plan {

enum class Base { by_index, by_information };

/// A point of the job.
struct Point {
  std::vector<World> worlds;  // ascending by left, no two alike
  double sum = 0;             // of their weights: the chance of getting here
  Place place = 0;
  bool repaired = false;  // since the last run
  std::bitset<kColumns> settled;
  std::vector<int> done;  // repairs, ascending
};

/// Dealing with a fault: a look at it or a repair, and what comes of it.
struct Block {
  int step = -1, fault = -1;
  double ends = 0;  // chance that it ends the job, times the weight of the worlds
  double cost = 0;  // expected
  double index() const { return ends / cost; }
};

struct Asking {
  int step = -1;
  double bits = 0;  // of the most telling finding, and half the bits of the next
  double cost = 0;
  double per_cost() const { return bits / cost; }
};

class Tree {
 public:
  Tree(Problem&, double eps);

  double eps = 0.1;
  Point& root() { return points_.front(); }
  double follow(Base base) { return follow(0, base); }
  /// The same, but the open findings of this step, which has just been done, may be answered first for nothing.
  double follow_asking(int step, Base base) { return ask_on(0, step, base, true); }
  /// The root comes from a clean run: what further runs cost until the doubt is small.
  double prove_from_root() { return prove(0, Base::by_index, 1); }
  long work() const { return work_; }  // fault sets at the points expanded so far

  /// What the answer of a column would tell at the root, in bits.
  double bits(int column) {
    spread(root());
    return told(column);
  }

  // From the root.
  std::vector<Block> blocks();                                     // highest index first
  std::vector<Asking> askings();                                   // most bits per cost first
  int choose(Base base) { return choose(points_.front(), base); }  // -1: nothing but the last resort

  /// The root after an answer, a repair, a run; weights as they come, not scaled to one.
  static void answer(const Problem&, const Point&, int column, bool yes, Point& into);
  static void repair(const Problem&, const Point&, int step, Place to, Point& into);
  static void ran(const Problem&, const Point&, bool clean, Place to, Point& into);

 private:
  double follow(std::size_t depth, Base);
  double apply(std::size_t depth, int step, Base);
  double ask_on(std::size_t depth, int step, Base, bool asked);
  double run_on(std::size_t depth, Base);
  double prove(std::size_t depth, Base, int runs);
  int choose(const Point&, Base);
  Block best_block(const Point&);
  int by_information(const Point&);
  int second_repair(const Point&);
  const RepairOf* fix_of(const Point&, int fault) const;
  double list_cost(const Point&);
  double by_knowing(const Point&);
  template <class Visit>
  void each_block(const Point&, double& best, Visit);
  void weigh_alone(const Point&);
  void gather_repairs();
  void weigh_columns(const Point&);
  Asking weigh_asking(const Point&, int step);
  int most_telling(const Point&, int step, double& most);
  double told(int column) const;
  void spread(const Point&);
  double chance_yes(int column) const;
  Point& below(std::size_t depth);
  bool is_done(const Point& p, int step) const;

  Problem& problem_;
  std::deque<Point> points_;  // one per depth, used again and again
  Point failed_;              // scratch
  long work_ = 0;
  // Scratch: per fault; per column.
  std::vector<double> alone_;
  std::vector<int> alone_faults_;
  struct RepairEnds {
    double ends = 0, most = 0;  // in all; of the one fault that gives most
    int fault = -1;             // that one
  };
  std::vector<RepairEnds> repair_ends_;  // per step
  std::vector<int> tried_repairs_;
  std::vector<double> share_;
  std::vector<int> place_in_list_;
  std::vector<float> by_left_;  // weights of the point in hand, summing to one
  std::vector<int> lefts_;      // where by_left_ is not zero
  std::vector<float> yes_, noise_, bits_;
};

}  // namespace crankwise::plan
