#include "tests/exact/riemann.h"

#include <algorithm>
#include <cmath>

namespace crankwise::exact {

RiemannProblem::RiemannProblem(double gamma, RiemannState left, RiemannState right)
    : gamma_(gamma), left_(left), right_(right) {
  const double parting = right.u - left.u;
  vacuum_ = 2 / (gamma - 1) * (sound(left) + sound(right)) <= parting;
  if (vacuum_) return;
  const auto excess = [&](double p) { return change(left_, p) + change(right_, p) + parting; };
  // The excess rises with p all along: halving of ln p cannot fail.
  double low = std::log(std::min(left.p, right.p)), high = std::log(std::max(left.p, right.p));
  while (excess(std::exp(low)) > 0) low -= 2;
  while (excess(std::exp(high)) < 0) high += 2;
  for (int i = 0; i < 100; ++i) {
    const double middle = 0.5 * (low + high);
    (excess(std::exp(middle)) < 0 ? low : high) = middle;
  }
  star_p_ = std::exp(0.5 * (low + high));
  star_u_ = 0.5 * (left.u + right.u + change(right_, star_p_) - change(left_, star_p_));
}

double RiemannProblem::sound(const RiemannState& s) const { return std::sqrt(gamma_ * s.p / s.rho); }

double RiemannProblem::change(const RiemannState& s, double p) const {
  if (p > s.p) return (p - s.p) * std::sqrt(2 / ((gamma_ + 1) * s.rho) / (p + (gamma_ - 1) / (gamma_ + 1) * s.p));
  return 2 * sound(s) / (gamma_ - 1) * (std::pow(p / s.p, (gamma_ - 1) / (2 * gamma_)) - 1);
}

double RiemannProblem::beside(const RiemannState& s) const {
  if (vacuum_) return 0;
  const double ratio = star_p_ / s.p, k = (gamma_ - 1) / (gamma_ + 1);
  return s.rho * (ratio > 1 ? (ratio + k) / (k * ratio + 1) : std::pow(ratio, 1 / gamma_));
}

/// As the wave of `s` goes to the left.
RiemannState RiemannProblem::left_of_contact(const RiemannState& s, double star_u, double speed) const {
  const double a = sound(s), ratio = star_p_ / s.p;
  if (!vacuum_ && ratio > 1) {
    const double shock = s.u - a * std::sqrt((gamma_ + 1) / (2 * gamma_) * ratio + (gamma_ - 1) / (2 * gamma_));
    return speed < shock ? s : RiemannState{beside(s), star_u, star_p_};
  }
  if (speed < s.u - a) return s;
  const double tail = vacuum_ ? s.u + 2 * a / (gamma_ - 1) : star_u - a * std::pow(ratio, (gamma_ - 1) / (2 * gamma_));
  if (speed > tail) return vacuum_ ? RiemannState{0, speed, 0} : RiemannState{beside(s), star_u, star_p_};
  const double slower = 2 / (gamma_ + 1) + (gamma_ - 1) / (gamma_ + 1) / a * (s.u - speed);  // sound over a
  return {s.rho * std::pow(slower, 2 / (gamma_ - 1)), 2 / (gamma_ + 1) * (a + (gamma_ - 1) / 2 * s.u + speed),
          s.p * std::pow(slower, 2 * gamma_ / (gamma_ - 1))};
}

RiemannState RiemannProblem::at(double speed) const {
  const bool left = vacuum_ ? speed < left_.u + 2 * sound(left_) / (gamma_ - 1) : speed < star_u_;
  if (left) return left_of_contact(left_, star_u_, speed);
  RiemannState mirrored = left_of_contact({right_.rho, -right_.u, right_.p}, -star_u_, -speed);
  mirrored.u = -mirrored.u;
  return mirrored;
}

}  // namespace crankwise::exact
