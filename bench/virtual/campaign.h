// Many jobs, each done by every policy.
#pragma once

#include <string>

#include "bench/virtual/calibration.h"
#include "bench/virtual/play.h"

namespace crankwise::bench {

struct Plan {
  int jobs = 400;
  std::uint64_t seed = 1;
  double sigma = 0;  // how wrong the policies' knowledge is (disturb.h), anew for each job
  std::vector<PolicyKind> policies{std::begin(kPolicies), std::end(kPolicies)};
  bool handbook = false;  // its figures are typed in (handbook.h); otherwise readings are held to those of its kind
  int threads = 2;        // the result does not depend on it
};

struct JobResult {
  std::vector<std::string> told;    // the complaint
  std::vector<std::string> faults;  // the truth
  Effort if_known;
  std::vector<Played> by_policy;  // as in the plan
  Calibration calibration;        // of crankwise's own advice, at each decision but the closing
};

struct Campaign {
  std::string bike_class, name;
  std::vector<PolicyKind> policies;
  double minutes_per_money = 1;
  std::vector<JobResult> jobs;
};

/// One job of the campaign step by step, as text.
std::string tell_job(const Knowledge&, const std::string& bike_class, const Plan&, int number);

Campaign run_campaign(const Knowledge&, const std::string& bike_class, const Plan&);

}  // namespace crankwise::bench
