// The belief against its judges on random jobs, and what must hold whatever the numbers are.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/belief/belief.h"
#include "tests/oracle.h"
#include "tests/random_case.h"

namespace crankwise {
namespace {

constexpr double kFloat = 2e-6;  // the weights of three faults are floats

double logit(double p) { return std::log(p / (1 - p)); }

void expect_as_judged(const CaseKind& kind, unsigned seeds) {
  int judged = 0;
  for (unsigned seed = 1; seed <= seeds; ++seed) {
    const RandomCase c = random_case(seed, kind);
    const Belief b = believe(c.model, c.history);
    const oracle::Truth truth(c.model, c.history, 3);
    ASSERT_EQ(b.contradiction, truth.contradiction()) << "seed " << seed << ": " << in_words(c);
    if (b.contradiction) continue;
    ++judged;
    const Difference d = difference(b, truth);
    ASSERT_LT(d.size, kFloat) << "seed " << seed << ": " << d.where << "; " << in_words(c);
  }
  EXPECT_GT(judged, static_cast<int>(seeds) / 2);
}

TEST(BeliefJudged, Answers) {
  CaseKind kind;
  kind.repairs = kind.runs = kind.groups = kind.exclusive = false;
  expect_as_judged(kind, 400);
}

TEST(BeliefJudged, AnswersAndExclusivePairs) {
  CaseKind kind;
  kind.repairs = kind.runs = kind.groups = false;
  expect_as_judged(kind, 400);
}

TEST(BeliefJudged, SharedErrors) {
  CaseKind kind;
  kind.repairs = kind.runs = false;
  expect_as_judged(kind, 400);
}

TEST(BeliefJudged, RepairsAndRuns) {
  CaseKind kind;
  kind.groups = false;
  kind.happenings = 18;
  expect_as_judged(kind, 600);
}

TEST(BeliefJudged, AnythingThatCouldBe) { expect_as_judged({}, 600); }

TEST(BeliefJudged, AnythingAtAll) {
  CaseKind kind;
  kind.real = false;
  expect_as_judged(kind, 600);
}

TEST(BeliefJudged, WithoutAnyError) {
  CaseKind kind;
  kind.perfect = true;
  expect_as_judged(kind, 400);
}

TEST(BeliefJudged, PerfectAnswersAsQuickscoreHasThem) {
  CaseKind kind;
  kind.perfect = true;
  kind.repairs = kind.runs = kind.exclusive = kind.groups = false;
  for (int n : {1, 2, 3, 12}) {
    kind.least_faults = kind.most_faults = n;
    for (unsigned seed = 1; seed <= 60; ++seed) {
      RandomCase c = random_case(seed, kind);
      c.model.nothing_wrong = 1;
      std::vector<int> said(c.model.findings.size(), -1), present, absent;
      for (const Happening& h : c.history) {
        const auto& a = std::get<Answered>(h);
        said[static_cast<size_t>(a.finding)] = a.answer == Answer::yes;
      }
      for (size_t f = 0; f < said.size(); ++f) {
        if (said[f] >= 0) (said[f] ? present : absent).push_back(static_cast<int>(f));
      }
      const oracle::Quickscore exact = oracle::quickscore(c.model, present, absent);
      const oracle::Truth truth(c.model, c.history, n);
      const Belief b = believe(c.model, c.history);
      if (!(exact.evidence > 1e-9) || b.contradiction) continue;
      const double allowed = (n <= 3 ? 0 : b.left_out()) + kFloat;
      EXPECT_NEAR(truth.evidence() / exact.evidence, 1, 1e-5) << "seed " << seed;
      const auto have = b.still_there(), all_sets = truth.still_there();
      for (size_t i = 0; i < have.size(); ++i) {
        EXPECT_NEAR(have[i], exact.marginals[i], allowed) << n << " faults, seed " << seed << ": " << in_words(c);
        EXPECT_NEAR(all_sets[i], exact.marginals[i], 1e-5) << n << " faults, seed " << seed;
      }
      EXPECT_NEAR(std::exp(b.log_evidence()) / exact.evidence, 1, n <= 3 ? 1e-5 : 1) << "seed " << seed;
    }
  }
}

TEST(BeliefHolds, EverythingSumsToOne) {
  for (unsigned seed = 1; seed <= 200; ++seed) {
    const RandomCase c = random_case(seed, {});
    const Belief b = believe(c.model, c.history);
    double sum = 0, nothing = 0;
    std::vector<double> there(c.model.faults.size()), alone(there);
    for (const auto& s : b.sets(100000)) {
      sum += s.probability;
      nothing += s.remaining.empty() ? s.probability : 0;
      for (int f : s.remaining) there[static_cast<size_t>(f)] += s.probability;
      if (s.remaining.size() == 1) alone[static_cast<size_t>(s.remaining[0])] += s.probability;
    }
    EXPECT_NEAR(sum, 1, kFloat) << "seed " << seed;
    EXPECT_NEAR(nothing, b.nothing_left(), kFloat) << "seed " << seed;
    for (size_t f = 0; f < there.size(); ++f) {
      EXPECT_NEAR(there[f], b.still_there()[f], kFloat) << "seed " << seed;
      EXPECT_NEAR(alone[f], b.alone_now()[f], kFloat) << "seed " << seed;
      EXPECT_LE(b.still_there()[f], b.there_at_start()[f] + kFloat) << "seed " << seed;
    }
  }
}

TEST(BeliefHolds, ShortListsAreTheHeadOfLongOnes) {
  CaseKind kind;
  kind.happenings = 20;
  kind.uncertain_cures = 6;
  for (unsigned seed = 1; seed <= 200; ++seed) {
    const RandomCase c = random_case(seed, kind);
    const Belief b = believe(c.model, c.history);
    const auto all = b.sets(100000);
    for (size_t count : {1u, 3u, 10u}) {
      const auto some = b.sets(count);
      ASSERT_EQ(some.size(), std::min(count, all.size()));
      for (size_t k = 0; k < some.size(); ++k) {
        ASSERT_NEAR(some[k].probability, all[k].probability, kFloat) << "seed " << seed << ": " << in_words(c);
      }
    }
  }
}

TEST(BeliefHolds, TheOrderOfAnswersDoesNotMatter) {
  CaseKind kind;
  kind.repairs = kind.runs = false;
  for (unsigned seed = 1; seed <= 150; ++seed) {
    RandomCase first = random_case(seed, kind), then = first;
    // Three stretches of answers on different findings, with a repair and a run between.
    Dice dice(seed);
    std::vector<int> findings(first.model.findings.size());
    std::iota(findings.begin(), findings.end(), 0);
    first.history.clear(), then.history.clear();
    for (int stretch = 0; stretch < 3; ++stretch) {
      std::vector<Happening> some;
      for (int f : findings) {
        if (dice.chance(0.4))
          some.emplace_back(Answered{f, static_cast<Answer>(dice.whole(0, 2))});
        else if (dice.chance(0.2))
          some.emplace_back(Measured{f, dice.between(0.1, 1), dice.between(0.1, 1)});
      }
      first.history.insert(first.history.end(), some.begin(), some.end());
      for (size_t k = some.size(); k > 1; --k)
        std::swap(some[k - 1], some[static_cast<size_t>(dice.whole(0, static_cast<int>(k) - 1))]);
      then.history.insert(then.history.end(), some.begin(), some.end());
      // Every fault is tried, so that every finding with a link is a new look afterwards.
      Repaired all;
      for (size_t f = 0; f < first.model.faults.size(); ++f)
        all.cures.push_back({static_cast<int>(f), f == 0 ? 0.5 : 0});
      for (RandomCase* c : {&first, &then}) c->history.emplace_back(all), c->history.emplace_back(Ran{RunResult::same});
    }
    const Belief a = believe(first.model, first.history), b = believe(then.model, then.history);
    Difference d;
    for (size_t f = 0; f < a.still_there().size(); ++f) d.note(a.still_there()[f], b.still_there()[f], "still there");
    d.note(a.log_evidence(), b.log_evidence(), "log evidence");
    EXPECT_LT(d.size, 1e-5) << "seed " << seed << ": " << d.where << "; " << in_words(first);
  }
}

TEST(BeliefHolds, UndoneIsNeverDone) {
  for (unsigned seed = 1; seed <= 100; ++seed) {
    const RandomCase c = random_case(seed, {});
    std::vector<Happening> history = c.history;
    const Belief before = believe(c.model, history);
    history.emplace_back(Answered{0, Answer::yes});
    history.emplace_back(Repaired{{{0, 0.5}}});
    believe(c.model, history);
    history.resize(c.history.size());
    const Belief after = believe(c.model, history);
    EXPECT_EQ(before.still_there(), after.still_there()) << "seed " << seed;
    EXPECT_EQ(before.log_evidence(), after.log_evidence()) << "seed " << seed;
    EXPECT_EQ(before.left_out(), after.left_out()) << "seed " << seed;
  }
}

TEST(BeliefHolds, TheLastAnswerCounts) {
  CaseKind kind;
  kind.runs = false;
  kind.groups = false;
  for (unsigned seed = 1; seed <= 100; ++seed) {
    RandomCase c = random_case(seed, kind);
    c.history = {Answered{1, Answer::no}, Answered{0, Answer::yes}, Ran{RunResult::same}, Answered{0, Answer::unsure},
                 Answered{0, Answer::no}};
    const std::vector<Happening> last{Answered{1, Answer::no}, Ran{RunResult::same}, Answered{0, Answer::no}};
    const auto have = believe(c.model, c.history).still_there(), want = believe(c.model, last).still_there();
    for (size_t f = 0; f < have.size(); ++f) EXPECT_NEAR(have[f], want[f], kFloat) << "seed " << seed;
  }
}

TEST(BeliefHolds, ANewLookAfterARepairCountsAgain) {
  Model m;
  m.faults = {{0.1, 0.98}, {0.1, 0.98}};
  m.findings = {{0.01, {{0, 0.9}}, {}, -1}};
  const std::vector<Happening> unrelated{Answered{0, Answer::yes}, Repaired{{{1, 1}}}, Answered{0, Answer::yes}};
  const std::vector<Happening> bearing{Answered{0, Answer::yes}, Repaired{{{0, 0.5}}}, Answered{0, Answer::yes}};
  const std::vector<Happening> first{Answered{0, Answer::yes}};
  EXPECT_EQ(believe(m, unrelated).there_at_start(), believe(m, first).there_at_start());
  EXPECT_GT(believe(m, bearing).still_there()[0], believe(m, std::span(bearing).first(2)).still_there()[0] + 0.3);
}

TEST(BeliefHolds, UnsureIsWeakerThanYesAndNo) {
  // One finding on one fault: the odds of the fault change by the ratio of the answer's chances, and nothing else.
  for (unsigned seed = 1; seed <= 100; ++seed) {
    Dice dice(seed);
    CaseKind kind;
    kind.exclusive = false;
    Model m = random_model(dice, kind);
    const double strength = dice.between(0.3, 0.98), background = dice.between(0, 0.1);
    m.findings = {{background, {{0, strength}}, {}, -1}};
    const double before = logit(believe(m, {}).still_there()[0]);
    std::vector<double> change;
    for (Answer a : {Answer::no, Answer::yes, Answer::unsure}) {
      const std::vector<Happening> history{Answered{0, a}};
      change.push_back(logit(believe(m, history).still_there()[0]) - before);
      const double so = a == Answer::unsure ? 0.12 : 0.88 * (a == Answer::yes ? 0.95 : 0.05);
      const double not_so = a == Answer::unsure ? 0.08 : 0.92 * (a == Answer::yes ? 0.03 : 0.97);
      const double if_there = 1 - (1 - background) * (1 - strength);
      const double ratio = (if_there * so + (1 - if_there) * not_so) / (background * so + (1 - background) * not_so);
      EXPECT_NEAR(change.back(), std::log(ratio), 1e-4) << "seed " << seed;
    }
    EXPECT_LT(change[0], 0) << "seed " << seed;
    EXPECT_GT(change[1], 0) << "seed " << seed;
    EXPECT_LT(std::abs(change[2]), std::min(-change[0], change[1])) << "seed " << seed;
  }
}

TEST(BeliefHolds, APartThatLooksNormalStaysSuspect) {
  Model m;
  m.faults = {{0.2, 0.98}, {0.05, 0.98}, {0.05, 0.98}};
  m.findings = {{0.01, {{0, 0.8}}, {}, -1}};
  const std::vector<Happening> normal{Answered{0, Answer::no}};
  const double before = believe(m, {}).still_there()[0], after = believe(m, normal).still_there()[0];
  EXPECT_LT(after, before);
  EXPECT_GT(after, before / 5);  // one fault in five does not show, and the look misses some that do
}

TEST(BeliefHolds, PredictionsComeTrue) {
  // The chance of each answer before the look, and what the answer then adds to the evidence.
  for (unsigned seed = 1; seed <= 100; ++seed) {
    CaseKind kind;
    kind.groups = false;
    RandomCase c = random_case(seed, kind);
    c.model.findings.push_back(c.model.findings[0]);
    const int look = static_cast<int>(c.model.findings.size()) - 1;
    const FindingModel& finding = c.model.findings.back();
    const Belief before = believe(c.model, c.history);
    const double so = before.chance_so(finding);
    double sum = 0;
    std::vector<double> mean(c.model.faults.size());
    for (Answer a : {Answer::no, Answer::yes, Answer::unsure}) {
      std::vector<Happening> history = c.history;
      history.emplace_back(Answered{look, a});
      const Belief after = believe(c.model, history);
      const auto [if_so, if_not] = finding.rates.chance(a);
      const double p = std::exp(after.log_evidence() - before.log_evidence());
      EXPECT_NEAR(p, so * if_so + (1 - so) * if_not, 1e-5) << "seed " << seed;
      sum += p;
      for (size_t f = 0; f < mean.size(); ++f) mean[f] += p * after.still_there()[f];
    }
    EXPECT_NEAR(sum, 1, 1e-5) << "seed " << seed;
    for (size_t f = 0; f < mean.size(); ++f) EXPECT_NEAR(mean[f], before.still_there()[f], 1e-5) << "seed " << seed;
  }
}

TEST(Contradiction, IsSaidAndLeftOut) {
  Model m;
  m.faults = {{0.2, 1}, {0.1, 1}, {0.1, 1}, {0.1, 1}};
  m.findings = {{0, {{0, 1}}, {1, 0, 0, 0}, -1}, {0, {{0, 1}}, {1, 0, 0, 0}, -1}, {0, {{1, 0.9}}, {1, 0, 0, 0}, -1}};
  m.nothing_wrong = m.false_trouble = 0;
  const std::vector<Happening> sound{Answered{0, Answer::yes}, Answered{2, Answer::yes}};
  const std::vector<std::vector<Happening>> impossible{
      {Answered{0, Answer::yes}, Answered{1, Answer::no}, Answered{2, Answer::yes}},
      {Answered{0, Answer::yes}, Answered{1, Answer::unsure}, Answered{2, Answer::yes}},
      {Answered{0, Answer::yes}, Measured{1, 0, 0}, Answered{2, Answer::yes}},
      {Ran{RunResult::gone}, Answered{0, Answer::yes}, Answered{2, Answer::yes}},
  };
  EXPECT_FALSE(believe(m, sound).contradiction);
  for (const auto& history : impossible) {
    const Belief b = believe(m, history);
    EXPECT_TRUE(b.contradiction);
    EXPECT_EQ(b.still_there(), believe(m, sound).still_there());
    EXPECT_TRUE(std::isfinite(b.log_evidence()));
    EXPECT_TRUE(b.left_out() >= 0 && b.left_out() <= 1);
  }
  // Everything sure to be put right, and the trouble still there.
  const std::vector<Happening> cured{Repaired{{{0, 1}, {1, 1}, {2, 1}, {3, 1}}}, Ran{RunResult::same}};
  const Belief b = believe(m, cured);
  EXPECT_TRUE(b.contradiction);
  EXPECT_NEAR(b.nothing_left(), 1, kFloat);
  for (double p : b.alone_now()) EXPECT_TRUE(std::isfinite(p));
}

TEST(Contradiction, AModelWithoutFaults) {
  Model m;
  const std::vector<Happening> history{Ran{RunResult::same}};
  const Belief b = believe(m, history);
  EXPECT_FALSE(b.contradiction);
  EXPECT_EQ(b.nothing_left(), 1);
  EXPECT_TRUE(b.still_there().empty());
  m.nothing_wrong = 0;
  EXPECT_TRUE(believe(m, {}).contradiction);
}

TEST(SharedError, ASecondLookAddsLessButNeverLeans) {
  // Two readings of one plug. The second says less than a look of its own would, and on average over its answers it
  // leaves the belief where it was.
  Model m;
  m.faults = {{0.2, 0.98}, {0.1, 0.98}, {0.1, 0.98}};
  m.findings = {{0.01, {{0, 0.9}}, {}, 5}, {0.01, {{0, 0.9}}, {}, 5}, {0.01, {{0, 0.9}}, {}, -1}};
  for (Answer first : {Answer::no, Answer::yes, Answer::unsure}) {
    std::vector<Happening> history{Answered{0, first}};
    const Belief one = believe(m, history);
    double sum = 0, mean = 0;
    for (Answer second : {Answer::no, Answer::yes, Answer::unsure}) {
      history.resize(1);
      history.emplace_back(Answered{1, second});
      const Belief two = believe(m, history);
      const double p = std::exp(two.log_evidence() - one.log_evidence());
      sum += p, mean += p * two.still_there()[0];
      history.back() = Answered{2, second};
      if (first == Answer::yes && second == Answer::yes) {
        EXPECT_GT(two.still_there()[0], one.still_there()[0]);
        EXPECT_LT(two.still_there()[0], believe(m, history).still_there()[0]);
      }
    }
    EXPECT_NEAR(sum, 1, 1e-5) << static_cast<int>(first);
    EXPECT_NEAR(mean, one.still_there()[0], 1e-5) << static_cast<int>(first);
  }
}

}  // namespace
}  // namespace crankwise
