// Where a full-load curve ends: the highest speed that the engine reaches in neutral and in a gear, and how it stops.
//
// In neutral it rises from its strongest speed for as long as it makes torque; in a gear for as long as it makes more
// power than the ride takes. Where it is too weak to come to that speed is not asked. The ignition's limit ends it
// otherwise.
#pragma once

#include <optional>
#include <span>

#include "core/engine/run.h"

namespace crankwise::engine {

struct Peak {
  double rpm = 0, value = 0;
};
/// By a parabola through the highest point and its neighbours. Only points that repeat count.
Peak power_peak(std::span<const Outcome>);
Peak torque_peak(std::span<const Outcome>);

/// What a ride at full throttle takes.
struct Ride {
  double mass_kg = 190;         // bike and rider
  double drag_m2 = 0.55;        // drag area, standing rider
  double rolling = 0.03;        // coefficient, soft ground
  double wheel_m_per_turn = 0;  // of the engine: rolling circumference over the whole ratio
  double share_lost = 0.12;     // of the power between crank and wheel
  double least_m_s2 = 0.25;     // what still feels like pulling
  double air_kg_m3 = 1.2;

  double power_w(double rpm) const;
};

enum class Stop {
  limit,           // nothing before the ignition's own limit, or the end of the curve
  flat,            // it fades: the power falls away over many hundred rpm
  sharp,           // the power is gone within few hundred
  rich_misfires,   // too rich to light every time
  lean_misfires,   // too lean to
  spark_misfires,  // the mixture would burn
  unknown,         // its cycles do not repeat above that, so nothing is known of it
  never_pulls      // it makes no power anywhere
};
const char* in_words(Stop);

struct Ceiling {
  double rpm = 0;
  Stop how = Stop::limit;
  double lambda = 1;  // there
};
/// `curve`: by ascending speed, at least three points. `limit_rpm`: of the ignition.
Ceiling neutral_ceiling(std::span<const Outcome> curve, double limit_rpm);
Ceiling gear_ceiling(std::span<const Outcome> curve, const Ride&, double limit_rpm);

}  // namespace crankwise::engine
