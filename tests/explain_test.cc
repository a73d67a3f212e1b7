// Weights of evidence and conflict, against hand calculation, and how they read.
//
// "Printed" numbers were derived for this project by exhaustive summation with a program of its own.
#include "core/belief/explain.h"

#include <gtest/gtest.h>

#include <cmath>

#include "app/explain.h"
#include "tests/oracle.h"
#include "tests/published_nets.h"
#include "tests/random_case.h"

namespace crankwise {
namespace {

constexpr double kPrinted = 1e-6;
constexpr double kDecibans = 1e-3;  // printed with three digits
constexpr AnswerRates kPerfect{1, 0, 0, 0};

double weight_of(const Model& m, const std::vector<Happening>& history, int fault, size_t happening) {
  for (const EvidenceWeight& w : weigh_evidence(m, history, fault)) {
    if (w.happening == happening) return w.db;
  }
  ADD_FAILURE() << "happening " << happening << " is not weighed";
  return 0;
}

TEST(Decibans, OfOdds) {
  EXPECT_NEAR(decibans(0.5), 0, 1e-12);
  EXPECT_NEAR(decibans(0.2), -6.021, kDecibans);  // printed: 1 to 4
  EXPECT_NEAR(decibans(10.0 / 11), 10, 1e-9);
  EXPECT_NEAR(decibans(1.0 / 101), -20, 1e-9);
  EXPECT_NEAR(decibans(0), -90, 1e-6);  // held at one in 10^9
  EXPECT_NEAR(decibans(1), 90, 1e-6);
}

TEST(Decibans, OneAnswerAfterTheOther) {
  // Printed: prior .2; ratios .80/.30, .60/.15, .70/.20.
  double p = 0.2;
  for (auto [ratio, db, after] :
       {std::tuple(0.80 / 0.30, 4.260, 0.400000), {0.60 / 0.15, 6.021, 0.727273}, {0.70 / 0.20, 5.441, 0.903226}}) {
    EXPECT_NEAR(10 * std::log10(ratio), db, kDecibans);
    EXPECT_NEAR(decibans(after) - decibans(p), db, kDecibans);
    p = after_weight(p, 10 * std::log10(ratio));
    EXPECT_NEAR(p, after, kPrinted);
  }
}

TEST(Decibans, AfterWeight) {
  EXPECT_NEAR(after_weight(0.7, 10 * std::log10(1 / 0.05)), 0.979021,
              kPrinted);  // a part swapped back and again, printed
  EXPECT_NEAR(after_weight(0.7, 13.010), 0.979021, 2e-5);
  EXPECT_NEAR(after_weight(0.5, 3), 1 / (1 + std::pow(10, -0.3)), 1e-12);
  for (double p : {0.001, 0.3, 0.5, 0.97}) {
    EXPECT_NEAR(after_weight(p, 0), p, 1e-12);
    EXPECT_NEAR(after_weight(after_weight(p, 7.5), -7.5), p, 1e-12);
  }
}

TEST(EvidenceWeights, IndependentReadingsAddUp) {
  // One of two faults, .2 and .8; three readings that speak about the first with the ratios above.
  Model m;
  m.faults = {{0.2, 1}, {0.8, 1}};
  m.exclusive = {{0, 1}};
  m.findings.assign(3, {0, {{0, 1}}, kPerfect, -1});
  m.nothing_wrong = 0;
  const std::vector<Happening> history{Measured{0, 0.80, 0.30}, Measured{1, 0.60, 0.15}, Measured{2, 0.70, 0.20}};
  ASSERT_NEAR(believe(m, history).still_there()[0], 0.903226, kPrinted);
  const auto weights = weigh_evidence(m, history, 0), against = weigh_evidence(m, history, 1);
  ASSERT_EQ(weights.size(), 3u);
  const std::vector<double> printed{4.260, 6.021, 5.441};
  for (size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(weights[i].happening, i);
    EXPECT_NEAR(weights[i].db, printed[i], kDecibans);
    EXPECT_NEAR(against[i].db, -weights[i].db, 1e-5);
  }
}

TEST(EvidenceWeights, ExplainingAway) {
  // A finding can speak for a fault alone and against it beside another. Printed: e2 alone +2.611 dB for A, but -5.610
  // dB once e1 is known. Network: e1 is shown by A (.9) and B (.8), e2 by A (.1) and B (.9), leaks .02, P(B) = .1.
  Model m;
  m.faults = {{0.1 / 0.9, 1}, {0.1 / 0.9, 1}};
  m.findings = {{0.02, {{0, 0.9}, {1, 0.8}}, kPerfect, -1}, {0.02, {{0, 0.1}, {1, 0.9}}, kPerfect, -1}};
  m.nothing_wrong = 1;  // no complaint to explain
  EXPECT_NEAR(weight_of(m, {Answered{1, Answer::yes}}, 0, 0), 2.611, kDecibans);
  EXPECT_NEAR(weight_of(m, {Answered{0, Answer::yes}, Answered{1, Answer::yes}}, 0, 1), -5.610, kDecibans);
  EXPECT_NEAR(weight_of(m, {Answered{1, Answer::yes}, Answered{0, Answer::yes}}, 0, 0), -5.610, kDecibans);
  // The judge, from the tables.
  const auto net = nets::as_network(m);  // faults 0, 1; findings 2, 3
  const auto db = [&](const oracle::Network::Evidence& e) { return decibans(net.posterior(0, 1, e)); };
  EXPECT_NEAR(db({{3, 1}}) - db({}), 2.611, kDecibans);
  EXPECT_NEAR(db({{2, 1}, {3, 1}}) - db({{2, 1}}), -5.610, kDecibans);
}

TEST(EvidenceWeights, InTheThreeFaultNetwork) {
  // By leaving out, from the posteriors that are printed for it: o1 .72617825, o1 o2 .34743201, all three .75377182.
  const Model m = nets::three_faults();
  const std::vector<Happening> two{Answered{0, Answer::yes}, Answered{1, Answer::yes}};
  std::vector<Happening> three = two;
  three.emplace_back(Answered{2, Answer::yes});
  EXPECT_NEAR(weight_of(m, {Answered{1, Answer::yes}}, 0, 0), 0, kDecibans);  // nothing to do with it, alone
  EXPECT_NEAR(weight_of(m, two, 0, 1), decibans(0.34743201) - decibans(0.72617825), kDecibans);
  EXPECT_NEAR(weight_of(m, two, 0, 0), decibans(0.34743201) - decibans(0.05), kDecibans);
  EXPECT_NEAR(weight_of(m, three, 0, 2), decibans(0.75377182) - decibans(0.34743201), kDecibans);
}

TEST(EvidenceWeights, AreLeaveOneOutForAnyJob) {
  int judged = 0;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    CaseKind kind;
    kind.most_faults = 6;
    kind.happenings = 8;
    const RandomCase c = random_case(seed, kind);
    size_t weighed = 0;
    for (const Happening& h : c.history) {
      weighed +=
          std::holds_alternative<Answered>(h) || std::holds_alternative<Measured>(h) || std::holds_alternative<Ran>(h);
    }
    const auto weights = weigh_evidence(c.model, c.history, 0);
    ASSERT_EQ(weights.size(), weighed) << in_words(c);
    const oracle::Truth all(c.model, c.history, 3);
    for (const EvidenceWeight& w : weights) {
      std::vector<Happening> without = c.history;
      without.erase(without.begin() + static_cast<std::ptrdiff_t>(w.happening));
      const oracle::Truth rest(c.model, without, 3);
      const double p = all.still_there()[0], q = rest.still_there()[0];
      if (all.contradiction() || rest.contradiction() || std::min(p, q) < 1e-4 || std::max(p, q) > 1 - 1e-4) continue;
      ASSERT_NEAR(w.db, decibans(p) - decibans(q), 0.1)
          << "seed " << seed << ", happening " << w.happening << in_words(c);
      ++judged;
    }
  }
  EXPECT_GT(judged, 80);
}

TEST(EvidenceWeights, WhatSaysNothingWeighsNothing) {
  Model m;
  m.faults = {{0.2, 1}, {0.3, 1}};
  m.findings.assign(2, {0.05, {{0, 0.8}}, {0.9, 0.05, 0.1, 0.1}, -1});
  const std::vector<Happening> history{Answered{0, Answer::unsure}, Answered{1, Answer::yes}, Answered{1, Answer::yes}};
  const auto weights = weigh_evidence(m, history, 0);
  ASSERT_EQ(weights.size(), 3u);
  EXPECT_NEAR(weights[0].db, 0, 1e-4);  // unsure either way alike
  EXPECT_NEAR(weights[1].db, 0, 1e-4);  // said twice, counts once
  EXPECT_NEAR(weights[2].db, 0, 1e-4);
  EXPECT_GT(weight_of(m, {Answered{1, Answer::yes}}, 0, 0), 3);
}

TEST(EvidenceWeights, RunsAreWeighedAndRepairsAreNot) {
  Model m;
  m.faults = {{0.5, 0.8}, {0.5, 0.8}};
  m.exclusive = {{0, 1}};
  m.nothing_wrong = m.false_trouble = 0;
  m.better_if_cured = m.better_if_not = 0;
  const std::vector<Happening> history{Repaired{{{0, 0.5}}}, Ran{RunResult::gone}};
  const auto weights = weigh_evidence(m, history, 1);
  ASSERT_EQ(weights.size(), 1u);
  EXPECT_EQ(weights[0].happening, 1u);
  // The second fault is there with .5; a clean run is then .2 likely, else (half put right, half still there) .6.
  EXPECT_NEAR(weights[0].db, 10 * std::log10(0.2 / 0.6), 1e-4);
}

// Conflict: log2 of the product of the chances of the findings over the chance of them all (Jensen's measure, from
// memory). One of two faults, even chances; three looks, two at the first fault, one at the second, each right in nine
// of ten. Two that agree: .25 / .41; two that cannot both be: .25 / .09. By hand.
struct Conflict : testing::Test {
  Model m;
  Conflict() {
    m.faults = {{0.5, 1}, {0.5, 1}};
    m.exclusive = {{0, 1}};
    m.findings.assign(3, {0, {{0, 1}}, {0.9, 0.1, 0, 0}, -1});
    m.findings[2].links[0].fault = 1;
    m.nothing_wrong = 0;
  }
};

TEST_F(Conflict, SignTellsAgreementFromContradiction) {
  const Answered first{0, Answer::yes}, again{1, Answer::yes}, other{2, Answer::yes}, not_other{2, Answer::no};
  EXPECT_NEAR(conflict_bits(m, std::vector<Happening>{first, again}), std::log2(0.25 / 0.41), 1e-5);
  EXPECT_NEAR(conflict_bits(m, std::vector<Happening>{first, not_other}), std::log2(0.25 / 0.41), 1e-5);
  EXPECT_NEAR(conflict_bits(m, std::vector<Happening>{first, other}), std::log2(0.25 / 0.09), 1e-5);
  // Two against one: .125 over (.9 .9 .1 + .1 .1 .9) / 2.
  EXPECT_NEAR(conflict_bits(m, std::vector<Happening>{first, again, other}), std::log2(0.125 / 0.045), 1e-5);
}

TEST_F(Conflict, NeedsTwoFindings) {
  EXPECT_EQ(conflict_bits(m, std::vector<Happening>{}), 0);
  EXPECT_EQ(conflict_bits(m, std::vector<Happening>{Answered{0, Answer::yes}}), 0);
  EXPECT_EQ(conflict_bits(m, std::vector<Happening>{Answered{0, Answer::yes}, Ran{RunResult::same}}), 0);
}

TEST_F(Conflict, EndsWithTheFirstRepair) {
  std::vector<Happening> history{Answered{0, Answer::yes}, Measured{1, 0.9, 0.1}, Repaired{{{0, 1}}}};
  const double before = conflict_bits(m, history);
  EXPECT_NEAR(before, std::log2(0.25 / 0.41), 1e-5);  // a reading counts like an answer
  history.emplace_back(Answered{2, Answer::yes});     // of what is there now: no contradiction
  EXPECT_NEAR(conflict_bits(m, history), before, 1e-9);
}

TEST_F(Conflict, OfThingsThatHaveNothingToDoWithEachOther) {
  Model apart;
  apart.faults = {{0.3, 1}, {0.2, 1}};
  apart.findings = {{0.05, {{0, 0.8}}, {0.9, 0.1, 0, 0}, -1}, {0.02, {{1, 0.7}}, {0.9, 0.1, 0, 0}, -1}};
  apart.nothing_wrong = 1;  // no complaint: the faults are independent
  EXPECT_NEAR(conflict_bits(apart, std::vector<Happening>{Answered{0, Answer::yes}, Answered{1, Answer::no}}), 0, 1e-5);
}

TEST(WeightInWords, Thresholds) {
  // 3 dB doubles the odds, 10 dB are ten times; below 1 dB it is left alone. Common practice with decibans.
  for (auto [db, words] : {std::pair(0.0, "hardly changes it"),
                           {1.0, "hardly changes it"},
                           {-1.0, "hardly changes it"},
                           {1.1, "a little likelier"},
                           {-1.1, "a little less likely"},
                           {2.2, "a little likelier"},
                           {2.4, "about doubles it"},
                           {3.0, "about doubles it"},
                           {-3.0, "about halves it"},
                           {3.9, "about doubles it"},
                           {4.1, "about 2.6 times likelier"},
                           {5.0, "about 3.2 times likelier"},
                           {-5.0, "about 3.2 times less likely"},
                           {6.021, "about 4 times likelier"},
                           {10.0, "about 10 times likelier"},
                           {-13.0103, "about 20 times less likely"},
                           {19.9, "about 98 times likelier"},
                           {20.1, "all but proves it"},
                           {-20.1, "all but rules it out"},
                           {90.0, "all but proves it"}}) {
    EXPECT_EQ(weight_in_words(db), words) << db << " dB";
  }
}

}  // namespace
}  // namespace crankwise
