// How the throttle is worked: builds the profile of a take and notes what is true of it on the way.
//
//   Ride ride(random);
//   ride.start(1800).hold(2).blip(11000, 0.5, 0.2, 0.3).hold(2);
//   ride.profile();
#pragma once

#include <optional>
#include <vector>

#include "tests/sounds/random.h"
#include "tests/sounds/truth.h"

namespace crankwise::sounds {

/// Firings that fail or are weak: those within a time and a range of speeds.
struct Weak {
  double from_s = 0, to_s = 1e9;
  double from_rpm = 0, to_rpm = 1e9;
  double share = 1;        // of these, at random
  bool alternate = false;  // only every second one
  double strength = 0.1;   // of a full one
};

class Ride {
 public:
  explicit Ride(Random& random) : random_(random) {}

  /// From the beginning or from silence: at this speed. It wanders by this share (standard deviation) from here on.
  Ride& start(double rpm);
  Ride& wander(double share);
  Ride& hold(double seconds);
  Ride& silence(double seconds);
  /// With constant acceleration.
  Ride& ramp(double to_rpm, double seconds);
  /// From rest to rest, a half wave of a cosine.
  Ride& ease(double to_rpm, double seconds);
  /// Towards it with this time constant.
  Ride& settle(double to_rpm, double tau_s, double seconds);
  /// Hunting about the speed by a share, some times a second.
  Ride& surge(double share, double hz, double seconds);
  /// Ignition cut at the limit: speed falls by dip while firings fail, and climbs back, some times a second.
  Ride& cut(double limit_rpm, double dip_rpm, double hz, double seconds);
  /// Open, hold, chop, and fall back with this time constant.
  Ride& blip(double top_rpm, double rise_s, double hold_s, double fall_tau_s);
  /// Says that this is idle, or the ceiling with its kind of end.
  Ride& idles();
  Ride& tops(Stop);

  double now_s() const;
  double rpm() const { return base_.empty() ? 0 : base_.back(); }
  const std::vector<Weak>& cuts() const { return cuts_; }

  /// With the wander, and what the marks say, blips and hang among it.
  Truth truth();

 private:
  template <class F>
  Ride& add(double seconds, F rpm_at);  // rpm_at(share of the time)

  Random& random_;
  std::vector<double> base_, wander_;
  double share_ = 0.004;
  std::vector<Weak> cuts_;
  Truth truth_;
};

}  // namespace crankwise::sounds
