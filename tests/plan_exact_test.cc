// The exact judge of the planner against numbers derived elsewhere, and against the belief.
//
// "Printed" values are those of this project's reference on troubleshooting, derived by exhaustive search with a
// program of its own. The judge works in double from the models, so they hold to 1e-6; nothing here goes through the
// floats of the belief but the test that compares the two.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "tests/exact/graph.h"
#include "tests/exact/instances.h"
#include "tests/exact/policies.h"
#include "tests/random_case.h"

namespace crankwise::exact {
namespace {

constexpr double kPrinted = 1e-6;
constexpr int A = 0, B = 1, C = 2, D = 3, E = 4;

double best(const Job& job, int most_faults = 3) {
  const Game game(job.plan, job.model, most_faults);
  const Graph graph(game);
  return optimum(graph).back();
}

double in_order(const Job& job, const std::vector<int>& steps, int most_faults = 3) {
  const Game game(job.plan, job.model, most_faults);
  return PolicyValue(game, in_this_order(game, steps)).of(game.start());
}

/// The same with a run after each.
double run_each(const Job& job, const std::vector<int>& repairs, int most_faults = 3) {
  std::vector<int> steps;
  for (int r : repairs) steps.insert(steps.end(), {r, job.plan.run_step});
  return in_order(job, steps, most_faults);
}

/// One fault, repair f cures fault f, nothing to take off.
Job plain(const std::vector<double>& shares, const std::vector<double>& minutes, double run_min = 0,
          double give_up = 1000) {
  Job job = Job::one_fault(shares);
  for (std::size_t f = 0; f < shares.size(); ++f) job.repair(minutes[f], {{static_cast<int>(f), 1}});
  job.close(run_min, give_up);
  return job;
}

TEST(ExactPrinted, A1ChanceOverCost) {
  const Job job = plain({.40, .30, .20, .10}, {15, 5, 10, 1});
  EXPECT_NEAR(best(job), 16.5, kPrinted);
  EXPECT_NEAR(run_each(job, {D, B, A, C}), 16.5, kPrinted);
  EXPECT_NEAR(run_each(job, {A, B, C, D}), 21.1, kPrinted);
  EXPECT_NEAR(run_each(job, {D, B, C, A}), 17.5, kPrinted);
  EXPECT_NEAR(run_each(job, {C, A, B, D}), 24.1, kPrinted);
  std::vector<int> order{A, B, C, D};
  double least = 1e9, most = 0;
  do {
    least = std::min(least, run_each(job, order));
    most = std::max(most, run_each(job, order));
  } while (std::next_permutation(order.begin(), order.end()));
  EXPECT_NEAR(least, 16.5, kPrinted);
  EXPECT_NEAR(most, 24.1, kPrinted);
  const Game game(job.plan, job.model);
  EXPECT_NEAR(PolicyValue(game, repair_and_test(game)).of(game.start()), 16.5, kPrinted);
}

TEST(ExactPrinted, BGivingUp) {
  const auto with = [](double give_up) { return plain({.40, .30, .20, .10}, {15, 5, 10, 1}, 0, give_up); };
  EXPECT_NEAR(best(with(8)), 8, kPrinted);
  EXPECT_NEAR(best(with(15)), 14.5, kPrinted);
  EXPECT_NEAR(run_each(with(15), {D}), 14.5, kPrinted);
  EXPECT_NEAR(best(with(25)), 16.5, kPrinted);
  EXPECT_NEAR(best(with(40)), 16.5, kPrinted);
}

/// Naming one of three causes. Trying cause f is getting at part f and a repair that costs nothing; the last one left
/// is named for nothing once the parts of the others are open, which is what trying them cost.
Job naming() {
  Job job = Job::one_fault({.5, .3, .2});
  job.plan.access = Access({{10, 0, 0, {}}, {6.1, 0, 0, {}}, {4.1, 0, 0, {}}});
  for (int f : {A, B, C}) job.repair(0, {{f, 1}}, {f});
  job.repair(0, {{A, 1}}, {B, C});
  job.repair(0, {{B, 1}}, {A, C});
  job.repair(0, {{C, 1}}, {A, B});
  job.close(0, 1000);
  return job;
}

TEST(ExactPrinted, CNamingByElimination) {
  constexpr int kByElimination = 3;
  EXPECT_NEAR(run_each(naming(), {A, B, C + kByElimination}), 13.05, kPrinted);
  EXPECT_NEAR(run_each(naming(), {B, C, A + kByElimination}), 8.97, kPrinted);
  EXPECT_NEAR(best(naming()), 8.97, kPrinted);
}

TEST(ExactPrinted, DRepairsThatCureTwoFaults) {
  Job job = Job::one_fault({.20, .25, .40, .15});
  const int a1 = job.repair(1, {{0, 1}, {1, 1}}), a2 = job.repair(1, {{0, 1}, {2, 1}});
  const int a3 = job.repair(1, {{2, 1}, {3, 1}});
  job.close(0, 1000);
  EXPECT_NEAR(run_each(job, {a2, a3, a1}), 1.65, kPrinted);
  EXPECT_NEAR(run_each(job, {a2, a1, a3}), 1.55, kPrinted);
  EXPECT_NEAR(run_each(job, {a3, a1}), 1.45, kPrinted);
  EXPECT_NEAR(best(job), 1.45, kPrinted);
  const Game game(job.plan, job.model);
  EXPECT_NEAR(PolicyValue(game, repair_and_test(game)).of(game.start()), 1.55, kPrinted);
}

TEST(ExactPrinted, E1ACoverThatMayStayOff) {
  const Job job = behind_a_cover(0, 0, false);
  constexpr int X = 0, Y = 1, u = 2, v = 3, w = 4;
  EXPECT_NEAR(run_each(job, {v, u, Y, X, w}), 26.15, kPrinted);
  EXPECT_NEAR(run_each(job, {Y, X, u, v, w}), 24.8, kPrinted);
  EXPECT_NEAR(run_each(job, {Y, X, v, u, w}), 24.35, kPrinted);
  EXPECT_NEAR(best(job), 24.35, kPrinted);
}

TEST(ExactPrinted, E2ACoverThatGoesBackOnAtTheEnd) {
  const Job job = behind_a_cover(10, 0, false);
  EXPECT_NEAR(run_each(job, {1, 0, 3, 2, 4}), 31.85, kPrinted);
  EXPECT_NEAR(best(job), 31.85, kPrinted);
}

TEST(ExactPrinted, E3ACoverThatMustBeOnForTheRun) {
  const Job job = behind_a_cover(10, 4, true);
  constexpr int X = 0, Y = 1, u = 2, v = 3, w = 4;
  const int run = job.plan.run_step;
  EXPECT_NEAR(run_each(job, {v, u, Y, X, w}), 69.05, kPrinted);  // chance over cost, the cover left out
  EXPECT_NEAR(in_order(job, {X, Y, run, u, v, run, w, run}), 45.2, kPrinted);
  EXPECT_NEAR(best(job), 45.2, kPrinted);
}

TEST(ExactPrinted, FOneRunAfterSeveralRepairs) {
  const auto with = [](double run_min) { return plain({.45, .25, .20, .10}, {3, 2, 2, 2}, run_min); };
  EXPECT_NEAR(best(with(0)), 4.9, kPrinted);
  EXPECT_NEAR(run_each(with(0), {A, B, C, D}), 4.9, kPrinted);
  EXPECT_NEAR(best(with(1)), 6.85, kPrinted);
  EXPECT_NEAR(run_each(with(1), {A, B, C, D}), 6.85, kPrinted);
  const int run = with(4).plan.run_step;
  EXPECT_NEAR(best(with(4)), 11.4, kPrinted);
  EXPECT_NEAR(in_order(with(4), {A, B, run, C, D, run}), 11.4, kPrinted);
  EXPECT_NEAR(best(with(12)), 20.4, kPrinted);
  EXPECT_NEAR(in_order(with(12), {A, B, C, run, D, run}), 20.4, kPrinted);
}

TEST(ExactPrinted, GTheCarThatWillNotStart) {
  const Job with = car_start(true), without = car_start(false);
  constexpr int plugs = 0, ignition = 1;
  EXPECT_NEAR(best(with), 13.1, kPrinted);
  EXPECT_NEAR(best(without), 14.4, kPrinted);
  EXPECT_NEAR(run_each(without, {plugs, ignition}), 14.4, kPrinted);
  EXPECT_NEAR(run_each(without, {plugs}), 14.5, kPrinted);
  EXPECT_NEAR(run_each(without, {ignition, plugs}), 14.6, kPrinted);
  EXPECT_NEAR(run_each(without, {}), 15, kPrinted);
  EXPECT_NEAR(run_each(without, {ignition}), 15.5, kPrinted);
}

TEST(ExactPrinted, HSeveralIndependentFaults) {
  Job job = Job::some_faults({.30, .20, .10, .05, .60});
  const std::vector<double> minutes{12, 6, 2, 3, 20};
  for (int f = 0; f < 5; ++f) job.repair(minutes[static_cast<std::size_t>(f)], {{f, 1}});
  job.close(0, 1000);
  EXPECT_NEAR(run_each(job, {E, C, B, A, D}, 5), 29.920344, kPrinted);
  EXPECT_NEAR(run_each(job, {C, B, E, A, D}, 5), 31.157431, kPrinted);
  EXPECT_NEAR(best(job, 5), 29.920344, kPrinted);
}

TEST(ExactPrinted, IALookBeforeTheRepairs) {
  Job job = Job::one_fault({.40, .30, .20, .10});
  const std::vector<double> minutes{15, 5, 10, 1};
  for (int f = 0; f < 4; ++f) job.repair(minutes[static_cast<std::size_t>(f)], {{f, 1}});
  const int look = job.look(A, 1.5, 0.9, 0.1);
  job.close(0, 1000);
  const Game game(job.plan, job.model);
  const Graph graph(game);
  const std::vector<double> v = optimum(graph);
  for (const Branch& b : game.play(game.start(), look).branches) {
    EXPECT_NEAR(b.probability, b.yes ? .42 : .58, kPrinted);
    EXPECT_NEAR(v[static_cast<std::size_t>(graph.find(b.to))], b.yes ? 16.214286 : 10.051724, kPrinted);
  }
  for (const Graph::Choice& c : graph.nodes().back().choices) {
    if (c.step != look) continue;
    EXPECT_NEAR(Graph::value(c, v), 14.14, kPrinted);
  }
}

class ExactStripDown : public testing::Test {
 protected:
  double of(const Policy& policy) { return PolicyValue(game, policy).of(game.start()); }
  std::vector<double> everywhere(const Policy& policy) {
    PolicyValue value(game, policy);
    return values(graph, [&](const Position& p) { return value.of(p); });
  }
  const Job job = strip_down();
  const Game game{job.plan, job.model};
  const Graph graph{game};
  const std::vector<double> v = optimum(graph);
  const std::vector<int> looks{5, 6, 7, 8};  // plug, filter, jet, reed
};

TEST_F(ExactStripDown, PrintedOptimumAndEveryFirstStep) {
  EXPECT_NEAR(v.back(), 36.533943, kPrinted);
  // Plug, filter, jet, box, reed: repair; plug, filter, jet, reed: look; give up.
  const std::vector<double> printed{38.6099, 40.2145, 42.4591, 42.5767, 45.5515,
                                    38.3096, 36.5339, 42.3518, 41.7236, 90};
  const auto& choices = graph.nodes().back().choices;
  ASSERT_EQ(choices.size(), printed.size());
  for (std::size_t c = 0; c < printed.size(); ++c) {
    EXPECT_NEAR(Graph::value(choices[c], v), printed[c], 5.1e-5) << "step " << choices[c].step;  // four places printed
  }
}

TEST_F(ExactStripDown, PrintedPolicies) {
  EXPECT_NEAR(of(check_list(game, looks)), 39.430025, kPrinted);
  EXPECT_NEAR(of(repair_and_test(game)), 47.23, kPrinted);
  EXPECT_NEAR(of(block_index(game)), 37.158575, kPrinted);
  EXPECT_NEAR(rollout(graph, everywhere(check_list(game, looks))).back(), 36.716275, kPrinted);
  EXPECT_NEAR(rollout(graph, everywhere(block_index(game))).back(), 36.716275, kPrinted);
  const std::vector<double> chance_over_cost = everywhere(repair_and_test(game));
  EXPECT_NEAR(rollout(graph, chance_over_cost).back(), 38.678175, kPrinted);
  EXPECT_NEAR(rollout(graph, tightened(graph, chance_over_cost, 1)).back(), 37.8491, kPrinted);
}

TEST_F(ExactStripDown, PrintedBounds) {
  const std::vector<double> full = known_fault(graph);
  const std::vector<double> printed{20.16, 22.16, 24.328, 26.779, 30.5285, 32.50068, 34.153102};
  for (std::size_t k = 0; k < printed.size(); ++k) {
    EXPECT_NEAR(tightened(graph, full, static_cast<int>(k)).back(), printed[k], kPrinted) << k << " exact steps";
  }
  EXPECT_NEAR(relaxed_bound(graph, full), 31.378677, kPrinted);
  EXPECT_NEAR(relaxed_bound(graph, everywhere(repair_and_test(game))), 26.411247, kPrinted);
  const std::vector<double> index = everywhere(block_index(game));
  EXPECT_NEAR(relaxed_bound(graph, index), 30.590222, kPrinted);
  EXPECT_NEAR(relaxed_bound(graph, rollout(graph, index)), 36.359405, kPrinted);
  EXPECT_NEAR(relaxed_bound(graph, v), 36.533943, kPrinted);
  EXPECT_NEAR(relaxed_bound(graph, std::vector<double>(v.size(), 0.0)), 20.16,
              kPrinted);  // no penalty: full information
}

/// A step for every fault and finding of a random model, some repairs unsure, some parts swapped in.
PlanModel random_plan(Dice& dice, const Model& m) {
  PlanModel plan;
  for (int f = 0; f < static_cast<int>(m.faults.size()); ++f) {
    for (int k = dice.whole(1, 2); k > 0; --k) {
      PlanStep s;
      s.act = dice.chance(0.3) ? Act::swap : Act::repair;
      s.minutes = 1;
      s.cures = {{f, dice.chance(0.5) ? 1 : dice.between(0.3, 0.9)}};
      plan.steps.push_back(s);
    }
  }
  for (int f = 0; f < static_cast<int>(m.findings.size()); ++f) {
    PlanStep s;
    s.minutes = 1;
    s.findings = {f};
    plan.steps.push_back(s);
  }
  plan.run_step = static_cast<int>(plan.steps.size());
  plan.steps.emplace_back().act = Act::run;
  plan.last_resort = static_cast<int>(plan.steps.size());
  plan.steps.emplace_back().act = Act::last_resort;
  plan.doubt_allowed = 0.001;
  return plan;
}

/// The optimum once more: every step that may be done, useless ones too, and no memory of positions.
double without_memory(const Game& game, const Position& p) {
  double least = std::numeric_limits<double>::infinity();
  for (int s = 0; s < game.steps(); ++s) {
    if (!game.may(p, s)) continue;
    const Move move = game.play(p, s);
    double value = move.cost;
    for (const Branch& b : move.branches) {
      value += b.probability * (b.cost + (b.ended ? 0 : without_memory(game, b.to)));
    }
    least = std::min(least, value);
  }
  return least;
}

TEST(ExactGame, LosesNothingByJoiningPositions) {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    Dice dice(seed);
    Job job = Job::some_faults({dice.between(0.1, 0.5), dice.between(0.1, 0.5)});
    job.model.faults[1].shows = dice.chance(0.5) ? 0.7 : 1;
    job.model.better_if_cured = 0.5;
    job.plan.access = Access({{dice.between(1, 5), dice.between(1, 5), 2, {}}, {dice.between(1, 5), 2, 0, {0}}});
    job.plan.minutes_per_money = 0.5;
    job.repair(dice.between(2, 10), {{0, dice.chance(0.5) ? 1 : 0.6}}, {0});
    job.repair(dice.between(2, 10), {{1, 1}}, dice.chance(0.5) ? std::vector<int>{} : std::vector<int>{1});
    if (dice.chance(0.3)) job.repair(dice.between(5, 15), {{0, 1}, {1, 0.8}});
    for (PlanStep& s : job.plan.steps) s.money = dice.between(0, 20);
    if (dice.chance(0.5)) job.plan.steps[1].act = Act::swap;
    job.look(dice.whole(0, 1), dice.between(0.5, 3), dice.between(0.6, 1), 0.1, {dice.whole(0, 1)});
    job.plan.steps.back().needs_hot = dice.chance(0.5);
    if (dice.chance(0.5)) job.model.findings[0].links = {{0, 0.9}, {1, 0.4}};
    job.model.findings[0].rates.unsure_if_so = dice.chance(0.5) ? 0.1 : 0;
    job.close(dice.between(1, 6), dice.between(20, 80), {0, 1});
    const Game game(job.plan, job.model);
    const double least = without_memory(game, game.start());
    ASSERT_NEAR(optimum(Graph(game)).back(), least, 1e-7) << "seed " << seed;
  }
}

TEST(ExactGame, KnowsWhatTheBeliefKnows) {
  CaseKind kind;
  kind.most_faults = 5;
  kind.groups = false;
  int compared = 0, runs = 0, put_back = 0;
  for (unsigned seed = 1; seed <= 200; ++seed) {
    Dice dice(seed);
    const Model model = random_model(dice, kind);
    const Game game(random_plan(dice, model), model);
    Position p = game.start();
    for (int k = 0; k < 10; ++k) {
      std::vector<int> steps;
      for (int s = 0; s < game.steps(); ++s) {
        // A fault is not repaired while the good part for it is in.
        const bool waits = p.swapped != 0 && game.step(s).act != Act::run && game.step(s).act != Act::ask;
        if (s != game.plan().last_resort && !waits && game.may(p, s)) steps.push_back(s);
      }
      if (steps.empty()) break;
      const bool run = p.repaired_since_run && dice.chance(0.5);
      const int step = run ? game.plan().run_step
                           : steps[static_cast<std::size_t>(dice.whole(0, static_cast<int>(steps.size()) - 1))];
      const Move move = game.play(p, step);
      double sum = 0, u = dice.share();
      const Branch* taken = nullptr;
      for (const Branch& b : move.branches) {
        sum += b.probability;
        if (taken == nullptr && u < sum) taken = &b;
      }
      ASSERT_NEAR(sum, 1, 1e-9);
      if (taken == nullptr || taken->ended) break;
      p = taken->to;
      const std::vector<Happening> history = p.history();
      const Belief belief = believe(model, history);
      const std::vector<double> there = belief.still_there();
      for (std::size_t f = 0; f < there.size(); ++f) {
        double want = 0;
        for (const World& w : p.worlds) want += (w.left >> f & 1u) ? w.weight : 0;
        ASSERT_NEAR(there[f], want, 2e-5) << in_words({model, history}) << " seed " << seed << " fault " << f;
      }
      ASSERT_NEAR(belief.nothing_left(), p.nothing_left(), 2e-5) << "seed " << seed;
      ++compared;
      runs += std::holds_alternative<Ran>(history.back());
      put_back += std::holds_alternative<PutBack>(history.back());
    }
  }
  EXPECT_GT(compared, 1000);
  EXPECT_GT(runs, 100);
  EXPECT_GT(put_back, 20);
}

}  // namespace
}  // namespace crankwise::exact
