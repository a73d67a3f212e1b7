// Small jobs to judge the planner by: built by hand, and at random.
#pragma once

#include <string>
#include <vector>

#include "tests/exact/game.h"

namespace crankwise::exact {

/// A job under construction. Steps are numbered in the order they are added.
struct Job {
  PlanModel plan;
  Model model;

  /// Exactly one fault, with these chances (they need not sum to one); the complaint is sure and runs never err.
  static Job one_fault(const std::vector<double>& shares);
  /// Independent faults with these chances, at least one there.
  static Job some_faults(const std::vector<double>& chances);

  int repair(double minutes, std::vector<Cure> cures, std::vector<int> off = {});
  /// Says yes with the chance `hit` if the fault is there and `false_alarm` if not. Its finding is theirs alone.
  int look(int fault, double minutes, double hit, double false_alarm, std::vector<int> off = {});
  /// Run and last resort, the last two steps.
  void close(double run_min, double last_resort_min, std::vector<int> on_to_run = {});
};

/// Five faults, X .15 and Y .10 reached from outside for 5 and 2 minutes, u .35, v .25 and w .15 behind a cover that
/// takes 15 minutes to open, for 6, 3 and 9. Repairs in this order.
Job behind_a_cover(double closing_min, double run_min, bool closed_to_run);

/// Plugs .3, ignition .2, another cause .5; plugs 4, ignition 2 with a chance of one half, everything at once 15; and
/// perhaps a perfect test of the ignition for 0.5.
Job car_start(bool test);

/// The strip-down instance: plug, filter, jet, ignition box, reed behind tank and carburettor.
Job strip_down();

/// Five faults, exactly one there, in a small tree of parts; three to five looks with misses and false alarms, a run,
/// giving up. Ranges about those of strip_down(); the same seed is the same job on every machine.
Job random_job(unsigned seed);

}  // namespace crankwise::exact
