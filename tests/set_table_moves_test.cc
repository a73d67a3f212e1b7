// What repairs do to the table of sets, against sums in double over every set, at sizes around the blocks of sixteen.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/belief/set_table.h"
#include "tests/random_case.h"

namespace crankwise {
namespace {

constexpr double kFloat = 2e-6;  // the weights of three faults are floats

std::vector<double> some_odds(Dice& dice, size_t n) {
  std::vector<double> odds(n);
  for (double& r : odds) r = std::exp(dice.between(-4, 0));
  return odds;
}

std::vector<double> some_chances(Dice& dice, size_t n) {
  std::vector<double> chance(n, 0.0);
  for (double& c : chance) c = dice.chance(0.4) ? 0 : dice.chance(0.2) ? 1 : dice.between(0, 1);
  return chance;
}

Likelihood some_look(Dice& dice, size_t n) {
  Likelihood l{0.9, -0.8, std::vector<float>(n)};
  for (float& q : l.factor) q = static_cast<float>(dice.between(0.05, 1));
  return l;
}

constexpr size_t kSizes[] = {1, 2, 3, 5, 16, 17, 18, 33, 34, 50};

TEST(SetTableMoves, CuredMembersLeaveTheirSets) {
  for (size_t n : kSizes) {
    Dice dice(static_cast<unsigned>(n));
    SetTable table(some_odds(dice, n), {});
    table.observe(some_look(dice, n));
    const std::vector<double> chance = some_chances(dice, n);
    const SetTable before = table;
    table.cure(chance);
    // E[prod factor] after = E[prod (c + (1 - c) factor)] before, for any factors.
    EXPECT_NEAR(table.log_total(), before.log_total(), 1e-12);
    for (int k = 0; k < 4; ++k) {
      std::vector<float> factor(n), then(n);
      for (size_t i = 0; i < n; ++i) {
        factor[i] = static_cast<float>(k == 0 ? 0 : dice.between(0, 1));
        then[i] = static_cast<float>(chance[i] + (1 - chance[i]) * static_cast<double>(factor[i]));
      }
      EXPECT_NEAR(table.expect(factor), before.expect(then), kFloat) << n;
    }
    const std::vector<double> there = table.marginals(), was = before.marginals();
    for (size_t i = 0; i < n; ++i) EXPECT_NEAR(there[i], (1 - chance[i]) * was[i], kFloat) << n << ": " << i;
  }
}

TEST(SetTableMoves, RaisedIsCuredReadBackwards) {
  // sum over H of cured(w)(H) * v(H) = sum over H of w(H) * raised(v)(H), for any weights w and v.
  for (size_t n : kSizes) {
    Dice dice(100 + static_cast<unsigned>(n));
    SetTable w(some_odds(dice, n), {}), v(some_odds(dice, n), {});
    w.observe(some_look(dice, n)), v.observe(some_look(dice, n));
    const std::vector<double> chance = some_chances(dice, n);
    SetTable cured = w, raised = v;
    cured.cure(chance), raised.raise(chance, raised);
    cured.times(v), raised.times(w);
    EXPECT_NEAR(cured.log_total(), raised.log_total(), 5 * kFloat) << n;

    // With another table for the sets that lost a member: all of the one that stayed, and of the other what did not.
    std::vector<float> keep;
    for (double c : chance) keep.push_back(static_cast<float>(1 - c));
    const SetTable other(some_odds(dice, n), {});
    SetTable split = v, stayed = w, gone = w, all_gone = w;
    split.raise(chance, other), split.times(w);
    stayed.times(v), stayed.observe({0, 1, keep});
    gone.cure(chance), gone.times(other);
    all_gone.times(other);
    double kept_of_other = 0;
    if (all_gone.observe({0, 1, keep}) > 0) kept_of_other = std::exp(all_gone.log_total());
    EXPECT_NEAR(
        (std::exp(stayed.log_total()) + std::exp(gone.log_total()) - kept_of_other) / std::exp(split.log_total()), 1,
        20 * kFloat)
        << n;
  }
}

TEST(SetTableMoves, OutAndBackIn) {
  for (size_t n : kSizes) {
    Dice dice(200 + static_cast<unsigned>(n));
    SetTable table(some_odds(dice, n), {});
    const std::vector<double> before = table.marginals();
    const int last = static_cast<int>(n), fault = dice.whole(0, last - 1);
    table.resize(last + 2);
    table.move(fault, last + 1, 0.25);
    const std::vector<double> out = table.marginals();
    EXPECT_EQ(out[n], 0);
    for (size_t i = 0; i < n; ++i)
      EXPECT_NEAR(out[i], before[i] * (static_cast<int>(i) == fault ? 0.75 : 1), kFloat) << n << ": " << i;
    EXPECT_NEAR(out[n + 1], 0.25 * before[static_cast<size_t>(fault)], kFloat);
    table.move(last + 1, fault, 1);
    table.resize(last);
    const std::vector<double> after = table.marginals();
    ASSERT_EQ(after.size(), n);
    for (size_t i = 0; i < n; ++i) EXPECT_NEAR(after[i], before[i], kFloat) << n << ": " << i;
  }
}

TEST(SetTableMoves, WhatIsGoneIsSeenApart) {
  // Repair, look, repair, and an observation that differs for what lost a member: summed over which members go.
  for (size_t n : kSizes) {
    Dice dice(300 + static_cast<unsigned>(n));
    SetTable table(some_odds(dice, n), {});
    const std::vector<double> first = some_chances(dice, n), second = some_chances(dice, n);
    const Likelihood look = some_look(dice, n), stayed = some_look(dice, n), lost = some_look(dice, n);
    // Nothing lost: a table of its own; the whole: the repairs alone.
    SetTable kept = table, whole = table;
    std::vector<float> keep;
    for (size_t i = 0; i < n; ++i) keep.push_back(static_cast<float>((1 - first[i]) * (1 - second[i])));
    kept.observe({0, 1, keep}), kept.observe(look);
    SetTable kept_lost = kept;
    kept.observe(stayed), kept_lost.observe(lost);
    whole.cure(first), whole.observe(look), whole.cure(second), whole.observe(lost);

    std::optional<SetTable> gone;
    table.cure(first, &gone);
    table.observe(look), gone->observe(look);
    table.cure(second, &gone);
    table.observe({0, 1, {stayed}}, lost, *gone);
    const double a = std::exp(whole.log_total()), b = std::exp(kept.log_total()), c = std::exp(kept_lost.log_total());
    EXPECT_NEAR(std::exp(table.log_total()) / (a + b - c), 1, 10 * kFloat) << n;
    const std::vector<double> have = table.marginals(), w = whole.marginals(), k = kept.marginals(),
                              l = kept_lost.marginals();
    for (size_t i = 0; i < n; ++i)
      EXPECT_NEAR(have[i], (a * w[i] + b * k[i] - c * l[i]) / (a + b - c), 10 * kFloat) << n << ": " << i;
  }
}

}  // namespace
}  // namespace crankwise
