// How often the advice was right in this shop: what was believed at each act, against the cause that was proven.
#pragma once

#include "app/shop.h"
#include "core/learn/calibration.h"

namespace crankwise {

struct TrackRecord {
  static constexpr int kLeastJobs = 10;  // fewer say nothing
  static constexpr int kMostJobs = 400;  // the latest; older ones were judged with less knowledge

  int jobs = 0;        // proven jobs of which it is known what was believed before the cause was put right
  Reliability leader;  // the likeliest fault at each act
  /// Mean over the jobs of the mean over their acts, for the belief and for the shares of the class alone. Bits:
  /// surprise at the cause, chances held at 0.001 at least. Brier: sum of squares over all faults.
  double bits = 0, share_bits = 0, brier = 0, share_brier = 0;
};

TrackRecord track_record(const Shop&);

}  // namespace crankwise
