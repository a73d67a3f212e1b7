// Knowledge with wrong numbers: how much does the advice suffer?
#pragma once

#include <cstdint>

#include "bench/virtual/dice.h"
#include "edge/knowledge.h"

namespace crankwise::bench {

/// Shares and strengths and backgrounds of links get normal noise of `sigma` on their log odds, minutes and money a
/// log-normal factor of sigma / 2. What applies to what stays.
Knowledge disturbed(const Knowledge&, const Dice&, double sigma);

/// Shares for bikes of these traits as one shop may have them: drawn from the Dirichlet distribution whose mean are
/// those of the knowledge, which count as `worth` jobs. Few jobs: a few faults make most of what comes in.
Knowledge with_own_shares(const Knowledge&, const Traits&, std::uint64_t seed, double worth);

}  // namespace crankwise::bench
