// Do things that are said to be so in p of 100 cases turn out so in p of 100?
#pragma once

#include <array>
#include <utility>

namespace crankwise {

/// The likely number of hits, 5 % to 95 %, in `count` independent cases of chance p (binomial distribution).
std::pair<int, int> hits_band(int count, double p);

/// Forecasts in ten equal bins.
class Reliability {
 public:
  struct Bin {
    long count = 0, hits = 0;
    double said = 0;         // sum of the forecasts
    double job_squares = 0;  // sum over the jobs of (hits - said)^2
    double error() const;    // standard error of hits / count if the forecasts are right; 0 without jobs
  };
  void add(double said, bool so);
  /// The forecasts of one job. What is said in one job is so or not so all along, therefore the standard error counts
  /// jobs, not forecasts (sandwich estimator with the jobs as clusters: Liang and Zeger 1986).
  void add_job(const Reliability&);
  const std::array<Bin, 10>& bins() const { return bins_; }

  double brier() const;     // mean square of forecast - truth
  double log_bits() const;  // mean surprise, forecasts held between .001 and .999
  /// Murphy's split (1973), each bin taken at its mean forecast: brier = reliability - resolution + uncertainty if all
  /// forecasts of a bin are equal.
  struct Split {
    double reliability = 0, resolution = 0, uncertainty = 0;
  };
  Split split() const;

 private:
  long count() const;
  std::array<Bin, 10> bins_{};
  double squares_ = 0, bits_ = 0;
};

}  // namespace crankwise
