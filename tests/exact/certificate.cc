#include "tests/exact/certificate.h"

#include <algorithm>
#include <cassert>
#include <numeric>

namespace crankwise::exact {

Spread spread_of(std::vector<double> x) {
  assert(!x.empty());
  std::sort(x.begin(), x.end());
  const std::size_t n = x.size();
  const double sum = std::accumulate(x.begin(), x.end(), 0.0);
  return {sum / static_cast<double>(n), (x[(n - 1) / 2] + x[n / 2]) / 2, x[(n * 9 - 1) / 10], x.back()};
}

Certificate certify(const Graph& graph, const Policy& policy) {
  PolicyValue value(graph.game(), policy);
  const std::vector<double> own = values(graph, [&](const Position& p) { return value.of(p); });
  return {own.back(), optimum(graph).back(), relaxed_bound(graph, own)};
}

}  // namespace crankwise::exact
