// Repairs, runs and parts put back: cases small enough to do by hand.
#include <gtest/gtest.h>

#include <cmath>

#include "core/belief/belief.h"
#include "core/belief/priors.h"

namespace crankwise {
namespace {

constexpr double kPrinted = 1e-6;
constexpr double kFloat = 2e-6;

/// Faults with the given odds, complaint certain, no run ever wrong.
Model sure_model(const std::vector<double>& odds) {
  Model m;
  for (double r : odds) m.faults.push_back({r, 1});
  m.nothing_wrong = 0;
  m.false_trouble = 0;
  return m;
}

TEST(Repair, CleanRunsProveTheFix) {
  // Chance .3 that the fault is still there, then one, two, three clean runs of which a bad bike passes .2 (.5).
  // Derived for this project by Bayes' rule.
  for (auto [shows, want] : {std::pair(0.8, std::vector<double>{0.3, 0.078947, 0.016854, 0.003417}),
                             {0.5, std::vector<double>{0.3, 0.176471, 0.096774, 0.050847}}}) {
    Model m = sure_model({0.1});
    m.faults[0].shows = shows;
    std::vector<Happening> history{Repaired{{{0, 0.7}}}};
    for (double still : want) {
      const Belief b = believe(m, history);
      EXPECT_NEAR(b.still_there()[0], still, kPrinted) << history.size() - 1 << " clean runs";
      EXPECT_NEAR(b.nothing_left(), 1 - still, kPrinted);
      EXPECT_NEAR(b.there_at_start()[0], 1, kPrinted);
      history.emplace_back(Ran{RunResult::gone});
    }
  }
}

TEST(Repair, SwapBackReversal) {
  // Known good part in: gone. Old part in: the trouble is back. Good part in: gone. Another cause does the same by
  // coincidence with the chance .05 = s (1 - s). Weight of evidence 10 lg(1 / .05) = 13.010 dB; .7 becomes .979021.
  Model m = sure_model({0.7, 0.3});
  m.exclusive = {{0, 1}};
  m.faults[1].shows = (1 - std::sqrt(0.8)) / 2;
  std::vector<Happening> history{Repaired{{{0, 1}}}};
  const double before = believe(m, history).there_at_start()[0];
  EXPECT_NEAR(before, 0.7, kPrinted);
  history.insert(history.end(), {PutBack{{0}}, Ran{RunResult::same}});
  EXPECT_GT(believe(m, history).still_there()[0], 0.9);
  history.insert(history.end(), {Repaired{{{0, 1}}}, Ran{RunResult::gone}});
  const Belief b = believe(m, history);
  const double after = b.there_at_start()[0];
  EXPECT_NEAR(after, 0.979021, kPrinted);
  EXPECT_NEAR(10 * std::log10(after / (1 - after) * (1 - before) / before), 13.010, 1e-3);
  EXPECT_NEAR(b.still_there()[0], 0, kPrinted);
}

TEST(Repair, AFailedRunRemovesWhatTheRepairExplains) {
  Model m = sure_model({0.3, 0.1, 0.05});
  m.findings = {{0.01, {{0, 0.95}}, {}, -1}};
  const std::vector<Happening> history{Answered{0, Answer::yes}, Repaired{{{0, 1}}}, Ran{RunResult::same}};
  const Belief suspected = believe(m, std::span(history).first(1));
  EXPECT_GT(suspected.still_there()[0], 0.95);
  const Belief b = believe(m, history);
  EXPECT_NEAR(b.still_there()[0], 0, kFloat);
  EXPECT_NEAR(b.nothing_left(), 0, kFloat);
  EXPECT_NEAR(b.alone_now()[0], 0, kFloat);
  EXPECT_GT(b.still_there()[1], 2.0 / 3 * 0.95);
  for (const auto& s : b.sets(20)) {
    ASSERT_FALSE(s.remaining.empty());
    EXPECT_NE(s.remaining.front(), 0);
  }
}

TEST(Repair, BetterButNotRightSpeaksForTwoFaults) {
  Model m = sure_model({0.2, 0.1, 0.1});
  m.false_trouble = 0.01;
  std::vector<Happening> history{Repaired{{{0, 1}}}, Ran{RunResult::better}};
  const auto two_at_start = [&] {
    double p = 0;
    for (const auto& s : believe(m, history).sets(100)) p += s.faults.size() > 1 ? s.probability : 0;
    return p;
  };
  const Belief better = believe(m, history);
  const double two_if_better = two_at_start();
  history.back() = Ran{RunResult::same};
  const Belief same = believe(m, history);
  EXPECT_GT(two_if_better, 2 * two_at_start());
  EXPECT_GT(better.there_at_start()[0], 2 * same.there_at_start()[0]);
  // Odds of "was one of the two" grow by better_if_cured / better_if_not over its complement.
  const auto odds = [](const Belief& b) { return b.there_at_start()[0] / (1 - b.there_at_start()[0]); };
  EXPECT_NEAR(odds(better) / odds(same), (0.5 / 0.06) / (0.5 / 0.94), 1e-4);
}

TEST(Repair, BetterCountsOnlyWhatWasDoneSinceTheLastRun) {
  Model m = sure_model({0.2, 0.1});
  const std::vector<Happening> once{Repaired{{{0, 1}}}, Ran{RunResult::same}};
  const std::vector<Happening> twice{Repaired{{{0, 1}}}, Ran{RunResult::same}, Ran{RunResult::better}};
  EXPECT_NEAR(believe(m, once).there_at_start()[0], believe(m, twice).there_at_start()[0], kFloat);
}

TEST(Repair, AnUncertainRepairSplitsItsFault) {
  // One fault, two tries of .6 and .5, bad run after each: what is left is "never".
  Model m = sure_model({0.1, 0.1});
  m.better_if_cured = m.better_if_not = 0;
  m.exclusive = {{0, 1}};
  std::vector<Happening> history{Repaired{{{0, 0.6}}}};
  EXPECT_NEAR(believe(m, history).still_there()[0], 0.5 * 0.4, kPrinted);
  history.emplace_back(Ran{RunResult::same});
  EXPECT_NEAR(believe(m, history).still_there()[0], 0.4 / 1.4, kPrinted);
  history.emplace_back(Repaired{{{0, 0.5}}});
  EXPECT_NEAR(believe(m, history).still_there()[0], 0.2 / 1.4, kPrinted);
  EXPECT_NEAR(believe(m, history).nothing_left(), 0.2 / 1.4, kPrinted);
  history.emplace_back(Ran{RunResult::same});
  EXPECT_NEAR(believe(m, history).still_there()[0], 0.2 / 1.2, kPrinted);
}

TEST(Repair, ASetIsListedWithItsWholeWeight) {
  // Six tries on one fault: however it was put right, to the mechanic it is one set.
  Model m = sure_model({0.4, 0.1});
  m.exclusive = {{0, 1}};
  std::vector<Happening> history;
  for (int k = 0; k < 6; ++k) history.emplace_back(Repaired{{{0, 0.2}}});
  const double put_right = 0.8 * (1 - std::pow(0.8, 6));
  for (size_t count : {1u, 2u, 10u}) {
    const auto sets = believe(m, history).sets(count);
    ASSERT_FALSE(sets.empty());
    EXPECT_EQ(sets[0].faults, std::vector<int>{0});
    EXPECT_TRUE(sets[0].remaining.empty());
    EXPECT_NEAR(sets[0].probability, put_right, kFloat) << count << " asked for";
  }
}

TEST(PutBack, TheFaultIsBack) {
  Model m = sure_model({0.2, 0.1});
  m.findings = {{0.01, {{0, 0.9}}, {}, -1}};
  const std::vector<Happening> history{Repaired{{{0, 1}}}, PutBack{{0}}};
  const Belief b = believe(m, history), never = believe(m, {});
  EXPECT_EQ(b.still_there(), never.still_there());
  EXPECT_NEAR(b.chance_so(m.findings[0]), never.chance_so(m.findings[0]), kFloat);
  EXPECT_NEAR(b.nothing_left(), 0, kFloat);
}

TEST(PutBack, OnlyWhatTheLastRepairCuredIsBack) {
  // Cleaned with the chance .7 of success, then swapped for a known good part, then the cleaned part put back in.
  const Model m = sure_model({0.2});
  const std::vector<Happening> history{Repaired{{{0, 0.7}}}, Repaired{{{0, 1}}}, PutBack{{0}}};
  EXPECT_NEAR(believe(m, history).still_there()[0], 0.3, kPrinted);
}

TEST(PutBack, TheNextRepairHasItsOwnChance) {
  // A known good part cured it, the old one went back in and is cleaned with the chance .6 of success.
  const Model m = sure_model({0.2});
  std::vector<Happening> history{Repaired{{{0, 1}}}, Ran{RunResult::gone}, PutBack{{0}}, Repaired{{{0, 0.6}}}};
  EXPECT_NEAR(believe(m, history).still_there()[0], 0.4, kPrinted);
  history.emplace_back(Ran{RunResult::same});
  const Belief b = believe(m, history);
  EXPECT_FALSE(b.contradiction);
  EXPECT_NEAR(b.still_there()[0], 1, kPrinted);
}

TEST(PutBack, WithoutARepairNothingChanges) {
  const Model m = sure_model({0.2, 0.1});
  const std::vector<Happening> history{PutBack{{0}}};
  EXPECT_EQ(believe(m, history).still_there(), believe(m, {}).still_there());
}

TEST(Odds, FromShares) {
  // Equal shares of 100 faults and the part of the bikes with two or more; derived for this project.
  const std::vector<double> shares(100, 3.0);  // need not sum to one
  for (auto [multiple, lambda] : {std::pair(0.05, 0.1028), {0.10, 0.2094}, {0.20, 0.4358}}) {
    const auto odds = odds_from_shares(shares, multiple);
    EXPECT_NEAR(odds[0] * 100, lambda, 5e-5);
    EXPECT_NEAR(odds[99], odds[0], 1e-15);
  }
  const auto uneven = odds_from_shares(std::vector<double>{6, 3, 1}, 0.1);
  EXPECT_NEAR(uneven[0] / uneven[2], 6, 1e-9);
  double none = 1, total = 0;
  for (double r : uneven) none /= 1 + r, total += r;
  EXPECT_NEAR((1 - none - none * total) / (1 - none), 0.1, 1e-9);
}

}  // namespace
}  // namespace crankwise
