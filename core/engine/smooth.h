// Without branches: what the functions of time stepping need so that they also work on a type with several lanes.
//
// `Real` is double or a type that is made from a double, has + - * / among its own kind, and sqrt, exp, log and pow
// found by its namespace. A lane cannot go its own way, so nothing is compared.
#pragma once

#include <cmath>

namespace crankwise::engine {

/// Without sign.
template <typename Real>
Real size_of(const Real& x) {
  using std::sqrt;
  return sqrt(x * x);
}

template <typename Real>
Real greater_of(const Real& a, const Real& b) {
  return (a + b + size_of(a - b)) * Real(0.5);
}

template <typename Real>
Real lesser_of(const Real& a, const Real& b) {
  return (a + b - size_of(a - b)) * Real(0.5);
}

template <typename Real>
Real within(const Real& x, const Real& low, const Real& high) {
  return lesser_of(greater_of(x, low), high);
}

/// 0 far below 0, 1/2 at 0, 1 far above: 1 / (1 + exp(-x)).
template <typename Real>
Real soft_step(const Real& x) {
  using std::exp;
  return Real(1) / (Real(1) + exp(Real(0) - within(x, Real(-40), Real(40))));
}

/// sqrt(x) well above `soft`, 0 below 0, and a straight line near 0, where the root would be too steep to step over.
template <typename Real>
Real soft_root(const Real& x, const Real& soft) {
  using std::sqrt;
  const Real above = greater_of(x, Real(0));
  return above / sqrt(sqrt(above * above + soft * soft));
}

}  // namespace crankwise::engine
