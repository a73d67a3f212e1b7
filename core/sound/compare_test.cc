#include "core/sound/compare.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace crankwise::sound {
namespace {

using Of = Change::Of;

Heard with_ceiling(double rpm, double sigma) {
  Heard heard;
  Ceiling ceiling;
  ceiling.rpm = {rpm, sigma};
  heard.ceiling = ceiling;
  return heard;
}

const Change& of(const std::vector<Change>& changes, Of what) {
  return *std::find_if(changes.begin(), changes.end(), [&](const Change& c) { return c.of == what; });
}

TEST(Compare, ACeilingThatRoseIsSaidSo) {
  const auto changes = compare(with_ceiling(8300, 80), with_ceiling(11200, 90));
  ASSERT_EQ(changes.size(), 1);
  EXPECT_TRUE(changes[0].real());
  EXPECT_DOUBLE_EQ(changes[0].difference(), 2900);
  EXPECT_NEAR(changes[0].sigma(), std::sqrt(80.0 * 80 + 90 * 90), 1e-9);
  EXPECT_EQ(in_words(changes[0]), "the rev ceiling rose from 8,300 +- 80 to 11,200 +- 90 rpm");
}

TEST(Compare, WhatChanceDoesIsNoChange) {
  const auto changes = compare(with_ceiling(8300, 80), with_ceiling(8450, 90));
  ASSERT_EQ(changes.size(), 1);
  EXPECT_FALSE(changes[0].real());
  EXPECT_EQ(in_words(changes[0]),
            "the rev ceiling did not change beyond what chance does: 8,300 +- 80 before, 8,450 +- 90 rpm after");
}

TEST(Compare, SharesByTheBandsOfBoth) {
  const auto take = [](int weak, int n) {
    Heard heard;
    heard.weak.push_back({5000, 6000, WeakShare{share_of(1, 200), 0}});
    heard.weak.push_back({8000, 9000, WeakShare{share_of(weak, n), 0}});
    heard.weak.push_back({9000, 10000, Why::firings_hidden});
    return heard;
  };
  const auto changes = compare(take(60, 300), take(2, 300));
  ASSERT_EQ(changes.size(), 2);
  EXPECT_FALSE(changes[0].real());
  EXPECT_TRUE(changes[1].real());
  // Near the usual sqrt(p (1 - p) / n) where there are many.
  EXPECT_NEAR(changes[1].before.sigma, std::sqrt(0.2 * 0.8 / 300), 0.001);
  EXPECT_EQ(
      in_words(changes[1]).rfind("the share of weak firings from 8,000 to 9,000 rpm fell from 20 +- 2 to 0.7 +- 0.", 0),
      0)
      << in_words(changes[1]);
}

TEST(Compare, BlipsByTheirMiddleAndWhatOneTakeLacksIsNamed) {
  const auto take = [](std::initializer_list<double> rises) {
    Heard heard;
    std::vector<Blip> blips;
    for (const double rise : rises) {
      Blip blip;
      blip.rise_s = {rise, 0.03};
      blips.push_back(blip);
    }
    heard.blips = blips;
    return heard;
  };
  Heard before = take({0.90, 0.94, 0.86}), after = take({0.51, 0.48, 0.55});
  Idle idle;
  idle.rpm = {1800, 20};
  before.idle = idle;
  after.idle = Why::no_idle;
  const auto changes = compare(before, after);
  const Change& rise = of(changes, Of::rise_s);
  EXPECT_DOUBLE_EQ(rise.before.value, 0.90);
  EXPECT_TRUE(rise.real());
  EXPECT_EQ(in_words(rise).rfind("the rise of a blip fell from 0.90 +- 0.04", 0), 0) << in_words(rise);
  EXPECT_FALSE(of(compare(take({0.5}), take({0.6})), Of::rise_s).real()) << "one blip of each, given by hand";
  const auto lacking = one_sided(before, after);
  ASSERT_EQ(lacking.size(), 1);
  EXPECT_EQ(lacking[0].of, Of::idle_rpm);
  EXPECT_TRUE(lacking[0].told_before);
  EXPECT_EQ(lacking[0].why_not, Why::no_idle);
  EXPECT_TRUE(compare(Heard{}, Heard{}).empty());
}

TEST(Compare, PowerOnTheSameStripLeavesOutWhatBothShare) {
  Pull before, after;
  before.common_share = after.common_share = 0.12;
  before.peak_w = {20000, std::hypot(300, 0.12 * 20000)};
  after.peak_w = {26000, std::hypot(300, 0.12 * 26000)};
  const Change change = compare(before, after);
  EXPECT_NEAR(change.before.sigma, std::hypot(300, 0.04 * 20000), 1);
  EXPECT_TRUE(change.real());  // 6 kW by 1.39: with 12 % each it would be lost in 3.9
  EXPECT_EQ(in_words(change), "the power on the road rose from 20.0 +- 0.9 to 26.0 +- 1.1 kW");
}

TEST(Compare, FalseAlarmsAreRare) {
  // Normal differences beyond 2.58 sigma: one in a hundred (tables of the normal distribution).
  EXPECT_NEAR(std::erfc(2.58 / std::sqrt(2.0)), 0.01, 2e-4);
  Change c{Of::idle_rpm, 0, 0, {1800, 30}, {1800 + 2.57 * 50, 40}};
  EXPECT_FALSE(c.real());
  c.after.value = 1800 - 2.59 * 50;
  EXPECT_TRUE(c.real());
}

}  // namespace
}  // namespace crankwise::sound
