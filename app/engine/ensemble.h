// What the simulation says of each fault over many bikes and severities: how often each finding shows that the physics
// decides, and where the engine stops. Evidence for the belief, with its source: simulation.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "app/engine/simulated.h"
#include "edge/knowledge.h"

namespace crankwise {

/// What shows on a faulty curve beside the healthy one of the same bike; ids of findings in the knowledge.
std::vector<std::string> shows_in(const SimulatedCurve& healthy, const SimulatedCurve& faulty);
/// All that shows_in() can tell.
const std::vector<std::string>& findings_of_physics();

/// A bike of the class: each dimension, setting and the day a little off, by chance.
struct Spread {
  double length = 0.015, area = 0.03, jets = 0.04, angle_rad = 0.015, spark_rad = 0.02,
         friction = 0.08;  // standard deviations
  double coldest_k = 278, hottest_k = 305, highest_m = 1200;
};

struct EnsembleOptions {
  int draws = 24;  // of bike and severity, for each fault
  std::uint64_t seed = 1;
  double least_severity = 0.25;  // worse than that it brings a bike to the stand; evenly up to 1
  int points = 12;
  Spread spread = {};
};

struct FaultEvidence {
  std::string fault;
  int draws = 0;
  int failed = 0;                       // draws without a whole curve: of them only what is left of the power is told
  std::map<std::string, double> shows;  // by finding: share of the draws, (n + 1/2) / (draws + 1)
  SimulatedClass::Stops neutral = {}, gear = {};
};

struct EngineEvidence {
  std::string engine;                  // id of the knowledge's engine
  std::vector<FaultEvidence> faults;   // in the order of engine::simulated_faults()
  std::map<std::string, double> leak;  // by finding: how often two healthy bikes of the class would show it
};

/// `has`: can a bike of the class have this fault?
EngineEvidence gather(const std::string& id, const engine::Design&, const EnsembleOptions&,
                      const std::function<bool(std::string_view fault)>& has);

}  // namespace crankwise
