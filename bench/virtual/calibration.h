// Do things that are said to be so in p of 100 cases turn out so in p of 100?
#pragma once

#include <array>
#include <utility>
#include <vector>

namespace crankwise::bench {

/// The likely number of hits, 5 % to 95 %, in `count` independent cases of chance p.
std::pair<int, int> hits_band(int count, double p);

/// Forecasts in ten equal bins.
class Reliability {
 public:
  struct Bin {
    long count = 0, hits = 0;
    double said = 0;  // sum of the forecasts
  };
  void add(double said, bool so);
  void add(const Reliability&);
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

/// What is collected at each advice.
struct Calibration {
  Reliability faults, leader, by_share;  // every fault; the likeliest one; every fault by its share alone
  void add(const std::vector<double>& forecast, const std::vector<double>& share, const std::vector<int>& there);
  void add(const Calibration&);
};

}  // namespace crankwise::bench
