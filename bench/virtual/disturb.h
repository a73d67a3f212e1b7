// Knowledge with wrong numbers: how much does the advice suffer?
#pragma once

#include "bench/virtual/dice.h"
#include "edge/knowledge.h"

namespace crankwise::bench {

/// Shares and strengths and backgrounds of links get normal noise of `sigma` on their log odds, minutes and money a
/// log-normal factor of sigma / 2. What applies to what stays.
Knowledge disturbed(const Knowledge&, const Dice&, double sigma);

}  // namespace crankwise::bench
