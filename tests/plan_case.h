// Small planning problems written by hand, and the judge of an order of repairs: summed over all worlds, without a call
// of the planner.
#pragma once

#include <algorithm>
#include <numeric>
#include <utility>
#include <vector>

#include "core/belief/belief.h"
#include "core/plan/plan.h"

namespace crankwise::plan_case {

inline const AnswerRates kPerfect{1, 0, 0, 0};

/// Exactly one fault, with these chances (they need not sum to one). Complaint certain, no run ever wrong.
inline Model single_fault(const std::vector<double>& shares) {
  Model m;
  for (double p : shares) m.faults.push_back({p, 1});
  m.nothing_wrong = m.false_trouble = 0;
  const int n = static_cast<int>(shares.size());
  for (int i = 0; i < n; ++i) {
    for (int j = i + 1; j < n; ++j) m.exclusive.emplace_back(i, j);
  }
  return m;
}

/// Independent faults, at least one there.
inline Model independent_faults(const std::vector<double>& chances) {
  Model m = single_fault({});
  for (double p : chances) m.faults.push_back({p / (1 - p), 1});
  return m;
}

inline int add(PlanModel& plan, PlanStep step) {
  plan.steps.push_back(std::move(step));
  return static_cast<int>(plan.steps.size()) - 1;
}

inline PlanStep repair(double minutes, std::vector<Cure> cures, std::vector<int> off = {}) {
  PlanStep s;
  s.act = Act::repair;
  s.minutes = minutes;
  s.cures = std::move(cures);
  s.off = std::move(off);
  return s;
}

/// A look that says yes with the chance `hit` if the fault is there, and with `false_alarm` if not.
inline PlanStep look(Model& m, int fault, double minutes, double hit, double false_alarm, std::vector<int> off = {}) {
  m.findings.push_back({0, {{fault, 1}}, {hit, false_alarm, 0, 0}, -1});
  PlanStep s;
  s.minutes = minutes;
  s.off = std::move(off);
  s.findings = {static_cast<int>(m.findings.size()) - 1};
  return s;
}

/// Run and last resort, as the last two steps.
inline void close(PlanModel& plan, double run_min, double last_resort_min, std::vector<int> on_to_run = {}) {
  PlanStep run, last;
  run.act = Act::run;
  run.minutes = run_min;
  run.on = std::move(on_to_run);
  last.act = Act::last_resort;
  last.minutes = last_resort_min;
  plan.run_step = add(plan, run);
  plan.last_resort = add(plan, last);
}

/// One repair a fault (step f cures fault f), no looks, nothing to take off, a run that costs nothing.
inline PlanModel plain_repairs(const std::vector<double>& minutes, double last_resort_min = 1000,
                               const std::vector<double>& works = {}) {
  PlanModel plan;
  for (size_t f = 0; f < minutes.size(); ++f) {
    add(plan, repair(minutes[f], {{static_cast<int>(f), works.empty() ? 1 : works[f]}}));
  }
  close(plan, 0, last_resort_min);
  return plan;
}

inline PlanState fresh(const Model& m) {
  PlanState s;
  s.settled.assign(m.findings.size(), 0);
  return s;
}

/// What the whole job costs from here, by the best advice.
inline double cost_to_go(const PlanModel& plan, const Model& m, const std::vector<Happening>& history = {},
                         PlanState state = {}) {
  if (state.settled.empty()) state.settled.assign(m.findings.size(), 0);
  return advise(plan, believe(m, history), state).options.front().value;
}

inline const Option* option_of(const Advice& a, int step) {
  const auto at = std::find_if(a.options.begin(), a.options.end(), [&](const Option& o) { return o.step == step; });
  return at == a.options.end() ? nullptr : &*at;
}

// The judge.

struct World {
  unsigned faults = 0;  // bit per fault
  double weight = 0;
};

inline std::vector<World> single_worlds(const std::vector<double>& shares) {
  const double sum = std::accumulate(shares.begin(), shares.end(), 0.0);
  std::vector<World> worlds;
  for (size_t f = 0; f < shares.size(); ++f) worlds.push_back({1u << f, shares[f] / sum});
  return worlds;
}

/// All sets of one to `largest` faults.
inline std::vector<World> independent_worlds(const std::vector<double>& chances, int largest) {
  std::vector<World> worlds;
  double sum = 0;
  for (unsigned set = 1; set < 1u << chances.size(); ++set) {
    if (__builtin_popcount(set) > largest) continue;
    World w{set, 1};
    for (size_t f = 0; f < chances.size(); ++f) w.weight *= (set >> f & 1u) ? chances[f] : 1 - chances[f];
    sum += w.weight;
    worlds.push_back(w);
  }
  for (World& w : worlds) w.weight /= sum;
  return worlds;
}

/// Repairs in this order, each tried once, a run after each that never errs; `give_up` when none is left. Repair f
/// costs minutes[f] and puts fault f right with the chance works[f].
inline double order_cost(const std::vector<World>& worlds, const std::vector<int>& order,
                         const std::vector<double>& minutes, const std::vector<double>& works, double give_up) {
  double cost = 0;
  unsigned tried = 0;
  const auto still_wrong = [&] {
    double p = 0;
    for (const World& w : worlds) {
      double all_right = w.weight;
      for (size_t f = 0; f < minutes.size(); ++f) {
        if (w.faults >> f & 1u) all_right *= (tried >> f & 1u) ? works[f] : 0;
      }
      p += w.weight - all_right;
    }
    return p;
  };
  for (int f : order) {
    cost += still_wrong() * minutes[static_cast<size_t>(f)];
    tried |= 1u << f;
  }
  return cost + still_wrong() * give_up;
}

/// The least over the beginnings of this order, the empty one included.
inline double best_beginning(const std::vector<World>& worlds, const std::vector<int>& order,
                             const std::vector<double>& minutes, const std::vector<double>& works, double give_up) {
  double least = give_up;
  for (size_t k = 1; k <= order.size(); ++k) {
    const std::vector<int> first(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(k));
    least = std::min(least, order_cost(worlds, first, minutes, works, give_up));
  }
  return least;
}

/// Every order of 0 .. n-1.
inline std::vector<std::vector<int>> all_orders(int n) {
  std::vector<int> order(static_cast<size_t>(n));
  std::iota(order.begin(), order.end(), 0);
  std::vector<std::vector<int>> all;
  do all.push_back(order);
  while (std::next_permutation(order.begin(), order.end()));
  return all;
}

}  // namespace crankwise::plan_case
