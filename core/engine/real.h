// The arithmetic of `Real`: a single number, or lanes of them (core/flow/lanes.h), under the same names.
#pragma once

#include "core/flow/lanes.h"

namespace crankwise::engine {

using flow::abs;
using flow::exp;
using flow::log;
using flow::max;
using flow::min;
using flow::pow;
using flow::select;
using flow::sqrt;
using flow::with_sign;

template <typename Real>
Real within(const Real& x, const Real& low, const Real& high) {
  return min(max(x, low), high);
}

/// 0 far below 0, 1/2 at 0, 1 far above: 1 / (1 + exp(-x)).
template <typename Real>
Real soft_step(const Real& x) {
  return Real(1) / (Real(1) + exp(Real(0) - within(x, Real(-40), Real(40))));
}

/// sqrt(x) well above `soft`, 0 below 0, and a straight line near 0, where the root would be too steep to step over.
template <typename Real>
Real soft_root(const Real& x, const Real& soft) {
  const Real above = max(x, Real(0));
  return above / sqrt(sqrt(above * above + soft * soft));
}

}  // namespace crankwise::engine
