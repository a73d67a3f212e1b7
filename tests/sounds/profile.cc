#include "tests/sounds/profile.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise::sounds {

Profile::Profile(std::vector<double> rpm) : rpm_(std::move(rpm)), turns_(rpm_.size()) {
  for (std::size_t i = 1; i < rpm_.size(); ++i) {
    turns_[i] = turns_[i - 1] + (fires(i - 1) ? (rpm_[i - 1] + rpm_[i]) / 2 * kStepS / 60 : 0);
  }
}

double Profile::seconds() const { return rpm_.empty() ? 0 : static_cast<double>(rpm_.size() - 1) * kStepS; }

double Profile::rpm(double seconds) const {
  if (rpm_.size() < 2 || seconds < 0 || seconds > this->seconds()) return 0;
  const auto i = std::min(static_cast<std::size_t>(seconds / kStepS), rpm_.size() - 2);
  if (!fires(i)) return 0;
  const double share = seconds / kStepS - static_cast<double>(i);
  return rpm_[i] + share * (rpm_[i + 1] - rpm_[i]);
}

double Profile::turns(double seconds) const {
  if (rpm_.size() < 2 || seconds <= 0) return 0;
  if (seconds >= this->seconds()) return turns_.back();
  const auto i = std::min(static_cast<std::size_t>(seconds / kStepS), rpm_.size() - 2);
  const double x = seconds - static_cast<double>(i) * kStepS;
  return turns_[i] + (fires(i) ? (rpm_[i] + rpm(seconds)) / 2 * x / 60 : 0);
}

double Profile::when(double turns) const {
  assert(turns >= 0 && !turns_.empty() && turns <= turns_.back());
  const auto after = std::lower_bound(turns_.begin(), turns_.end(), turns);
  if (after == turns_.begin()) return 0;
  const auto i = static_cast<std::size_t>(after - turns_.begin()) - 1;
  // turns_[i] + b x + a x^2 = turns, in the form that stands a = 0.
  const double a = (rpm_[i + 1] - rpm_[i]) / (2 * 60 * kStepS), b = rpm_[i] / 60, c = turns - turns_[i];
  return static_cast<double>(i) * kStepS + 2 * c / (b + std::sqrt(std::max(0.0, b * b + 4 * a * c)));
}

}  // namespace crankwise::sounds
