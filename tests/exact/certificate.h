// How far a way to go about small jobs is from the best one: ratios over many jobs, and bounds that certify it.
#pragma once

#include <vector>

#include "tests/exact/graph.h"

namespace crankwise::exact {

struct Spread {
  double mean = 0, median = 0, nine_in_ten = 0, worst = 0;
};
Spread spread_of(std::vector<double>);  // at least one

/// Upper and lower bound that the policy itself gives, and what they enclose. All three by exact summation.
struct Certificate {
  double policy = 0, optimum = 0, bound = 0;
  double gap() const { return policy / bound - 1; }
};
/// The bound is the penalised information relaxation with the policy's own values.
Certificate certify(const Graph&, const Policy&);

}  // namespace crankwise::exact
