// How parts wear out: Weibull lives whose scale differs from bike to bike.
//
//   Life plug{.scale = 60, .shape = 2.5, .spread = 0.4};   // hours
//   chance_within(plug, 24, 5);                            // it gives trouble in the next 5 h, having lived 24 h
//
// On one bike a part lives to the age t with the chance exp(-(t / eta)^shape): the Weibull distribution, NIST/SEMATECH
// e-Handbook of Statistical Methods, section 8.1.6.2, with its hazard (shape / eta) (t / eta)^(shape - 1). Shape 1 is
// pure chance, 2 to 4 is wear. How hard a bike is ridden and how well it is kept is not known, so eta itself is taken
// as log-normal between bikes: eta = scale * exp(spread * z), z standard normal. All figures below are those of a bike
// drawn from all of them. What has lived long has shown that it is of the long-lived: its hazard grows more slowly
// than that of any one bike.
//
// Ages are in the unit of `scale`, hours or days; hazards in one over that.
#pragma once

namespace crankwise {

struct Life {
  double scale = 1;   // characteristic life of the middle bike: 63 % are gone by then; above 0
  double shape = 1;   // above 0
  double spread = 0;  // standard deviation of the logarithm of the life between bikes; 0 to 1
};

/// Chance to live to this age (0 or more).
double survival(const Life&, double age);

/// Rate of trouble at this age of those that lived to it. Infinite at age 0 for shapes below 1.
double hazard(const Life&, double age);

/// Mean life: scale * exp(spread^2 / 2) * gamma(1 + 1 / shape).
double mean_life(const Life&);

/// Age by which this share of all has given trouble (0 < share < 1).
double age_at_share(const Life&, double share);

/// Chance of trouble within `more` from now, for a part that has lived to `age`.
double chance_within(const Life&, double age, double more);

/// The same if the age is not known but is as likely any from 0 to `oldest`.
double chance_within_unknown_age(const Life&, double oldest, double more);

/// How many times likelier trouble is at this age than at an average one: the hazard over its mean up to `scale`, held
/// between 0.1 and 8. Without spread: shape * (age / scale)^(shape - 1).
double wear_factor(const Life&, double age);

}  // namespace crankwise
