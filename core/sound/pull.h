// Road power from the sound of a pull in one gear.
//
//   PullSetup setup{.gearing = fourth, .circumference_m = 2.06, .load = {.mass_kg = 190}};
//   if (problems(setup).empty()) pull_of(track, setup);
//
// Engine speed is road speed in one gear. The speed is fitted by a parabola over 0.4 s, its slope is the acceleration
// a, and the power is v ((1 + rotating share) m a + drag + m g sin slope) (core/calc/gearing.h); sigma of a is sigma_v
// sqrt(12 / (n T^2)), n values independent over T (least squares of a line, the same for a parabola's middle). SI: m,
// kg, s, W, m/s.
#pragma once

#include <vector>

#include "core/calc/gearing.h"
#include "core/sound/answer.h"
#include "core/sound/track.h"

namespace crankwise::sound {

/// Standard uncertainties of what was told; they shift all points of a pull alike. *Common practice.*
struct PullSpread {
  double mass_share = 0.03, rotating_share = 0.02, circumference_share = 0.015;
  double drag_area_m2 = 0.10, rolling = 0.01, slope = 0.01, slip = 0.04;
};
struct PullSetup {
  Gearing gearing;
  double circumference_m = 0;  // rolling
  RoadLoad load;               // with rider
  double slope = 0;            // rise over run, above 0 uphill
  double slip = 0.05;          // of the driven wheel, share of its speed; dirt 0.05 to 0.2 (from memory)
  PullSpread spread;
};

/// Share of the mass that wheels and engine add: (J_wheel / r^2 + J_engine (i / r)^2) / m; r the rolling radius, i the
/// overall ratio; kg m2.
double rotating_share(const Gearing&, double circumference_m, double mass_kg, double wheels_kg_m2, double engine_kg_m2);

/// A figure that no such bike has.
struct PullProblem {
  enum class Field {
    tooth_pair,
    overall_ratio,
    circumference_m,
    mass_kg,
    drag_area_m2,
    rolling,
    air_kg_m3,
    rotating_share,
    slope,
    slip
  };
  Field field{};
  double value = 0, low = 0, high = 0;  // what is possible
};
std::vector<PullProblem> problems(const PullSetup&);

struct PowerPoint {
  double rpm = 0, speed_m_s = 0;
  Value acceleration_m_s2;
  Value road_w;  // sigma: of the fit alone
};
struct Pull {
  double from_s = 0, to_s = 0;
  std::vector<PowerPoint> points;  // by 250 rpm, rising
  double common_share = 0;         // standard uncertainty that all points share, of the power
  Value peak_w;                    // with both
  double peak_rpm = 0;
  /// From there on it gains less than a quarter of its greatest acceleration.
  Answer<double> flattens_rpm = Why::never_flattens;
};

/// The longest steady rise. No problem in the setup.
Answer<Pull> pull_of(const Track&, const PullSetup&);

}  // namespace crankwise::sound
