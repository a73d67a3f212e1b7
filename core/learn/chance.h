// What answers on known faults teach about a chance.
#pragma once

#include "core/belief/belief.h"

namespace crankwise {

/// A chance, as the beta distribution that `yes` and `no` answers stand for.
struct Beta {
  double yes = 1, no = 1;  // above 0
  /// A chance that is worth so many answers.
  static Beta of(double mean, double answers) { return {mean * answers, (1 - mean) * answers}; }
  double mean() const { return yes / (yes + no); }
  double sd() const;
};

/// Answers counted, unsure ones left out; fractions when old ones count less.
struct AnswerCount {
  double yes = 0, no = 0;
};

/// Chance of "yes" among the definite answers if the finding is so with chance `so`; and back: the chance that makes
/// it, held to 0 to 1.
double yes_share(double so, const AnswerRates&);
double so_from_yes_share(double yes, const AnswerRates&);

/// The strength of a link (chance that the fault alone shows the finding, background not counted) after answers on
/// bikes that had this fault and no other. `answers`: what the strength is worth. Stays between 0.005 and 0.99.
double learned_strength(double strength, double background, const AnswerRates&, AnswerCount, double answers);

}  // namespace crankwise
