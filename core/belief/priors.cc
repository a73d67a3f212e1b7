#include "core/belief/priors.h"

#include <cassert>
#include <cmath>

namespace crankwise {

std::vector<double> odds_from_shares(std::span<const double> shares, double multiple) {
  assert(multiple > 0 && multiple < 1);
  double sum = 0;
  for (double s : shares) sum += s;
  const auto share_of_multiple = [&](double lambda) {
    double log_none = 0, total = 0;
    for (double s : shares) {
      log_none -= std::log1p(lambda * s / sum);
      total += lambda * s / sum;
    }
    const double none = std::exp(log_none);
    return (1 - none - none * total) / (1 - none);
  };
  double low = 1e-9, high = 1;
  while (shares.size() > 1 && share_of_multiple(high) < multiple && high < 1e6) high *= 2;
  for (int k = 0; k < 100; ++k) {
    const double mid = 0.5 * (low + high);
    (share_of_multiple(mid) < multiple ? low : high) = mid;
  }
  std::vector<double> odds;
  for (double s : shares) odds.push_back(0.5 * (low + high) * s / sum);
  return odds;
}

}  // namespace crankwise
