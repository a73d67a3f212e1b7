// What the advice believed on virtual bikes, against what was so.
#pragma once

#include <vector>

#include "core/learn/calibration.h"

namespace crankwise::bench {

/// What is collected at each advice.
struct Calibration {
  Reliability faults, leader, by_share;  // every fault; the likeliest one; every fault by its share alone
  void add(const std::vector<double>& forecast, const std::vector<double>& share, const std::vector<int>& there);
  void add_job(const Calibration&);
};

}  // namespace crankwise::bench
