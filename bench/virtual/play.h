// One job done by one policy.
#pragma once

#include <functional>

#include "bench/virtual/hands.h"
#include "bench/virtual/policy.h"

namespace crankwise::bench {

struct Played {
  Bill bill;
  // Processor time of each decision, and of taking in what was written down since the one before (a policy may leave
  // that to the decision). The only things here that are not always the same.
  std::vector<double> advice_ms, judging_ms;
};

/// Called at each decision, before it is carried out (no step: the job is closed).
using Watch = std::function<void(const Policy&, std::optional<int> step, const Hands&)>;

/// `real`: the bike as it is; the policy's own model must be of the same shape.
Played play(Policy&, const BikeModel& real, const Job&, const Watch& watch = {});

}  // namespace crankwise::bench
