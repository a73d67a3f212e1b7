// Many repairs that work only sometimes: as exact as ever, and no dearer for their number.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/belief/belief.h"
#include "tests/oracle.h"
#include "tests/random_case.h"

namespace crankwise {
namespace {

constexpr double kFloat = 2e-6;  // the weights of three faults are floats

/// Broad repairs, parts that go back out, runs and looks, in any order. At most `coins` cures may fail.
RandomCase repaired_case(unsigned seed, int coins, bool sure_too) {
  Dice dice(seed);
  CaseKind kind;
  kind.least_faults = 2, kind.most_faults = 6;
  RandomCase c{random_model(dice, kind), {}};
  const int n = static_cast<int>(c.model.faults.size());
  const auto some = [&] {
    std::vector<int> faults;
    for (int f = 0; f < n; ++f) {
      if (dice.chance(0.5)) faults.push_back(f);
    }
    return faults;
  };
  for (int k = dice.whole(6, 22); k > 0; --k) {
    const double what = dice.share();
    if (what < 0.3) {
      Repaired r;
      for (int f : some()) {
        const bool sure = sure_too && dice.chance(0.3);
        if (!sure && coins-- <= 0) continue;
        r.cures.push_back({f, sure ? static_cast<double>(dice.whole(0, 1)) : dice.between(0.05, 0.98)});
        if (dice.chance(0.1)) r.cures.push_back({r.cures.front().fault, 1});  // the same fault twice
      }
      c.history.emplace_back(std::move(r));
    } else if (what < 0.5) {
      c.history.emplace_back(PutBack{some()});
    } else if (what < 0.75) {
      c.history.emplace_back(Ran{static_cast<RunResult>(dice.whole(0, 2))});
    } else {
      const int finding = dice.whole(0, static_cast<int>(c.model.findings.size()) - 1);
      c.history.emplace_back(Answered{finding, static_cast<Answer>(dice.whole(0, 2))});
    }
  }
  return c;
}

TEST(ManyRepairs, AsJudged) {
  int judged = 0, moved = 0;
  for (unsigned seed = 1; seed <= 1000; ++seed) {
    const RandomCase c = repaired_case(seed, 9, seed % 2 == 0);
    const Belief b = believe(c.model, c.history);
    const oracle::Truth truth(c.model, c.history, 3);
    ASSERT_EQ(b.contradiction, truth.contradiction()) << "seed " << seed << ": " << in_words(c);
    if (b.contradiction) continue;
    ++judged;
    moved += b.there_at_start() != b.still_there();
    const Difference d = difference(b, truth);
    ASSERT_LT(d.size, kFloat) << "seed " << seed << ": " << d.where << "; " << in_words(c);
  }
  EXPECT_GT(judged, 900);
  EXPECT_GT(moved, 600);
}

TEST(ManyRepairs, TheBoundHoldsAcrossThem) {
  for (unsigned seed = 1; seed <= 150; ++seed) {
    RandomCase c = repaired_case(seed, 6, true);
    if (c.model.faults.size() < 5) continue;
    for (FaultModel& f : c.model.faults) f.odds = std::min(1.0, 3 * f.odds);
    const Belief b = believe(c.model, c.history);
    const oracle::Truth truth(c.model, c.history, 32);
    if (b.contradiction || truth.contradiction()) continue;
    ASSERT_LE(truth.more_than(3), b.left_out() * (1 + 1e-5) + 1e-9) << "seed " << seed << ": " << in_words(c);
  }
}

/// Forty faults that every one of `repairs` repairs may cure, each repair followed by a failed run and a look.
RandomCase broad(int repairs, bool swaps) {
  Dice dice(3);
  CaseKind kind;
  kind.least_faults = kind.most_faults = 40;
  kind.greatest_odds = 0.05;
  RandomCase c{random_model(dice, kind), {}};
  for (int k = 0; k < repairs; ++k) {
    Repaired r;
    PutBack p;
    for (int f = 0; f < 40; ++f) r.cures.push_back({f, 0.02 * f}), p.faults.push_back(f);
    c.history.emplace_back(std::move(r));
    c.history.emplace_back(Ran{RunResult::same});
    c.history.emplace_back(Answered{k % 3, Answer::unsure});
    if (swaps) c.history.emplace_back(std::move(p));
  }
  return c;
}

TEST(ManyRepairs, TheTableDoesNotGrow) {
  for (bool swaps : {false, true}) {
    const RandomCase c = broad(10, swaps);
    const Belief b = believe(c.model, c.history);
    EXPECT_EQ(b.table.faults(), 40);
    EXPECT_EQ(b.still_there().size(), 40u);
    // One set has at most eight ends: each of its faults there or not.
    EXPECT_LE(b.sets(1000000).size(), 8u * (1 + 40 + 40 * 39 / 2 + 40 * 39 * 38 / 6));
  }
}

TEST(ManyRepairs, StartAndEndAgree) {
  // The chances at the start come from a reading backwards, those of now from one forwards; the list of sets holds
  // both.
  for (bool swaps : {false, true}) {
    const RandomCase c = broad(4, swaps);
    const Belief b = believe(c.model, c.history);
    const auto start = b.there_at_start(), now = b.still_there(), alone = b.alone_now();
    std::vector<double> set_start(40), set_now(40), set_alone(40);
    double nothing = 0;
    for (const Belief::Set& s : b.sets(1000000)) {
      for (int f : s.faults) set_start[static_cast<size_t>(f)] += s.probability;
      for (int f : s.remaining) set_now[static_cast<size_t>(f)] += s.probability;
      if (s.remaining.size() == 1) set_alone[static_cast<size_t>(s.remaining[0])] += s.probability;
      if (s.remaining.empty()) nothing += s.probability;
    }
    for (size_t f = 0; f < 40; ++f) {
      EXPECT_NEAR(start[f], set_start[f], 5 * kFloat) << f;
      EXPECT_NEAR(now[f], set_now[f], 5 * kFloat) << f;
      EXPECT_NEAR(alone[f], set_alone[f], 5 * kFloat) << f;
    }
    EXPECT_NEAR(b.nothing_left(), nothing, 5 * kFloat);
  }
}

TEST(ManyRepairs, InAndOutAgainAndAgain) {
  // A part swapped in and taken out twenty times: exact for every try.
  Model m;
  m.faults = {{0.2, 0.98}, {0.1, 0.9}};
  m.findings = {{0.01, {{0, 0.9}}, {}, -1}};
  std::vector<Happening> history;
  for (int k = 0; k < 20; ++k) {
    history.emplace_back(Repaired{{{0, 0.6}}});
    history.emplace_back(Answered{0, Answer::unsure});
    history.emplace_back(PutBack{{0}});
  }
  // While it is in, 0.6 of the bikes with the fault answer as those without; each time on its own.
  const AnswerRates r;
  const auto chance = [&](double so) { return so * r.unsure_if_so + (1 - so) * r.unsure_if_not; };
  const double without = chance(0.01), with = chance(1 - 0.99 * 0.1);
  const double ratio = std::pow(0.6 + 0.4 * with / without, 20);
  const double none = m.nothing_wrong + 0.1, there = 0.2 * (1 + 0.1) * ratio;
  EXPECT_NEAR(believe(m, history).still_there()[0], there / (there + none), kFloat);
}

}  // namespace
}  // namespace crankwise
