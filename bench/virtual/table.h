// The results as Markdown. Everything but the column of ms is the same on every run and machine.
#pragma once

#include <span>
#include <string>

#include "bench/virtual/campaign.h"

namespace crankwise::bench {

/// Every policy on one kind of bike; ratios are of the first policy's joined mean to each other's.
std::string class_table(const Campaign&);
/// The same jobs by what the rider told (a job counts under each of its complaints), those told `least_jobs` times.
std::string complaint_table(std::span<const Campaign>, int least_jobs);
/// How well the first policy's chances agree with the truth.
std::string calibration_table(std::span<const Campaign>);

}  // namespace crankwise::bench
