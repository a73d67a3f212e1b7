// Jets for today's air, from the one that ran right on a day that is known.
//
//   const Jet main{.number = 175, .numbering = JetNumbering::diameter, .step = 5};
//   const JetAdvice a = jet_for_today(main, {300, air_then}, {2400, air_today});
//   a.physical.number, a.trade.number;   // two answers, never one between them
//
// Physical rule. At one throttle opening and speed a fixed carburettor gives fuel as (area of the jet), air as
// sqrt(density) and of that air only what is not vapour burns fuel. So the area must follow
//   sqrt(density) * (dry density / density),
// which in dry air is sqrt(density). Flow of a gas and a liquid through fixed orifices under one pressure difference
// (St Venant; Heywood, Internal Combustion Engine Fundamentals, chapter 7, from memory). Coefficients are taken as
// constant.
// Trade rule, *common practice*, a published jetting table: less by 6 numbers for each 1000 ft up and by 4 for each 10
// F warmer at number 200 of flow-numbered jets, here scaled with the number; one size for each of these on
// diameter-numbered ones. It asks for more than physics does.
//
// Numbers: a flow number goes with the fuel that passes, a diameter number (hole in 1/100 mm) with the root of that.
// Heights in geopotential metres, lengths in m, angles in rad.
#pragma once

#include <optional>
#include <vector>

#include "core/calc/air.h"
#include "core/calc/flag.h"

namespace crankwise {

enum class JetNumbering { flow, diameter };

struct Jet {
  double number = 0;
  JetNumbering numbering{};
  double step = 0;  // from one size that can be bought to the next
};

/// Fuel through the second jet to that through the first: the ratio of their areas.
double fuel_ratio(double from_number, double to_number, JetNumbering);

/// The number of the jet that passes so many times the fuel.
double number_for_fuel(double number, double fuel_ratio, JetNumbering);

struct JetDay {
  double height_m = 0;
  MoistAir air;
};

/// What the area of every jet must be multiplied with, by the physical rule.
double jet_area_factor(const MoistAir& known, const MoistAir& today);

/// How much richer than right today's mixture is if nothing is changed: 0.05 is 5 % richer.
double richer_if_left(const MoistAir& known, const MoistAir& today);

struct JetFit {
  double number = 0;      // exact
  double nearest = 0;     // of the sizes that can be bought
  double fuel_ratio = 1;  // of the exact one to the jet that is in
};

struct JetAdvice {
  JetFit physical;
  JetFit trade;
  double richer_if_left = 0;  // by the physical rule
  CalcFlags flags;
};

JetAdvice jet_for_today(const Jet&, const JetDay& known, const JetDay& today);

/// Open ring between needle and needle jet; it meters as long as it is smaller than the main jet.
struct Needle {
  double tube_m = 0;     // bore of the needle jet
  double needle_m = 0;   // thickness of the needle there at the throttle opening in question; less than the bore
  double taper_rad = 0;  // between its two sides, there; 0 where it is straight
  double groove_m = 0;   // from one groove of the clip to the next
};

/// Open ring with another thickness to that now.
double ring_ratio(const Needle&, double other_needle_m);

/// Raising the needle by a groove (the clip one groove down) thins it by 2 * groove * tan(taper / 2) in the tube.
struct ClipMove {
  double grooves = 0;        // needle up (richer) above 0, down (leaner) below
  int nearest = 0;           // whole grooves
  double one_groove_up = 1;  // what one groove up does to the fuel there
  CalcFlags flags;
};
/// Grooves that give so many times the fuel; taper and groove above 0. Beyond 2 grooves is flagged, *common practice*:
/// needles have five, used from the middle.
ClipMove clip_for_fuel(const Needle&, double fuel_ratio);

enum class ScrewKind {
  air,   // on the mouth side of the slide: most two-strokes
  fuel,  // between slide and engine: most four-strokes
};
enum class ScrewTurn { in, out, leave };
inline constexpr double kScrewStepTurns = 0.25;  // at a time, *common practice*

/// Which way to turn for so many times the fuel: an air screw out is leaner, a fuel screw out richer. Within 1 % leave.
ScrewTurn screw_for_fuel(ScrewKind, double fuel_ratio);

enum class PilotJet { right, fit_bigger, fit_smaller };

/// What it says of the pilot jet where the idle is best: 1 to 2.5 turns out are right, *common practice* (from memory).
PilotJet pilot_by_screw(ScrewKind, double turns_out);

enum class Circuit { pilot, slide, needle, main_jet };

/// Which circuit rules at this opening of the throttle, 0 to 1: pilot to 1/8, slide cut-away to 1/4, needle to 3/4,
/// main jet beyond. Up to 1/5 the pilot counts too. *Common practice*.
struct CircuitAt {
  Circuit rules{};
  std::optional<Circuit> counts_too;
};
CircuitAt circuit_at(double opening);

}  // namespace crankwise
