#include "core/learn/chance.h"

#include <algorithm>
#include <cmath>

namespace crankwise {
namespace {

/// P(definite answer) and P(yes), given whether it is so.
struct Definite {
  double if_so, if_not, yes_if_so, yes_if_not;
  explicit Definite(const AnswerRates& r)
      : if_so(1 - r.unsure_if_so),
        if_not(1 - r.unsure_if_not),
        yes_if_so(r.chance(Answer::yes).first),
        yes_if_not(r.chance(Answer::yes).second) {}
};

}  // namespace

double Beta::sd() const { return std::sqrt(mean() * (1 - mean()) / (yes + no + 1)); }

double yes_share(double so, const AnswerRates& rates) {
  const Definite d(rates);
  return (so * d.yes_if_so + (1 - so) * d.yes_if_not) / (so * d.if_so + (1 - so) * d.if_not);
}

double so_from_yes_share(double yes, const AnswerRates& rates) {
  const Definite d(rates);
  const double over = d.yes_if_not - yes * d.if_not;
  const double under = yes * (d.if_so - d.if_not) - (d.yes_if_so - d.yes_if_not);
  if (under == 0) return 0;  // answers say nothing
  return std::clamp(over / under, 0.0, 1.0);
}

double learned_strength(double strength, double background, const AnswerRates& rates, AnswerCount count,
                        double answers) {
  if (count.yes + count.no <= 0) return strength;
  const Beta before = Beta::of(yes_share(1 - (1 - background) * (1 - strength), rates), answers);
  const Beta after{before.yes + count.yes, before.no + count.no};
  const double so = so_from_yes_share(after.mean(), rates);
  return std::clamp(1 - (1 - so) / (1 - background), 0.005, 0.99);
}

}  // namespace crankwise
