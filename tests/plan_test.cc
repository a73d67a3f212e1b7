// The planner against small problems whose answers are known.
//
// "Printed" values were derived for this project by exhaustive search with a program of its own; where it is said, the
// form of a problem comes from a publication. The value of following the advice to the end is judged in
// plan_optimum_test.cc.
#include <gtest/gtest.h>

#include <cmath>

#include "core/plan/tree.h"
#include "tests/plan_case.h"
#include "tests/random_case.h"

namespace crankwise {
namespace {

using namespace plan_case;

constexpr double kPrinted = 1e-6;
constexpr double kFloat = 2e-5;         // some weights and chances are floats
constexpr double kSlightWorlds = 0.05;  // the planner drops fault sets of less than 1e-4

constexpr int A = 0, B = 1, C = 2, D = 3, E = 4;

std::vector<int> index_order(const PlanModel& plan, const Model& m) {
  plan::Problem problem(plan, believe(m, {}), fresh(m), {});
  plan::Tree tree(problem, 0);
  tree.root().worlds = problem.worlds();
  tree.root().sum = 1;
  std::vector<int> order;
  for (const plan::Block& b : tree.blocks()) order.push_back(b.step);
  return order;
}

// One fault A .40 B .30 C .20 D .10, repairs 15, 5, 10, 1. The rule: chance over cost (Kadane and Simon 1977, from
// memory).
const std::vector<double> kShares{0.40, 0.30, 0.20, 0.10}, kMinutes{15, 5, 10, 1}, kSure{1, 1, 1, 1};

TEST(PlanOrder, ChanceOverCost) {
  const Model m = single_fault(kShares);
  const PlanModel plan = plain_repairs(kMinutes);
  const std::vector<int> order = index_order(plan, m);
  EXPECT_EQ(order, (std::vector<int>{D, B, A, C}));
  const auto worlds = single_worlds(kShares);
  const auto judged = [&](const std::vector<int>& o) { return order_cost(worlds, o, kMinutes, kSure, 1000); };
  EXPECT_NEAR(judged(order), 16.5, kPrinted);         // printed
  EXPECT_NEAR(judged({A, B, C, D}), 21.1, kPrinted);  // printed
  EXPECT_NEAR(judged({D, B, C, A}), 17.5, kPrinted);  // printed
  double least = 1e9, most = 0;
  for (const auto& o : all_orders(4)) least = std::min(least, judged(o)), most = std::max(most, judged(o));
  EXPECT_NEAR(least, 16.5, kPrinted);
  EXPECT_NEAR(most, 24.1, kPrinted);  // printed
  EXPECT_NEAR(judged({C, A, B, D}), most, kPrinted);
  EXPECT_NEAR(cost_to_go(plan, m), 16.5, kPrinted);
}

TEST(PlanOrder, EveryRepairIsValuedByTheBestOrderThatBeginsWithIt) {
  const Model m = single_fault(kShares);
  const PlanModel plan = plain_repairs(kMinutes);
  const Advice a = advise(plan, believe(m, {}), fresh(m));
  std::vector<double> best(4, 1e9);
  for (const auto& o : all_orders(4)) {
    double& least = best[static_cast<size_t>(o[0])];
    least = std::min(least, order_cost(single_worlds(kShares), o, kMinutes, kSure, 1000));
  }
  ASSERT_EQ(a.options.size(), 5u);  // four repairs, the last resort; nothing was repaired, so no run
  for (int f : {A, B, C, D}) {
    ASSERT_NE(option_of(a, f), nullptr) << f;
    EXPECT_NEAR(option_of(a, f)->value, best[static_cast<size_t>(f)], kPrinted) << f;
    EXPECT_NEAR(option_of(a, f)->chance_ends, kShares[static_cast<size_t>(f)], kPrinted) << f;
    EXPECT_EQ(option_of(a, f)->fault, f);
  }
  EXPECT_EQ(a.options.front().step, D);
  EXPECT_NEAR(option_of(a, plan.last_resort)->value, 1000, kPrinted);
}

TEST(PlanOrder, GivingUp) {
  const Model m = single_fault(kShares);
  for (auto [give_up, value, first] : {std::tuple(8.0, 8.0, 5), {15.0, 14.5, D}, {25.0, 16.5, D}}) {  // printed
    const PlanModel plan = plain_repairs(kMinutes, give_up);
    ASSERT_EQ(plan.last_resort, 5);
    EXPECT_NEAR(cost_to_go(plan, m), value, kPrinted);
    const Advice a = advise(plan, believe(m, {}), fresh(m));
    EXPECT_EQ(a.options.front().step, first) << "last resort " << give_up;
    EXPECT_NEAR(a.options.front().value, value, kPrinted);
    double least = give_up;
    for (const auto& o : all_orders(4)) {
      least = std::min(least, best_beginning(single_worlds(kShares), o, kMinutes, kSure, give_up));
    }
    EXPECT_NEAR(least, value, kPrinted);
  }
}

TEST(PlanOrder, SeveralFaultsGoByOddsOverCost) {
  // Independent faults, repair and run. Printed: E C B A D 29.920344, by chance over cost C B E A D 31.157431.
  const std::vector<double> chances{0.30, 0.20, 0.10, 0.05, 0.60}, minutes{12, 6, 2, 3, 20}, sure(5, 1.0);
  const Model m = independent_faults(chances);
  const PlanModel plan = plain_repairs(minutes);
  const std::vector<int> order = index_order(plan, m);
  EXPECT_EQ(order, (std::vector<int>{E, C, B, A, D}));
  const auto worlds = independent_worlds(chances, 5);
  EXPECT_NEAR(order_cost(worlds, order, minutes, sure, 1000), 29.920344, kPrinted);
  EXPECT_NEAR(order_cost(worlds, {C, B, E, A, D}, minutes, sure, 1000), 31.157431, kPrinted);
  for (const auto& o : all_orders(5)) EXPECT_GE(order_cost(worlds, o, minutes, sure, 1000), 29.920344 - kPrinted);
  // The belief holds sets of up to three.
  EXPECT_NEAR(cost_to_go(plan, m), order_cost(independent_worlds(chances, 3), order, minutes, sure, 1000), kFloat);
}

TEST(PlanOrder, SeveralFaultsAgainstTheJudge) {
  for (unsigned seed = 1; seed <= 60; ++seed) {
    Dice dice(seed);
    std::vector<double> chances, minutes, works, index;
    for (int f = 0; f < 6; ++f) {
      chances.push_back(dice.between(0.02, 0.5));
      minutes.push_back(dice.between(1, 30));
      works.push_back(dice.chance(0.5) ? 1 : dice.between(0.4, 0.95));
      index.push_back(chances.back() / (1 - chances.back()) * works.back() / minutes.back());
    }
    const double give_up = dice.between(20, 130);
    std::vector<int> order{0, 1, 2, 3, 4, 5};
    std::sort(order.begin(), order.end(),
              [&](int a, int b) { return index[static_cast<size_t>(a)] > index[static_cast<size_t>(b)]; });
    const auto worlds = independent_worlds(chances, 3);
    const double value = cost_to_go(plain_repairs(minutes, give_up, works), independent_faults(chances));
    ASSERT_LE(value, best_beginning(worlds, order, minutes, works, give_up) + kSlightWorlds) << "seed " << seed;
    double least = give_up;
    for (const auto& o : all_orders(6)) {
      least = std::min(least, best_beginning(worlds, o, minutes, works, give_up));
    }
    ASSERT_GE(value, least - kSlightWorlds) << "seed " << seed;
  }
}

TEST(PlanOrder, UncertainRepairsOfOneFaultAgainstAllOrders) {
  // Chance times success over cost stays best while each repair is tried once (Jensen and others 2001, from memory).
  for (unsigned seed = 1; seed <= 40; ++seed) {
    Dice dice(seed);
    std::vector<double> shares, minutes, works;
    for (int f = 0; f < 5; ++f) {
      shares.push_back(dice.between(0.05, 1));
      minutes.push_back(dice.between(1, 30));
      works.push_back(dice.between(0.3, 1));
    }
    const double give_up = dice.between(20, 130);
    double least = give_up;
    for (const auto& o : all_orders(5)) {
      least = std::min(least, best_beginning(single_worlds(shares), o, minutes, works, give_up));
    }
    ASSERT_NEAR(cost_to_go(plain_repairs(minutes, give_up, works), single_fault(shares)), least, 20 * kFloat)
        << "seed " << seed;
  }
}

TEST(PlanOrder, RepairsThatCureTwoFaults) {
  // Faults .20 .25 .40 .15; a1 cures the first two, a2 the first and third, a3 the last two; unit cost. The form is
  // remembered from the literature on repair with dependent actions. Printed: greedy with updated chances a2 a1
  // a3 1.55, optimum a3 a1 1.45.
  const Model m = single_fault({0.20, 0.25, 0.40, 0.15});
  PlanModel plan;
  const int a1 = add(plan, repair(1, {{0, 1}, {1, 1}}));
  const int a2 = add(plan, repair(1, {{0, 1}, {2, 1}}));
  const int a3 = add(plan, repair(1, {{2, 1}, {3, 1}}));
  close(plan, 0, 1000);
  EXPECT_NEAR(cost_to_go(plan, m), 1.45, kPrinted);
  const Advice a = advise(plan, believe(m, {}), fresh(m));
  EXPECT_EQ(a.options.front().step, a3);
  EXPECT_NEAR(option_of(a, a3)->value, 1.45, kPrinted);
  EXPECT_NEAR(option_of(a, a1)->value, 1.55, kPrinted);
  EXPECT_NEAR(option_of(a, a2)->value, 1.55, kPrinted);
}

TEST(PlanRepair, ARepairThatWorksHalfTheTime) {
  // The car that will not start of "Bayesian Networks and Decision Graphs" as quoted in lecture slides: plugs .3,
  // ignition .2, other .5; plugs 4; ignition 2, works half the time, one try; do everything 15. Printed: SP ALL 14.4
  // with IS second, IS first 14.6, everything at once 15; with a perfect test of the ignition for 0.5 first 13.1.
  Model m = single_fault({0.3, 0.2, 0.5});
  PlanModel plan;
  const int plugs = add(plan, repair(4, {{0, 1}})), ignition = add(plan, repair(2, {{1, 0.5}}));
  const int test = add(plan, look(m, 1, 0.5, 1, 0));
  close(plan, 0, 15);
  PlanState tested = fresh(m);
  tested.settled[0] = 1;  // no test
  EXPECT_NEAR(cost_to_go(plan, m, {}, tested), 14.4, kPrinted);
  const Advice without = advise(plan, believe(m, {}), tested);
  EXPECT_EQ(option_of(without, test), nullptr);
  ASSERT_NE(option_of(without, ignition), nullptr);
  EXPECT_NEAR(option_of(without, ignition)->value, 14.6, kPrinted);
  ASSERT_NE(option_of(without, plugs), nullptr);
  EXPECT_EQ(without.options.front().step, plugs);
  EXPECT_NEAR(without.options.front().value, 14.4, kPrinted);
  const Advice with = advise(plan, believe(m, {}), fresh(m));
  EXPECT_EQ(with.options.front().step, test);
  EXPECT_NEAR(with.options.front().value, 13.1, kPrinted);
}

TEST(PlanRepair, WhatIsListedAfterARepairThatMayFail) {
  const Model m = single_fault({0.8, 0.2});
  const PlanModel plan = plain_repairs({10, 10}, 100, {0.5, 1});
  const Advice a = advise(plan, believe(m, {}), fresh(m));
  const Option* o = option_of(a, 0);
  ASSERT_NE(o, nullptr);
  ASSERT_EQ(o->outcomes.size(), 2u);
  EXPECT_NEAR(o->chance_ends, 0.4, kPrinted);
  const Outcome& bad = o->outcomes[o->outcomes[0].gone ? 1 : 0];
  EXPECT_NEAR(bad.probability, 0.6, kPrinted);
  EXPECT_EQ(bad.leader, 0);  // .4 of .6: not put right
  EXPECT_NEAR(bad.leader_probability, 0.4 / 0.6, kFloat);
  EXPECT_NEAR(o->value, 10 + bad.probability * bad.minutes_to_go, 1e-3);
}

TEST(PlanRepair, AKnownGoodPart) {
  // Labour 12, run 5, part 180, swapping back 8, chance .35. Printed: 85.2 against 197 for buy and fit. The planner
  // takes the same minutes for in and out, so 4 of the 12 are written as a cover that comes off and goes on once.
  const Model m = single_fault({0.35, 0.65});
  PlanModel plan;
  plan.access = Access({{2, 2, 0, {}}});
  PlanStep buy = repair(8, {{0, 1}}, {0});
  buy.money = 180;
  PlanStep swap = buy;
  swap.act = Act::swap;
  const int swapped = add(plan, swap), bought = add(plan, buy);
  close(plan, 5, 100, {0});
  const Advice a = advise(plan, believe(m, {}), fresh(m));
  for (auto [step, want] : {std::pair(swapped, 85.2), {bought, 197.0}}) {
    const Option* o = option_of(a, step);
    ASSERT_NE(o, nullptr);
    double to_go = 0;
    for (const Outcome& x : o->outcomes) to_go += x.probability * x.minutes_to_go;
    EXPECT_NEAR(o->value - to_go, want, kPrinted);
    EXPECT_NEAR(o->chance_ends, 0.35, kPrinted);
  }
  PlanModel dear = plan;
  dear.minutes_per_money = 0.5;  // an hour worth twice as much
  const Advice b = advise(dear, believe(m, {}), fresh(m));
  EXPECT_NEAR(option_of(b, swapped)->value - option_of(a, swapped)->value, -0.5 * 0.35 * 180, kPrinted);
}

// How far an advice stands. Two faults, repairs of 10 minutes each: by hand, the likelier one goes first.

TEST(PlanStanding, TheLikelierFirstUpToEvenChances) {
  const Model m = single_fault({0.6, 0.4});
  const PlanModel plan = plain_repairs({10, 10});
  const Belief b = believe(m, {});
  const Advice a = advise(plan, b, fresh(m));
  ASSERT_EQ(a.options.front().step, A);
  const Standing s = standing(plan, b, fresh(m), a);
  EXPECT_EQ(s.fault, A);
  EXPECT_NEAR(s.probability, 0.6, kFloat);
  EXPECT_NEAR(s.from, 0.5, 0.04);
  EXPECT_EQ(s.to, 1);
  EXPECT_EQ(advise(plan, b, fresh(m), {A, 0.6}).options.front().step, B);  // .36 against .4
  // A first costs 10 + .4 * 10, B first 10 + .6 * 10.
  EXPECT_NEAR(worth_up_to(a, 1), 10 + 2, kFloat);
}

TEST(PlanStanding, WhatIsOffSaves) {
  const Model m = single_fault({0.5, 0.5});
  PlanModel plan;
  plan.access = Access({{7, 3, 0, {}}});
  add(plan, repair(4, {{0, 1}}, {0}));
  add(plan, repair(4, {{1, 1}}));
  close(plan, 5, 100, {0});
  PlanState state = fresh(m);
  const Advice whole = advise(plan, believe(m, {}), state);
  EXPECT_EQ(saved_by_what_is_off(plan, state, *option_of(whole, 0)).minutes, 0);
  state.off = Access::bit(0);
  const Advice open = advise(plan, believe(m, {}), state);
  EXPECT_NEAR(saved_by_what_is_off(plan, state, *option_of(open, 0)).minutes, 7, kPrinted);
  EXPECT_EQ(saved_by_what_is_off(plan, state, *option_of(open, 1)).minutes, 0);
}

}  // namespace
}  // namespace crankwise
