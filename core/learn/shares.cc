#include "core/learn/shares.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise {

std::vector<double> credits(std::span<const CauseLesson> lessons, std::span<const double> factors) {
  std::vector<double> found(factors.size(), 0);
  for (const CauseLesson& lesson : lessons) {
    for (const auto& candidates : lesson.causes) {
      double sum = 0;
      for (const Candidate& c : candidates) sum += c.chance * factors[static_cast<size_t>(c.fault)];
      if (sum <= 0) continue;
      for (const Candidate& c : candidates) {
        const size_t f = static_cast<size_t>(c.fault);
        found[f] += lesson.weight * c.chance * factors[f] / sum;
      }
    }
  }
  return found;
}

std::vector<double> share_factors(std::span<const CauseLesson> lessons, std::span<const double> share,
                                  double prior_jobs) {
  assert(prior_jobs > 0);
  constexpr int kMostRounds = 500;
  constexpr double kSettled = 1e-12;
  double sum = 0;
  for (double s : share) sum += s;
  std::vector<double> expected(share.size(), 0), factors(share.size(), 1);
  bool tied = false;
  for (const CauseLesson& lesson : lessons) {
    assert(lesson.expected.size() == share.size());
    double all = 0;
    for (double e : lesson.expected) all += e;
    if (all <= 0) continue;
    const double scale = lesson.weight * static_cast<double>(lesson.causes.size()) / all;
    for (size_t f = 0; f < share.size(); ++f) expected[f] += scale * lesson.expected[f];
    for (const auto& candidates : lesson.causes) tied = tied || candidates.size() > 1;
  }
  for (int round = 0; round < kMostRounds; ++round) {
    const std::vector<double> found = credits(lessons, factors);
    double moved = 0;
    for (size_t f = 0; f < share.size(); ++f) {
      const double prior = sum > 0 ? prior_jobs * share[f] / sum : 0;
      if (prior <= 0) continue;
      const double factor = (prior + found[f]) / (prior + expected[f]);
      moved = std::max(moved, std::abs(factor - factors[f]));
      factors[f] = factor;
    }
    if (!tied || moved < kSettled) break;
  }
  return factors;
}

double weight_after(int later, double kept_per_job) {
  assert(later >= 0 && kept_per_job > 0 && kept_per_job <= 1);
  return std::pow(kept_per_job, later);
}

}  // namespace crankwise
