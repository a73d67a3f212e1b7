// Ways to go about a small job, as functions of the position.
#pragma once

#include <vector>

#include "tests/exact/game.h"

namespace crankwise::exact {

/// What the planner says, asked anew at every position: its first option that may be done.
Policy follow_advice(const Game&);

/// These steps in this order, then the last resort. Ends as soon as a run is clean.
Policy in_this_order(const Game&, std::vector<int> steps);

/// The untried repair with the greatest chance of ending the job for its cost from the present strip-down (with closing
/// and run), then the run; no looks. Gives up when nothing is left to repair.
Policy repair_and_test(const Game&);

/// The looks in this order, whatever they say fixed at once and tried; what is left then goes by repair_and_test.
Policy check_list(const Game&, std::vector<int> looks);
/// The likeliest fault at the start looked at first.
std::vector<int> likeliest_look_first(const Game&);

/// The block with the greatest chance of ending the job for its expected cost from the present strip-down: a repair
/// with its run, or a look with the repair and run if it speaks for the fault. Gives up when the best block's chance
/// times the last resort is less than half its cost.
Policy block_index(const Game&);

}  // namespace crankwise::exact
