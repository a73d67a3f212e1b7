// The table of sets and its inner loops against plain sums in double, at sizes around the blocks of sixteen.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/belief/set_table.h"
#include "tests/random_case.h"

namespace crankwise {
namespace {

constexpr double kFloat = 2e-6;  // the weights of three faults are floats

/// The same table without any cleverness.
struct PlainTable {
  std::vector<SetTable::Entry> sets;
  double evidence = 1;

  PlainTable(const std::vector<double>& odds, const std::vector<std::pair<int, int>>& exclusive) {
    const int n = static_cast<int>(odds.size());
    sets.push_back({{-1, -1, -1}, 1});
    for (int i = 0; i < n; ++i) {
      sets.push_back({{i, -1, -1}, odds[static_cast<size_t>(i)]});
      for (int j = i + 1; j < n; ++j) {
        const double pair = odds[static_cast<size_t>(i)] * odds[static_cast<size_t>(j)];
        sets.push_back({{i, j, -1}, pair});
        for (int k = j + 1; k < n; ++k) sets.push_back({{i, j, k}, pair * odds[static_cast<size_t>(k)]});
      }
    }
    for (auto& s : sets) {
      for (auto [a, b] : exclusive) {
        if (holds(s, a) && holds(s, b)) s.weight = 0;
      }
    }
    rescale();
  }

  static bool holds(const SetTable::Entry& s, int fault) {
    return std::find(s.member, s.member + 3, fault) != s.member + 3;
  }
  template <class Factor>
  static double product(const SetTable::Entry& s, const Factor& factor) {
    double p = 1;
    for (int m : s.member) p *= m < 0 ? 1 : static_cast<double>(factor[static_cast<size_t>(m)]);
    return p;
  }
  double rescale() {
    double sum = 0;
    for (const auto& s : sets) sum += s.weight;
    for (auto& s : sets) s.weight /= sum;
    return sum;
  }
  double observe(const Observation& o) {
    for (auto& s : sets) {
      double p = o.weight;
      for (const Likelihood& l : o.parts) p *= l.constant + l.coef * product(s, l.factor);
      s.weight *= o.offset + p;
    }
    const double sum = rescale();
    evidence *= sum;
    return sum;
  }
  double marginal(int fault) const {
    double sum = 0;
    for (const auto& s : sets) sum += holds(s, fault) ? s.weight : 0;
    return sum;
  }
};

std::vector<float> column(Dice& dice, size_t n) {
  std::vector<float> c(n);
  for (float& x : c) x = dice.chance(0.5) ? 1.0f : static_cast<float>(dice.between(0, 1));
  return c;
}

void expect_alike(const SetTable& table, const PlainTable& plain, Dice& dice) {
  const int n = table.faults();
  EXPECT_NEAR(table.empty(), plain.sets[0].weight, kFloat);
  EXPECT_NEAR(std::exp(table.log_evidence()) / plain.evidence, 1, kFloat);
  const std::vector<double> marginals = table.marginals(), alone = table.alone();
  ASSERT_EQ(static_cast<int>(marginals.size()), n);
  for (int i = 0; i < n; ++i) EXPECT_NEAR(marginals[static_cast<size_t>(i)], plain.marginal(i), kFloat) << i;
  const std::vector<float> factor = column(dice, static_cast<size_t>(n));
  double expect = 0;
  for (const auto& s : plain.sets) {
    expect += s.weight * PlainTable::product(s, factor);
    if (s.size() != 1) continue;
    EXPECT_NEAR(alone[static_cast<size_t>(s.member[0])], s.weight, kFloat);
  }
  EXPECT_NEAR(table.expect(factor), expect, kFloat);

  std::vector<SetTable::Entry> order = plain.sets;
  std::erase_if(order, [](const auto& s) { return s.weight == 0; });
  std::sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.weight > b.weight; });
  const auto heaviest = table.heaviest(9);
  ASSERT_EQ(heaviest.size(), std::min<size_t>(order.size(), 9));
  for (size_t k = 0; k < heaviest.size(); ++k) {
    EXPECT_NEAR(heaviest[k].weight, order[k].weight, kFloat);
    const auto same = std::find_if(order.begin(), order.end(), [&](const auto& s) {
      return std::equal(s.member, s.member + 3, heaviest[k].member);
    });
    ASSERT_NE(same, order.end());
    EXPECT_NEAR(heaviest[k].weight, same->weight, kFloat) << "place " << k;
    EXPECT_GE(heaviest[k > 0 ? k - 1 : 0].weight, heaviest[k].weight);
  }
}

TEST(SetTable, EqualsPlainSumsAtEverySize) {
  for (size_t n : {0u, 1u, 2u, 3u, 4u, 15u, 16u, 17u, 18u, 19u, 31u, 33u, 34u, 35u, 50u}) {
    SCOPED_TRACE("faults " + std::to_string(n));
    Dice dice(100 + static_cast<unsigned>(n));
    std::vector<double> odds(n);
    for (double& r : odds) r = std::exp(dice.between(-7, 0));
    std::vector<std::pair<int, int>> exclusive;
    const int last = static_cast<int>(n) - 1;
    if (n > 3) exclusive = {{0, last}, {last - 1, 1}, {last, last - 1}, {1, 2}};
    SetTable table(odds, exclusive);
    PlainTable plain(odds, exclusive);
    expect_alike(table, plain, dice);
    const auto factor = [&] { return column(dice, n); };
    const std::vector<Observation> seen{{0, 1, {{0.02, 0.9, factor()}}},   // falling
                                        {0, 1, {{0.95, -0.9, factor()}}},  // rising
                                        {0, 1, {{1, -0.99, factor()}, {0.5, -0.44, factor()}}},
                                        {0.03, 0.9, {{0.1, 0.8, factor()}, {0.9, -0.5, factor()}, {0, 1, factor()}}},
                                        {1.2, -0.8, {{0.1, 0.9, factor()}}}};
    for (const Observation& o : seen) {
      EXPECT_NEAR(table.observe(o) / plain.observe(o), 1, kFloat);
      expect_alike(table, plain, dice);
    }
  }
}

TEST(SetTable, TotalIsThePriorTimesTheEvidence) {
  const std::vector<double> odds{0.5, 0.25, 0.125};
  SetTable table(odds, {});
  EXPECT_NEAR(std::exp(table.log_total()), 1.5 * 1.25 * 1.125, 1e-9);
  const double p = table.observe({0.1, 0.8, {0.5f, 1.0f, 0.25f}});
  EXPECT_NEAR(std::exp(table.log_evidence()), p, 1e-9);
  EXPECT_NEAR(std::exp(table.log_total()), p * 1.5 * 1.25 * 1.125, 1e-9);
}

TEST(SetTable, AnImpossibleObservationLeavesItAsItWas) {
  const std::vector<double> odds{0.5, 0.25, 0.125, 0.2};
  SetTable table(odds, {});
  table.observe({0.05, 0.9, {0.5f, 1.0f, 0.25f, 1.0f}});
  table.observe({1, -1, {0.0f, 1.0f, 1.0f, 1.0f}});  // the first is there
  const auto before = table.marginals();
  const double log_evidence = table.log_evidence(), log_total = table.log_total();
  EXPECT_EQ(table.observe({0, 1, {0.0f, 1.0f, 1.0f, 1.0f}}), 0);  // the first is not there
  EXPECT_EQ(table.marginals(), before);
  EXPECT_EQ(table.log_evidence(), log_evidence);
  EXPECT_EQ(table.log_total(), log_total);
}

TEST(SetTable, KeepsItsPrecisionOverALongJob) {
  // Sixty observations on eighteen faults, each scaling the weights down.
  Dice dice(7);
  std::vector<double> odds(18);
  for (double& r : odds) r = dice.between(0.01, 0.3);
  SetTable table(odds, {});
  PlainTable plain(odds, {});
  for (int k = 0; k < 60; ++k) {
    const double low = dice.between(0.001, 0.05), high = dice.between(0.3, 0.9);
    const bool rising = dice.chance(0.3);
    const Observation o{0, 1, {{rising ? high : low, rising ? low - high : high - low, column(dice, odds.size())}}};
    table.observe(o);
    plain.observe(o);
  }
  expect_alike(table, plain, dice);
}

TEST(SetTable, OneHundredAndTwentyFaults) {
  std::vector<double> odds(120);
  for (size_t i = 0; i < odds.size(); ++i) odds[i] = 0.2 / static_cast<double>(i + 1);
  SetTable table(odds, {});
  PlainTable plain(odds, {});
  EXPECT_EQ(plain.sets.size(), 288100u + 1u);
  Dice dice(11);
  for (int k = 0; k < 3; ++k) {
    const Observation o{0, 1, {{0.9, -0.85, column(dice, odds.size())}}};
    EXPECT_NEAR(table.observe(o) / plain.observe(o), 1, kFloat);
  }
  expect_alike(table, plain, dice);
}

}  // namespace
}  // namespace crankwise
