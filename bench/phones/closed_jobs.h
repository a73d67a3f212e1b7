// A shop file with many closed jobs, made fast: some tens of virtual jobs are played to their proven end, then repeated
// on many bikes under new numbers and moments.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include "edge/job.h"
#include "edge/knowledge.h"

namespace crankwise::bench {

/// Kinds of bike in the shop; the bikes take turns.
inline const std::vector<std::string> kClasses = {"motocross-125-two-stroke", "motocross-250-four-stroke-carburettor",
                                                  "motocross-450-four-stroke-injection"};

struct ClosedJobs {
  int jobs = 10000, bikes = 200;
  int different = 36;  // jobs that are played
  std::uint64_t seed = 1;
};

/// One of the shop's bikes, from 0.
Bike shop_bike(const Knowledge&, int number);
std::string shop_bike_id(int number);

/// Makes the file; under another name until it is whole.
void make_shop(const Knowledge&, const std::filesystem::path&, const ClosedJobs&);

}  // namespace crankwise::bench
