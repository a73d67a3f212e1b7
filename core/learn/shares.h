// What closed jobs teach about how often each fault is the cause.
//
// Every fault has a factor on its share, 1 before anything is learned. Its prior is a gamma distribution worth
// `prior_jobs` jobs; a job adds the causes it had, and the causes that were to be expected of it:
//
//   factor_i = (prior_jobs share_i + found_i) / (prior_jobs share_i + expected_i)
//
// If the same was expected of every job this is the mean of a Dirichlet distribution on the shares (Spiegelhalter and
// Lauritzen 1990); the form with expectations also serves jobs of different bikes, hours and contexts, so that a worn
// part that was worn is not learned twice. A cause known only as one of several is credited to each by its chance
// (expectation maximisation; Dempster, Laird and Rubin 1977), never by the order of a list.
#pragma once

#include <span>
#include <vector>

namespace crankwise {

struct Candidate {
  int fault = 0;
  double chance = 1;  // relative to the others of the same cause, as believed without learned factors
};

/// One closed job.
struct CauseLesson {
  double weight = 1;                           // old jobs count less; 0 or more
  std::vector<std::vector<Candidate>> causes;  // for each cause what it may have been; one candidate: it is known
  std::vector<double> expected;  // by fault: share of the causes expected of such a job; 0: does not apply
};

/// The factors on `share` (by fault; scaled to a sum of 1 here). A fault of share 0 keeps factor 1. All vectors have
/// the length of `share`; prior_jobs is above 0.
std::vector<double> share_factors(std::span<const CauseLesson>, std::span<const double> share, double prior_jobs);

/// The credits at these factors: causes counted by fault, weights included.
std::vector<double> credits(std::span<const CauseLesson>, std::span<const double> factors);

/// Weight of a job that `later` jobs were closed after.
double weight_after(int later, double kept_per_job);

}  // namespace crankwise
