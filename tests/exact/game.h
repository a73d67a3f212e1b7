// A job as a game against chance, small enough to be solved: the exact judge of the planner.
//
//   Game game(plan_model, model);
//   Graph graph(game);                          // graph.h: every position that can come up
//   double best = optimum(graph)[graph.start()];
//   double ours = PolicyValue(game, follow_advice(game)).of(game.start());     // policies.h
//
// Rules, written down again from the public headers of core/belief and core/plan and in double throughout:
//   - One of the fault sets of up to `most_faults` is there. Weights: the odds, the complaint, `exclusive`.
//   - Answers are noisy-OR of the faults still there and come through the finding's rates. A finding that is answered
//     is settled until a repair bears on it (same look, same answer); then it is answered anew.
//   - A repair or swap is tried once. It puts each of its faults right with its chance.
//   - A run is made after a repair, or after a clean run that left too much doubt but also hope. If it is clean and the
//     doubt is no more than allowed the job ends; so does the last resort. What is off after the run goes back on.
//   - A swapped-in part is paid for when a run is clean; else the old part goes back in, for the minutes again.
//   - Costs: moving parts (only as far as the step needs), warming up, the step's minutes, money at the model's rate.
// Left out: findings that share their error. At most 31 faults, 64 findings and steps.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include "core/plan/plan.h"

namespace crankwise::exact {

using Bits = std::uint64_t;

/// What may still be wrong.
struct World {
  std::uint32_t left = 0;     // bit f: fault f is there
  std::uint32_t swapped = 0;  // bit f: away only while the known good part is in
  bool cured = false;         // something has been put right since the last run
  double weight = 0;
};

/// One thing that happened, and what came before.
struct Past {
  std::shared_ptr<const Past> before;
  Happening last;
};

/// What is known at one point of the job.
struct Position {
  std::vector<World> worlds;  // weights sum to one; in a fixed order
  PartMask off = 0;
  Bits settled = 0;  // findings
  Bits done = 0;     // repairs and swaps
  Bits swapped = 0;  // swaps since the last run
  bool engine_hot = false, repaired_since_run = false, last_run_clean = false;
  std::shared_ptr<const Past> past;  // how it came about; no part of what the position is

  double nothing_left() const;
  std::vector<Happening> history() const;
};

struct Branch {
  double probability = 0;
  double cost = 0;  // joined, paid on this branch only
  bool ended = false;
  Bits asked = 0, yes = 0;  // findings answered; those of them that are so
  bool clean = false;       // of a run
  Position to;              // meaningless if ended
};

struct Move {
  double cost = 0;  // joined
  std::vector<Branch> branches;
};

class Game {
 public:
  Game(PlanModel, Model, int most_faults = 3, PartMask off = 0);

  const PlanModel& plan() const { return plan_; }
  const Model& model() const { return model_; }
  const PlanStep& step(int s) const { return plan_.steps[static_cast<std::size_t>(s)]; }
  int steps() const { return static_cast<int>(plan_.steps.size()); }

  Position start() const;
  bool may(const Position&, int step) const;
  /// May be done, and is no waste: the answer tells something, or the repair could put something right. (Where a run of
  /// a healthy bike may be called bad, a repair that is of no use could still pay by allowing another run; left out.)
  bool useful(const Position&, int step) const;
  Move play(const Position&, int step) const;

  PartMask off_after(PartMask from, int step) const;
  /// Joined cost of the step with getting there.
  double cost(PartMask from, bool engine_hot, int step) const;
  /// Joined cost of putting back what the run needs, and of the run.
  double run_cost(PartMask from) const { return cost(from, true, plan_.run_step); }

  /// Equal for positions with the same future. `exactly`: of all steps, the useless ones too.
  std::string key(const Position&, bool exactly) const;

  /// The model and state as advise() takes them; a repair that was tried is not ready any more.
  PlanModel plan_at(const Position&) const;
  PlanState state_at(const Position&) const;

 private:
  double chance(int finding, Answer, std::uint32_t left) const;
  double clean(std::uint32_t left) const;
  bool tells(const Position&, int finding) const;
  void ask(const Position&, const PlanStep&, Move&) const;
  void repair(const Position&, int step, Move&) const;
  void run(const Position&, Move&) const;

  PlanModel plan_;
  Model model_;
  int most_faults_;
  PartMask off_;
  bool heat_matters_ = false;
};

/// What to do at a position; must be a step that may be done.
using Policy = std::function<int(const Position&)>;
using Value = std::function<double(const Position&)>;

/// Expected joined cost of following a policy to the end, over all that chance may do.
class PolicyValue {
 public:
  PolicyValue(const Game& game, Policy policy) : game_(game), policy_(std::move(policy)) {}
  double of(const Position&);

 private:
  const Game& game_;
  Policy policy_;
  std::unordered_map<std::string, double> known_;
};

}  // namespace crankwise::exact
