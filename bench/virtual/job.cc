#include "bench/virtual/job.h"

#include <algorithm>

namespace crankwise::bench {
namespace {

/// Independent faults, given that there are one to three and no two that exclude each other.
std::vector<int> draw_faults(const Model& m, const Dice& dice) {
  constexpr size_t kMost = 3;
  for (int attempt = 0;; ++attempt) {
    std::vector<int> there;
    for (size_t f = 0; f < m.faults.size(); ++f) {
      const double odds = m.faults[f].odds;
      if (dice.uniform(Throw::present, static_cast<int>(f), attempt) < odds / (1 + odds))
        there.push_back(static_cast<int>(f));
    }
    const auto has = [&](int f) { return std::binary_search(there.begin(), there.end(), f); };
    const bool clash = std::any_of(m.exclusive.begin(), m.exclusive.end(),
                                   [&](const auto& pair) { return has(pair.first) && has(pair.second); });
    if (!there.empty() && there.size() <= kMost && !clash) return there;
  }
}

}  // namespace

Job draw_job(const BikeModel& m, std::uint64_t seed, int number) {
  const Dice dice(seed, static_cast<std::uint64_t>(number));
  Job job{dice, draw_faults(m.model, dice), {}, 0, false};
  for (;; ++job.round) {
    Answers answers(m.model, dice, job.round);
    job.told.clear();
    for (size_t f = 0; f < m.findings.size(); ++f) {
      const int finding = static_cast<int>(f);
      if (m.findings[f]->intermittent) job.steady = answers.give(finding, job.faults) == Answer::no;
      if (m.findings[f]->kind != FindingKind::complaint) continue;
      if (answers.is_so(finding, job.faults)) job.told.push_back(finding);
    }
    if (!job.told.empty()) break;
  }
  std::sort(job.told.begin(), job.told.end(),
            [&](int a, int b) { return dice.uniform(Throw::told, a) < dice.uniform(Throw::told, b); });
  if (job.told.size() > kMostTold) job.told.resize(kMostTold);
  return job;
}

}  // namespace crankwise::bench
