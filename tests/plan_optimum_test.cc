// What following the planner costs, next to the least that any plan could: both exact, by the judge in tests/exact.
//
// The planner sees the belief with its floats; what its choices cost is summed in double from the model.
#include <gtest/gtest.h>

#include "app/explain.h"
#include "core/plan/tree.h"
#include "tests/exact/certificate.h"
#include "tests/exact/instances.h"
#include "tests/exact/policies.h"
#include "tests/small_knowledge.h"

namespace crankwise::exact {
namespace {

#ifdef CRANKWISE_SANITIZED
constexpr unsigned kJobs = 4, kCertified = 1;
#else
constexpr unsigned kJobs = 40, kCertified = 8;
#endif
constexpr std::size_t kSmall = 4000;  // positions of a job that is certified
constexpr double kRounding = 1e-9;    // relative

/// Value of following the planner over the optimum.
double ratio(const Job& job) {
  const Game game(job.plan, job.model);
  const Graph graph(game);
  const double best = optimum(graph).back();
  const double ours = PolicyValue(game, follow_advice(game)).of(game.start());
  EXPECT_GE(ours, best * (1 - kRounding));
  return ours / best;
}

Job plain(const Job& start, const std::vector<double>& minutes, double run_min, double give_up) {
  Job job = start;
  for (std::size_t f = 0; f < minutes.size(); ++f) job.repair(minutes[f], {{static_cast<int>(f), 1}});
  job.close(run_min, give_up);
  return job;
}

constexpr double kNear = 1.03;

// The jobs of tests/plan_exact_test.cc, where their optimum is checked.

TEST(PlanAgainstTheOptimum, A1AndB) {
  for (double give_up : {8.0, 15.0, 25.0, 1000.0}) {
    const Job job = plain(Job::one_fault({.40, .30, .20, .10}), {15, 5, 10, 1}, 0, give_up);
    EXPECT_LE(ratio(job), kNear) << "last resort " << give_up;
  }
}

TEST(PlanAgainstTheOptimum, DRepairsThatCureTwoFaults) {
  Job job = Job::one_fault({.20, .25, .40, .15});
  job.repair(1, {{0, 1}, {1, 1}});
  job.repair(1, {{0, 1}, {2, 1}});
  job.repair(1, {{2, 1}, {3, 1}});
  job.close(0, 1000);
  EXPECT_LE(ratio(job), kNear);
}

TEST(PlanAgainstTheOptimum, E1ACoverThatMayStayOff) { EXPECT_LE(ratio(behind_a_cover(0, 0, false)), kNear); }
TEST(PlanAgainstTheOptimum, E2ACoverThatGoesBackOnAtTheEnd) { EXPECT_LE(ratio(behind_a_cover(10, 0, false)), kNear); }
TEST(PlanAgainstTheOptimum, E3ACoverThatMustBeOnForTheRun) { EXPECT_LE(ratio(behind_a_cover(10, 4, true)), kNear); }

TEST(PlanAgainstTheOptimum, FOneRunAfterSeveralRepairs) {
  for (double run_min : {0.0, 1.0, 4.0, 12.0}) {
    const Job job = plain(Job::one_fault({.45, .25, .20, .10}), {3, 2, 2, 2}, run_min, 1000);
    EXPECT_LE(ratio(job), kNear) << "run " << run_min;
  }
}

TEST(PlanAgainstTheOptimum, GTheCarThatWillNotStart) {
  EXPECT_LE(ratio(car_start(false)), kNear);
  EXPECT_LE(ratio(car_start(true)), kNear);
}

TEST(PlanAgainstTheOptimum, HSeveralIndependentFaults) {
  // Up to three at once, as the belief holds them.
  EXPECT_LE(ratio(plain(Job::some_faults({.30, .20, .10, .05, .60}), {12, 6, 2, 3, 20}, 0, 1000)), kNear);
}

TEST(PlanAgainstTheOptimum, IALookBeforeTheRepairs) {
  Job job = Job::one_fault({.40, .30, .20, .10});
  job.look(0, 1.5, 0.9, 0.1);
  EXPECT_LE(ratio(plain(job, {15, 5, 10, 1}, 0, 1000)), kNear);
}

TEST(PlanAgainstTheOptimum, JTheStripDownInstance) { EXPECT_LE(ratio(strip_down()), 1.01); }

TEST(PlanAgainstTheOptimum, RandomJobs) {
  std::vector<double> ratios;
  for (unsigned seed = 1; seed <= kJobs; ++seed) ratios.push_back(ratio(random_job(seed)));
  const Spread s = spread_of(ratios);
  EXPECT_LE(s.mean, 1.03);
  EXPECT_LE(s.nine_in_ten, 1.08);
}

/// What a base policy of the planner says, asked anew at every position.
Policy follow_base(const Game& game, plan::Base base) {
  return [&game, base](const Position& p) {
    const PlanModel model = game.plan_at(p);
    const Belief belief = believe(game.model(), p.history());
    plan::Problem problem(model, belief, game.state_at(p), {});
    plan::Tree tree(problem, 0);
    tree.root().worlds = problem.worlds();
    tree.root().sum = 1;
    tree.root().place = problem.start();
    tree.root().repaired = p.repaired_since_run;
    const int step = tree.choose(base);
    return step >= 0 && game.may(p, step) ? step : model.last_resort;
  };
}

TEST(PlanAgainstItsBases, IsNotWorseThanEither) {
  double ours = 0, index = 0, information = 0;
  for (unsigned seed = 1; seed <= kJobs; ++seed) {
    const Job job = random_job(seed);
    const Game game(job.plan, job.model);
    const auto value = [&](const Policy& policy) { return PolicyValue(game, policy).of(game.start()); };
    const double advice = value(follow_advice(game));
    const double by_index = value(follow_base(game, plan::Base::by_index));
    const double by_information = value(follow_base(game, plan::Base::by_information));
    ours += advice, index += by_index, information += by_information;
    // The bases stop by the plan's trees, the judge only when nothing is left: hence the small room.
    EXPECT_LE(advice, 1.01 * std::min(by_index, by_information)) << "seed " << seed;
  }
  EXPECT_LT(ours, 0.99 * index);
  EXPECT_LT(ours, 0.97 * information);
}

TEST(PlanAgainstTheOptimum, BoundsThatNeedNoOptimum) {
  unsigned certified = 0;
  double gaps = 0;
  for (unsigned seed = 1; certified < kCertified; ++seed) {
    const Job job = random_job(seed);
    const Game game(job.plan, job.model);
    const Graph graph(game);
    if (graph.nodes().size() > kSmall) continue;
    ++certified;
    const Certificate c = certify(graph, follow_advice(game));
    EXPECT_LE(c.bound, c.optimum * (1 + kRounding)) << "seed " << seed;
    EXPECT_LE(c.optimum, c.policy * (1 + kRounding)) << "seed " << seed;
    gaps += c.gap();
  }
  EXPECT_LE(gaps / certified, 0.03);
}

TEST(ExactCertificate, ThePenaltyOfTheOptimumLeavesNoGap) {
  for (unsigned seed = 1; seed <= kCertified; ++seed) {
    const Job job = random_job(seed);
    const Game game(job.plan, job.model);
    const Graph graph(game);
    if (graph.nodes().size() > kSmall) continue;
    const std::vector<double> best = optimum(graph);
    EXPECT_NEAR(relaxed_bound(graph, best), best.back(), kRounding * best.back()) << "seed " << seed;
    EXPECT_LT(relaxed_bound(graph, known_fault(graph)), best.back()) << "seed " << seed;
  }
}

TEST(ExactCertificate, Spread) {
  const Spread s = spread_of({5, 1, 2, 3, 4, 6, 7, 8, 9, 20});  // by hand
  EXPECT_EQ(s.mean, 6.5);
  EXPECT_EQ(s.median, 5.5);
  EXPECT_EQ(s.nine_in_ten, 9);
  EXPECT_EQ(s.worst, 20);
}

TEST(AdviceWithEveryStepSkipped, IsTheLastResort) {
  Job job = strip_down();
  for (PlanStep& s : job.plan.steps) s.ready = s.act == Act::last_resort;
  const Game game(job.plan, job.model);
  Position p = game.start();
  for (bool repaired : {false, true}) {
    p.repaired_since_run = repaired;
    const Advice a = advise(job.plan, believe(job.model, {}), game.state_at(p));
    ASSERT_EQ(a.options.size(), 1u);
    EXPECT_EQ(a.options.front().step, job.plan.last_resort);
    EXPECT_NEAR(a.options.front().value, 90, 1e-9);
    EXPECT_FALSE(a.proven);
  }
}

TEST(AdviceWithEveryStepSkipped, OfAJob) {
  const Knowledge& k = test::small_knowledge();
  for (const BikeClass& c : k.classes) {
    Bike bike;
    bike.traits = c.traits;
    bike.displacement_cc = c.displacement_cc;
    std::vector<Entry> entries;
    const Diagnosis fresh = diagnose(k, bike, entries, {});
    EXPECT_GT(fresh.advice.options.size(), 3u) << c.id;
    for (int s = 0; s < static_cast<int>(fresh.bike().plan.steps.size()); ++s) {
      entries.push_back(Skipped{fresh.bike().step_id(s), "not here"});
    }
    const Diagnosis d = diagnose(k, bike, entries, {});
    ASSERT_EQ(d.advice.options.size(), 1u) << c.id;
    EXPECT_EQ(d.advice.options.front().step, d.bike().plan.last_resort) << c.id;
    EXPECT_NE(why_last_resort(d).find("left out"), std::string::npos) << c.id;
  }
}

}  // namespace
}  // namespace crankwise::exact
