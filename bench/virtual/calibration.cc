#include "bench/virtual/calibration.h"

#include <algorithm>

namespace crankwise::bench {

void Calibration::add(const std::vector<double>& forecast, const std::vector<double>& share,
                      const std::vector<int>& there) {
  std::vector<char> so(forecast.size(), 0);
  for (int f : there) so[static_cast<size_t>(f)] = 1;
  for (size_t f = 0; f < forecast.size(); ++f) {
    faults.add(std::clamp(forecast[f], 0.0, 1.0), so[f] != 0);
    by_share.add(share[f], so[f] != 0);
  }
  const auto most = std::max_element(forecast.begin(), forecast.end());
  leader.add(std::min(*most, 1.0), so[static_cast<size_t>(most - forecast.begin())] != 0);
}

void Calibration::add_job(const Calibration& more) {
  faults.add_job(more.faults);
  leader.add_job(more.leader);
  by_share.add_job(more.by_share);
}

}  // namespace crankwise::bench
