#include "core/plan/plan.h"

#include <algorithm>

#include "core/plan/lookahead.h"

namespace crankwise {
namespace {

using plan::Candidate;
using plan::Lookahead;
using plan::Point;
using plan::Problem;

/// A pass values so many of the best candidates with trees cut off at `eps`; the first pass values all.
struct Pass {
  double eps;
  std::size_t count;
};
constexpr Pass kPasses[] = {{0.3, 100}, {0.1, 5}, {0.04, 2}};
/// Small problems go on: finer passes over all candidates, then a second step for the best, while the work that can be
/// foreseen stays below this (fault sets at expanded points).
constexpr long kBudget = 60000;
constexpr double kFinerPasses[] = {4e-3, 4e-4, 1e-5, 1e-9};
constexpr long kFinerGrows = 3;  // work of a candidate against that of the pass before, at most about this
constexpr std::size_t kSecondStep = 3;
constexpr long kSecondStepGrows = 25;

double value_sum(const std::vector<Candidate>& all, std::size_t count) {
  double sum = 0;
  for (std::size_t i = 0; i < count; ++i) sum += all[i].value;
  return sum;
}

/// Moves the cost to go of a candidate.
void shift(Candidate& c, double by) {
  double to_go = 0;
  for (const plan::Branch& b : c.branches) to_go += b.cost;
  if (to_go <= 0) return;
  const double factor = std::max(1 + by / to_go, 0.0);
  for (plan::Branch& b : c.branches) b.cost *= factor;
  c.value += (factor - 1) * to_go;
}

/// Best first. Those that a finer pass leaves out are taken to change like the mean of the others, and stay behind.
std::vector<Candidate> value_all(Lookahead& lookahead, const Point& start, bool run_again) {
  std::vector<Candidate> all = lookahead.candidates(start, run_again);
  long each = 0;  // work of a candidate in the last pass
  const auto pass = [&](double eps, std::size_t count, int ahead) {
    count = std::min(count, all.size());
    const long work_before = lookahead.work();
    const double before = value_sum(all, count);
    for (std::size_t i = 0; i < count; ++i) lookahead.value(start, all[i], eps, ahead);
    const auto cheaper = [](const Candidate& a, const Candidate& b) { return a.value < b.value; };
    std::stable_sort(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(count), cheaper);
    const double change = (value_sum(all, count) - before) / static_cast<double>(count);
    for (std::size_t i = count; i < all.size(); ++i) {
      shift(all[i], std::max(change, all[count - 1].value - all[i].value));
    }
    std::stable_sort(all.begin(), all.end(), cheaper);
    each = (lookahead.work() - work_before) / static_cast<long>(count);
  };
  const auto fits = [&](std::size_t count, long grows) {
    return lookahead.work() + grows * each * static_cast<long>(std::min(count, all.size())) < kBudget;
  };
  for (const Pass& p : kPasses) pass(p.eps, p.count, 0);
  double eps = 0;
  for (double finer : kFinerPasses) {
    if (fits(all.size(), kFinerGrows)) pass(eps = finer, all.size(), 0);
  }
  if (eps > 0 && fits(kSecondStep, kSecondStepGrows)) pass(eps, kSecondStep, 1);
  return all;
}

void set_leader(Outcome& o, const Problem& problem, const Point& p) {
  std::vector<double> there(problem.faults(), 0.0);
  for (const plan::World& w : p.worlds) {
    for (int f : problem.lefts()[static_cast<std::size_t>(w.left)].fault) {
      if (f >= 0) there[static_cast<std::size_t>(f)] += w.weight;
    }
  }
  const auto at = std::max_element(there.begin(), there.end());
  if (at == there.end() || *at <= 0) return;
  o.leader = static_cast<int>(at - there.begin());
  o.leader_probability = *at / p.sum;
}

Option option_of(Problem& problem, const PlanState& state, const Candidate& c) {
  const PlanStep& st = problem.step(c.step);
  Option o;
  o.step = c.step;
  o.fault = c.fault;
  o.off_after = problem.off_after(state.off, st);
  o.access = problem.reach(state.off, state.engine_hot, st);
  o.own = {st.minutes, st.money};
  o.value = c.value;
  o.then = c.then;
  o.information_bits = c.bits;
  if (st.act == Act::repair || st.act == Act::swap) {
    const PlanStep& run = problem.step(problem.model().run_step);
    o.closing = problem.reach(o.off_after, state.engine_hot, run) + Effort{run.minutes, run.money};
  }
  if (st.act == Act::last_resort) o.chance_ends = 1;
  for (const plan::Branch& b : c.branches) {
    Outcome out;
    for (const auto& [column, so] : b.answers) out.findings.emplace_back(problem.finding(column), so);
    out.gone = b.clean;
    out.probability = b.point.sum;
    out.minutes_to_go = b.point.sum > 0 ? b.cost / b.point.sum : 0;
    if (b.clean) o.chance_ends = b.point.sum;
    if (!b.clean) set_leader(out, problem, b.point);
    o.outcomes.push_back(std::move(out));
  }
  if (st.act == Act::ask) {
    std::stable_sort(o.outcomes.begin(), o.outcomes.end(),
                     [](const Outcome& a, const Outcome& b) { return a.probability > b.probability; });
  }
  return o;
}

}  // namespace

Advice advise(const PlanModel& model, const Belief& belief, const PlanState& state, Tilt tilt) {
  Advice advice;
  advice.doubt = 1 - belief.nothing_left();
  advice.proven = state.last_run_clean && !state.repaired_since_run && advice.doubt <= model.doubt_allowed;
  Problem problem(model, belief, state, tilt);
  Lookahead lookahead(problem);
  Point start;
  start.worlds = problem.worlds();
  start.sum = 1;
  start.place = problem.start();
  start.repaired = state.repaired_since_run;
  for (const Candidate& c : value_all(lookahead, start, state.last_run_clean)) {
    advice.options.push_back(option_of(problem, state, c));
  }
  return advice;
}

}  // namespace crankwise
