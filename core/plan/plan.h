// The next best step: by expected time and money to a proven fix, given what is already stripped.
//
//   Advice a = advise(plan_model, belief, state);
//   a.options.front()      what to do now; the others in order, with what they would cost in all
//
// About twenty steps are proposed: those with the highest chance of ending the job per expected cost from the present
// state of strip-down, and those that tell the most per cost. Each is valued by its own cost plus, for every outcome,
// the cost of the better of two base policies from there, its decision tree added up exactly (core/plan/tree.h). A
// coarse pass over all of them, a finer one over the best, and so on while there is budget; small problems come out
// exact to a second step. Deterministic: same model, belief and state, same advice. Never worse than the base policies,
// up to the value of branches reached with a chance of under a twenty-fifth.
//
// Method: rollout of base policies (Tu and Pattipati 2003 for test sequencing), with strip-down costs as in Warnquist,
// Nyberg and others 2009, and the myopic value of an observation of Heckerman, Breese and Rommelse 1995 as forerunner.
#pragma once

#include <string>
#include <vector>

#include "core/belief/belief.h"
#include "core/plan/access.h"

namespace crankwise {

enum class Act {
  ask,          // look, measure, listen, or a question: answers findings
  repair,       // clean, adjust, replace
  swap,         // a known good part, goes back if it does not help
  run,          // does the trouble still show?
  last_resort,  // full strip or sending it out: always possible, ends the job
};

struct PlanStep {
  Act act = Act::ask;
  std::vector<int> off, on;    // parts
  double minutes = 0;          // beside access
  double money = 0;            // swap: spent only if the part stays
  bool needs_running = false;  // the engine must run for it
  bool needs_hot = false;      // the engine must have run just before
  bool ready = true;           // tools and parts are at hand, nobody skipped it
  std::vector<int> findings;   // answered
  std::vector<Cure> cures;
};

struct PlanModel {
  Access access;
  std::vector<PlanStep> steps;
  int run_step = -1;  // the run that proves
  int last_resort = -1;
  double minutes_per_money = 1;  // the rate that joins time and money
  double warm_up_min = 5;
  double doubt_allowed = 0.02;  // chance of a fault left at which the job may be closed
};

struct PlanState {
  PartMask off = 0;
  bool engine_runs = true;  // false: will not start, or locked
  bool engine_hot = false;
  bool repaired_since_run = false;
  bool last_run_clean = false;
  std::vector<char> settled;  // per finding: answered, and no repair since that bears on it
};

/// What may come out of a step, and what it would mean.
struct Outcome {
  std::vector<std::pair<int, bool>> findings;  // finding, so or not; empty for a run
  bool gone = false;                           // of a run (also of a repair with the run after it)
  double probability = 0;
  int leader = -1;  // likeliest fault left then; -1 if none is
  double leader_probability = 0;
  double minutes_to_go = 0;  // joined cost from there, as minutes
};

struct Option {
  int step = -1;
  PartMask off_after = 0;
  Effort access, own;  // getting there; the step itself
  Effort closing;      // putting back and running, for a repair
  double value = 0;    // joined cost of the whole job from here, if this is done now
  double information_bits = 0;
  int fault = -1;          // the fault that it is about, if a block proposed it
  int then = -1;           // of a repair: another one that is worth doing before the run
  double chance_ends = 0;  // chance that the run after it is clean
  std::vector<Outcome> outcomes;
};

/// Multiplies the weight of every fault set that holds the fault: what if it were likelier?
struct Tilt {
  int fault = -1;
  double factor = 1;
};

struct Advice {
  std::vector<Option> options;  // best first; never empty if the model has a last resort
  bool proven = false;          // the last run was clean and the doubt is small: close the job
  double doubt = 1;             // chance that a fault is left
};

Advice advise(const PlanModel&, const Belief&, const PlanState&, Tilt = {});

/// Joined minutes, access included, up to which the best step would still be the best; infinite if there is no other.
double worth_up_to(const Advice&, double minutes_per_money);

/// What getting to the step costs less from this state of strip-down than with everything on.
Effort saved_by_what_is_off(const PlanModel&, const PlanState&, const Option&);

/// Chances of the leading fault between which the advice stands, all else in proportion.
struct Standing {
  int fault = -1;  // -1: none is left
  double probability = 0;
  double from = 0, to = 1;  // 0 and 1 where nothing was found that changes it
};
Standing standing(const PlanModel&, const Belief&, const PlanState&, const Advice&);

}  // namespace crankwise
