// One job done by one policy.
#pragma once

#include <functional>

#include "bench/virtual/hands.h"
#include "bench/virtual/policy.h"

namespace crankwise::bench {

struct Played {
  Bill bill;
  std::vector<double> advice_ms;  // processor time of each decision; the only thing here that is not always the same
};

/// Called at each decision, before it is carried out (no step: the job is closed).
using Watch = std::function<void(const Policy&, std::optional<int> step, const Hands&)>;

/// `real`: the bike as it is; the policy's own model must be of the same shape.
Played play(Policy&, const BikeModel& real, const Job&, const Watch& watch = {});

}  // namespace crankwise::bench
