// How much the sets with four and more faults could weigh, which SetTable leaves out.
//
// Every observation is covered from above by a product over the faults of the set, so that the weight of all sets of
// size m is at most C * e_m(r'), with e_m the elementary symmetric sum:
//   falling (a + b Q(H), b > 0):  F(H) = (a + b Q)/(a + b) <= prod g_i^kappa_m, g_i = F({i}),
//       kappa_m = min over j <= m of ln(a' + b' q^j) / (j ln(a' + b' q)),  q the least factor, a' + b' = 1.
//       (ln F is convex in each ln g_i, so ln F - kappa sum ln g_i is greatest in a corner of the box.) Exact for a =
//       0.
//   rising (a - b exp(-x), x = sum theta_i, theta_i = -ln q_i):  its logarithm is concave in x, so any tangent is above
//       it and is a product over faults (Jaakkola and Jordan 1999 use this for noisy-OR). The point of contact is set
//       to the mean of x under the covering weights, which makes the bound least.
// A mixture is covered by
// one of its parts. The sum over m >= 8 is covered by the exponential series. Never below the truth; cost
// O(observations * n).
#pragma once

#include <span>

#include "core/belief/likelihood.h"

namespace crankwise {

/// Upper bound of the posterior probability of all sets with more than three faults; also of the error of any marginal.
/// `odds`: prior odds of the n faults; `log_total`: SetTable::log_total() after the same observations. Result in [0,
/// 1].
double left_out_bound(std::span<const double> odds, std::span<const Observation> observations, double log_total);

}  // namespace crankwise
