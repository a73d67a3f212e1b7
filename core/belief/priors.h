// Prior odds of the faults, before anything of this bike is known but its hours.
#pragma once

#include <span>
#include <vector>

namespace crankwise {

/// Prior odds from shares: odds_i = lambda * share_i, with lambda such that `multiple` of the bikes with any fault have
/// two or more (0 < multiple < 1). Shares need not sum to one; all must be above 0.
std::vector<double> odds_from_shares(std::span<const double> shares, double multiple);

}  // namespace crankwise
