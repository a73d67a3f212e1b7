#include <algorithm>
#include <cmath>
#include <limits>

#include "core/plan/plan.h"

namespace crankwise {

double worth_up_to(const Advice& a, double minutes_per_money) {
  if (a.options.size() < 2) return std::numeric_limits<double>::infinity();
  const Option& best = a.options[0];
  return (best.access + best.own).joined(minutes_per_money) + a.options[1].value - best.value;
}

Effort saved_by_what_is_off(const PlanModel& model, const PlanState& state, const Option& o) {
  const PlanStep& s = model.steps[static_cast<std::size_t>(o.step)];
  const PartMask off = model.access.closure(s.off);
  const Effort from_whole = model.access.move(0, off), here = model.access.move(state.off, o.off_after);
  return {std::max(from_whole.minutes - here.minutes, 0.0), std::max(from_whole.money - here.money, 0.0)};
}

Standing standing(const PlanModel& model, const Belief& belief, const PlanState& state, const Advice& advice) {
  Standing out;
  const std::vector<double> there = belief.still_there();
  const auto at = std::max_element(there.begin(), there.end());
  if (at == there.end() || *at <= 0 || advice.options.empty()) return out;
  out.fault = static_cast<int>(at - there.begin());
  const double p = out.probability = *at;
  const int step = advice.options.front().step;
  const auto stands = [&](double factor) {
    return advise(model, belief, state, {out.fault, factor}).options.front().step == step;
  };
  // In steps of the odds up to kFarthest either way, then halving the last step.
  constexpr double kStep = 3, kFarthest = 3 * 3 * 3 * 3 * 3;
  constexpr int kHalvings = 3;
  const auto edge = [&](double way) {
    double inside = 1, outside = 1;
    while (stands(outside = inside * (way > 0 ? kStep : 1 / kStep))) {
      inside = outside;
      if (inside >= kFarthest || inside <= 1 / kFarthest) return way > 0 ? 1.0 : 0.0;
    }
    for (int i = 0; i < kHalvings; ++i) {
      const double middle = std::sqrt(inside * outside);
      (stands(middle) ? inside : outside) = middle;
    }
    const double odds = std::sqrt(inside * outside) * p / (1 - p);
    return p >= 1 ? 1.0 : odds / (1 + odds);
  };
  out.from = edge(-1), out.to = edge(1);
  return out;
}

}  // namespace crankwise
