// The true speed over time: straight lines between knots a millisecond apart, so that the turns made are exact too.
#pragma once

#include <cstddef>
#include <vector>

namespace crankwise::sounds {

class Profile {
 public:
  static constexpr double kStepS = 0.001;

  Profile() = default;
  /// Speeds at 0, kStepS, 2 kStepS ..; 0 where the engine does not fire. Between a 0 and its neighbour all is 0.
  explicit Profile(std::vector<double> rpm);

  double seconds() const;
  /// 0 where the engine does not fire, and outside the profile.
  double rpm(double seconds) const;
  /// Made since the beginning: the integral of rpm / 60.
  double turns(double seconds) const;
  /// When so many are made; turns from 0 to turns(seconds()).
  double when(double turns) const;
  const std::vector<double>& knots() const { return rpm_; }

 private:
  bool fires(std::size_t segment) const { return rpm_[segment] > 0 && rpm_[segment + 1] > 0; }

  std::vector<double> rpm_, turns_;
};

}  // namespace crankwise::sounds
