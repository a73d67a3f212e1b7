// Engines simulated at full load over speed: healthy and with faults, on all processors.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "core/engine/ceiling.h"
#include "core/engine/faults.h"

namespace crankwise {

/// What is to be simulated.
struct Trial {
  std::string fault = {};  // empty: healthy
  double severity = 0;     // 0 to 1
  engine::Design design = {};
  engine::Surroundings around = {};
};
/// BadInput if the physics does not know the fault, the engine cannot have it, or the severity is not within 0 and 1.
Trial trial_of(const engine::Design& healthy, const std::string& fault, double severity);

struct SimulatedCurve {
  Trial trial = {};
  std::vector<engine::Outcome> at = {};  // by ascending speed
  engine::Peak power = {}, torque = {};
  engine::Ceiling neutral = {}, gear = {};

  /// At most a third of the points do not repeat, and no gas was lost: it may be shown as a curve.
  bool whole() const;
};

struct Sweep {
  double from_rpm = 3000, to_rpm = 14000;
  int points = 16;
  engine::Ride ride;
  engine::RunOptions options = {};
};
/// From 7 m/s of mean piston speed to 27, or just beyond the ignition's limit; a middle gear.
Sweep usual_sweep(const engine::Design&);

/// `progress` is told the share done. In their order; the same whatever the number of processors.
std::vector<SimulatedCurve> simulate(const std::vector<Trial>&, const Sweep&,
                                     const std::function<void(double)>& progress = {});

}  // namespace crankwise
