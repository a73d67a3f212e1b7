// A shop with shares and habits of its own works one job after the other: does learning pay?
#pragma once

#include <string>

#include "bench/virtual/policy.h"
#include "edge/knowledge.h"

namespace crankwise::bench {

struct SeasonPlan {
  int jobs = 500;
  std::uint64_t seed = 1;
  double sigma = 0.3;  // how far its strengths and costs (habits, eyes, hands) lie from the knowledge
  double worth = 30;   // its shares are drawn from those of the knowledge as if these were this many jobs; 0: the same
  PolicyKind policy = PolicyKind::information;
};

/// What one job cost and how far the cause surprised, after the rider's words.
struct SeasonJob {
  double joined = 0;  // minutes, money included
  double bits = 0;    // mean over its causes of -log2 of their chance
};

/// The same jobs with the same luck, with learning and without.
struct Season {
  std::vector<SeasonJob> learning, plain;
};
Season work_season(const Knowledge&, const std::string& bike_class, const SeasonPlan&);

}  // namespace crankwise::bench
