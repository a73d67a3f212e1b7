// Two policies that think again after each step (Heckerman, Breese and Rommelse 1995; Kalagnanam and Henrion 1990).
#pragma once

#include "bench/virtual/baseline.h"

namespace crankwise::bench {

/// Repairs only: the greatest chance of ending the job for its cost.
class RatioPolicy : public Baseline {
 public:
  using Baseline::Baseline;

 protected:
  int choose() override {
    think();
    return best_repair_or_give_up();
  }
};

/// The look or question that tells most about the faults for its cost; once one fault alone is likelier than one half,
/// its repair; when nothing tells anything, the repair of the greatest chance for its cost.
class InformationPolicy : public Baseline {
 public:
  using Baseline::Baseline;

 protected:
  int choose() override;

 private:
  static constexpr size_t kMost = 3;  // findings that stand for a step, the most telling ones
  struct Telling {
    double bits = 0;         // of this finding alone
    double noise_bits = 0;   // what is unsure of its answer even if the faults are known
    std::vector<double> so;  // by world: chance that it is so
  };
  Telling telling(int finding) const;
  double information(const std::vector<int>& findings) const;  // bits
};

}  // namespace crankwise::bench
