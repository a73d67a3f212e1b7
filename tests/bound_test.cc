// What the table leaves out: the bound is never below the truth, and close enough to be of use.
#include "core/belief/bound.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "core/belief/belief.h"
#include "core/belief/priors.h"
#include "tests/oracle.h"
#include "tests/random_case.h"

namespace crankwise {
namespace {

constexpr double kFloat = 2e-6;
constexpr int kAll = 32;

struct Tightness {
  std::vector<double> ratio;  // bound over truth
  std::vector<double> bound;
  void print(const char* what) {
    ASSERT_FALSE(ratio.empty());
    std::sort(ratio.begin(), ratio.end());
    std::sort(bound.begin(), bound.end());
    const auto at = [](const std::vector<double>& v, double q) {
      return v[static_cast<size_t>(q * static_cast<double>(v.size() - 1))];
    };
    std::printf("[ bound    ] %s: bound/truth least %.2f, median %.2f, 90 %% %.2f; bound median %.2g, greatest %.2g\n",
                what, ratio.front(), at(ratio, 0.5), at(ratio, 0.9), at(bound, 0.5), bound.back());
    EXPECT_LT(at(ratio, 0.5), 3.5);
    EXPECT_LT(at(ratio, 0.9), 25);
    EXPECT_LT(bound.back(), 0.999);  // one that says nothing is of no use
  }
};

void expect_never_below(CaseKind kind, unsigned seeds, const char* what) {
  kind.least_faults = 6;
  kind.most_faults = 14;
  kind.greatest_odds = 1;
  kind.uncertain_cures = 2;
  Tightness tightness;
  for (unsigned seed = 1; seed <= seeds; ++seed) {
    const RandomCase c = random_case(seed, kind);
    const Belief b = believe(c.model, c.history);
    const oracle::Truth truth(c.model, c.history, kAll);
    if (b.contradiction || truth.contradiction()) continue;
    const double left_out = truth.more_than(3);
    ASSERT_LE(left_out, b.left_out() * (1 + 1e-5) + 1e-9) << "seed " << seed << ": " << in_words(c);
    const auto now = b.still_there(), start = b.there_at_start();
    const auto true_now = truth.still_there(), true_start = truth.there_at_start();
    for (size_t f = 0; f < now.size(); ++f) {
      ASSERT_NEAR(now[f], true_now[f], b.left_out() + kFloat) << "seed " << seed << ": " << in_words(c);
      ASSERT_NEAR(start[f], true_start[f], b.left_out() + kFloat) << "seed " << seed << ": " << in_words(c);
    }
    ASSERT_NEAR(b.nothing_left(), truth.nothing_left(), b.left_out() + kFloat) << "seed " << seed;
    if (left_out > 1e-9) tightness.ratio.push_back(b.left_out() / left_out), tightness.bound.push_back(b.left_out());
  }
  tightness.print(what);
}

TEST(Bound, NeverBelowTheTruthOnNoisyJobs) { expect_never_below({}, 300, "noisy jobs"); }

TEST(Bound, NeverBelowTheTruthWhateverIsAnswered) {
  CaseKind kind;
  kind.real = false;
  expect_never_below(kind, 300, "any answers");
}

TEST(Bound, NeverBelowTheTruthOnAnswersWithoutError) {
  CaseKind kind;
  kind.perfect = true;
  expect_never_below(kind, 300, "no errors");
}

TEST(Bound, NeverBelowTheTruthOnAnswersAlone) {
  CaseKind kind;
  kind.repairs = kind.runs = kind.exclusive = false;
  expect_never_below(kind, 300, "answers alone");
}

TEST(Bound, CloseForOneAnswer) {
  // One yes, or one no that may be wrong: here the bound has nothing to hide behind.
  CaseKind kind;
  kind.exclusive = kind.groups = false;
  kind.least_faults = 5;
  kind.most_faults = 9;
  kind.greatest_odds = 1;
  double most = 0;
  for (unsigned seed = 1; seed <= 400; ++seed) {
    Dice dice(seed);
    Model m = random_model(dice, kind);
    m.nothing_wrong = 1;
    m.findings.resize(1);
    m.findings[0].links.clear();
    for (size_t i = 0; i < m.faults.size(); ++i) {
      m.findings[0].links.push_back({static_cast<int>(i), dice.between(0.02, seed % 2 ? 0.2 : 0.9)});
    }
    const std::vector<Happening> history{Answered{0, seed % 4 < 2 ? Answer::yes : Answer::no}};
    const double truth = oracle::Truth(m, history, kAll).more_than(3), bound = believe(m, history).left_out();
    ASSERT_GE(bound, truth * (1 - 1e-5)) << "seed " << seed;
    most = std::max(most, bound / truth);
  }
  EXPECT_LT(most, 4);
  std::printf("[ bound    ] one answer: bound/truth at most %.2f\n", most);
}

/// Sum over all sets of size m of the product of their odds.
std::vector<double> sums_by_size(const std::vector<double>& odds) {
  std::vector<double> e(odds.size() + 1, 0.0);
  e[0] = 1;
  for (double r : odds) {
    for (size_t m = e.size() - 1; m > 0; --m) e[m] += r * e[m - 1];
  }
  return e;
}

TEST(Bound, PriorTailOfZipfShares) {
  // 120 faults with shares 1/rank; the part of the bikes with any fault that have more than k. Measured for this
  // project.
  std::vector<double> shares;
  for (int i = 1; i <= 120; ++i) shares.push_back(1.0 / i);
  struct Row {
    double multiple, more_than_two, more_than_three;
  };  // written down with one or two digits
  for (const Row& row : {Row{0.10, 0.0064, 0.0003}, {0.05, 0.0016, 0.00004}, {0.20, 0.026, 0.0025}}) {
    Model m;
    for (double r : odds_from_shares(shares, row.multiple)) m.faults.push_back({r, 0.98});
    std::vector<double> odds;
    for (const auto& f : m.faults) odds.push_back(f.odds);
    const std::vector<double> e = sums_by_size(odds);
    double any = 0, two = 0, three = 0;
    for (size_t k = 1; k < e.size(); ++k) any += e[k], two += k > 2 ? e[k] : 0, three += k > 3 ? e[k] : 0;
    EXPECT_NEAR((any - e[1]) / any, row.multiple, 1e-6);
    EXPECT_NEAR(two / any / row.more_than_two, 1, 0.02);
    EXPECT_NEAR(three / any / row.more_than_three, 1, 0.1);
    const double bound = believe(m, {}).left_out();
    EXPECT_GE(bound, three / (any + m.nothing_wrong) * (1 - 1e-6));
    EXPECT_LE(bound, three / any * 1.05);
  }
}

TEST(Bound, ExactWithoutEvidenceAndForPlainAbsence) {
  // Without leak in the answer the weight of a set stays a product, and nothing is lost.
  const std::vector<double> odds{0.5, 0.3, 0.2, 0.9, 0.1, 0.4};
  SetTable table(odds, {});
  std::vector<double> covered = odds;
  const Observation absent{0, 1, {{0, 0.9, {0.5f, 0.25f, 1.0f, 0.125f, 1.0f, 0.75f}}}};
  std::vector<Observation> seen;
  for (int k = 0; k < 2; ++k) {
    const std::vector<double> e = sums_by_size(covered);
    const double more = e[4] + e[5] + e[6];
    EXPECT_NEAR(left_out_bound(odds, seen, table.log_total()), more / (e[0] + e[1] + e[2] + e[3] + more), 1e-4);
    table.observe(absent);
    seen.push_back(absent);
    for (size_t i = 0; i < covered.size(); ++i) covered[i] *= static_cast<double>(absent.parts[0].factor[i]);
  }
}

TEST(Bound, NothingIsLeftOutOfThreeFaults) {
  Model m;
  m.faults = {{0.5, 0.9}, {0.5, 0.9}, {0.5, 0.9}};
  m.findings = {{0.01, {{0, 0.9}, {1, 0.5}}, {}, -1}};
  const std::vector<Happening> history{Answered{0, Answer::yes}, Ran{RunResult::same}};
  EXPECT_EQ(believe(m, history).left_out(), 0);
}

TEST(Bound, ASureLinkDoesNotSpoilIt) {
  // One fault that always shows, beside links of the usual strength.
  Model m;
  for (double r : {0.0383, 0.511, 0.00237, 0.157, 0.0764, 0.00355, 0.0657}) m.faults.push_back({r, 0.98});
  m.findings = {{0.25, {{2, 0.66}, {6, 1}}, {0.94, 0.01, 0, 0}, -1}, {0.02, {{0, 0.8}, {6, 1}}, {}, -1}};
  const std::vector<Happening> history{Answered{0, Answer::yes}, Answered{1, Answer::yes}, Ran{RunResult::same}};
  const double truth = oracle::Truth(m, history, kAll).more_than(3), bound = believe(m, history).left_out();
  EXPECT_GE(bound, truth);
  EXPECT_LT(bound, 0.05);
}

TEST(Bound, ABetterRunDoesNotSpoilIt) {
  // "Better" after a sure repair points at the repaired fault alone, as far as "better" is worth.
  Model m;
  for (int i = 0; i < 12; ++i) m.faults.push_back({0.02 + 0.01 * i, 0.98});
  const std::vector<Happening> history{Ran{RunResult::same}, Repaired{{{0, 1}}}, Ran{RunResult::better}};
  const double truth = oracle::Truth(m, history, kAll).more_than(3), bound = believe(m, history).left_out();
  EXPECT_GE(bound, truth);
  EXPECT_LT(bound, 8 * truth);
}

TEST(Bound, SaysWhenTheModelExplainsBadly) {
  // Twelve faults, each with a sign of its own; five signs seen that no three faults can explain.
  Model m;
  for (int i = 0; i < 12; ++i) {
    m.faults.push_back({0.02, 0.98});
    m.findings.push_back({0.002, {{i, 0.95}}, {0.98, 0.005, 0.1, 0.1}, -1});
  }
  std::vector<Happening> history;
  double before = 0;
  for (int f = 0; f < 5; ++f) {
    history.emplace_back(Answered{f, Answer::yes});
    const double truth = oracle::Truth(m, history, kAll).more_than(3), bound = believe(m, history).left_out();
    EXPECT_GE(bound, truth) << f;
    EXPECT_GT(bound, before) << f;
    before = bound;
    EXPECT_LT(bound, f == 0 ? 0.01 : 1);
    EXPECT_GT(truth, f == 4 ? 0.5 : 0);
  }
}

TEST(Bound, StaysSmallOnAnOrdinaryJob) {
  // 120 faults, one of the commoner ones seen and nine looks in order.
  std::vector<double> shares;
  for (int i = 1; i <= 120; ++i) shares.push_back(1.0 / i);
  Model m;
  for (double r : odds_from_shares(shares, 0.10)) m.faults.push_back({r, 0.98});
  std::vector<Happening> history;
  for (int k = 0; k < 10; ++k) {
    FindingModel f{0.01, {}, {}, -1};
    for (int i = k; i < 120; i += 10) f.links.push_back({i, 0.9});
    m.findings.push_back(f);
    history.emplace_back(Answered{k, k == 3 ? Answer::yes : Answer::no});
  }
  history.emplace_back(Ran{RunResult::same});
  EXPECT_LT(believe(m, history).left_out(), 0.01);
}

}  // namespace
}  // namespace crankwise
