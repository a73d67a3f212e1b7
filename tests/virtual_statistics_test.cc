// The statistics of the virtual bikes against printed values.
#include <gtest/gtest.h>

#include "bench/virtual/plot.h"
#include "bench/virtual/readme.h"
#include "bench/virtual/statistics.h"

namespace crankwise::bench {
namespace {

// Published: Student 1908, hours of sleep gained by ten patients; mean difference 1.58, its standard error .389.
const std::vector<double> kDextro = {0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0};
const std::vector<double> kLaevo = {1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4};

TEST(VirtualStatistics, PairedDifference) {
  const Interval d = paired_difference(kLaevo, kDextro);
  EXPECT_NEAR(d.value, 1.58, 1e-12);
  EXPECT_NEAR(d.high - d.value, 1.96 * 0.389, 1e-3);
  EXPECT_NEAR(d.value - d.low, d.high - d.value, 1e-12);
}

TEST(VirtualStatistics, PairedRatio) {
  // Proportional pairs leave nothing to doubt; by hand for (1, 3) over (2, 2): ratio 1, error of the difference 1.
  const Interval sure = paired_ratio(std::vector{1.0, 2.0, 3.0}, std::vector{2.0, 4.0, 6.0});
  EXPECT_NEAR(sure.value, 0.5, 1e-12);
  EXPECT_NEAR(sure.high - sure.low, 0, 1e-12);
  const Interval r = paired_ratio(std::vector{1.0, 3.0}, std::vector{2.0, 2.0});
  EXPECT_NEAR(r.value, 1, 1e-12);
  EXPECT_NEAR(r.high - r.value, 1.959964 / 2, 1e-6);
}

TEST(VirtualStatistics, Quantile) {
  EXPECT_EQ(quantile({5, 1, 4, 2, 3}, 0.5), 3);
  EXPECT_EQ(quantile({1, 2, 3, 4, 5, 6, 7, 8, 9, 10}, 0.9), 9);
  EXPECT_EQ(quantile({}, 0.9), 0);
}

TEST(VirtualStatistics, PlotHasEveryCurve) {
  const std::string svg = distribution_plot("t", "minutes", {{"a < b", {10, 20, 30, 40}}, {"c", {20}}}, 10, 1000);
  EXPECT_NE(svg.find(">a &lt; b</text>"), std::string::npos);
  EXPECT_NE(svg.find(">minutes</text>"), std::string::npos);
  // Two of four at or below 20: half way up, 40 + 340 / 2.
  EXPECT_NE(svg.find("V210.0"), std::string::npos) << svg;
}

// By hand: the axes take the points from corner to corner, 70 to 740 across and 380 up to 40.
TEST(VirtualStatistics, LinesFillTheAxes) {
  const std::string svg = line_plot("t", "jobs", "bits", {{"one", {{0, 0}, {10, 5}}}, {"two", {{0, 2.5}, {5, 2.5}}}});
  EXPECT_NE(svg.find("M70.0 380.0L740.0 40.0"), std::string::npos) << svg;
  EXPECT_NE(svg.find("M70.0 210.0L405.0 210.0"), std::string::npos) << svg;
  EXPECT_NE(svg.find(">bits</text>"), std::string::npos);
  EXPECT_EQ(line_plot("t", "x", "y", {}).find("nan"), std::string::npos);
}

TEST(VirtualStatistics, PicturesStandOneAboveTheOther) {
  const std::string svg = stacked({line_plot("one", "x", "y", {}), line_plot("two", "x", "y", {})});
  EXPECT_NE(svg.find("<svg y=\"0\" "), std::string::npos) << svg;
  EXPECT_LT(svg.find(">one<"), svg.find("<svg y=\"490\" ")) << svg;
  EXPECT_GT(svg.find(">two<"), svg.find("<svg y=\"490\" ")) << svg;
  EXPECT_NE(svg.find("</svg>\n</svg>\n"), std::string::npos);
}

TEST(VirtualStatistics, ReadmePart) {
  const std::string begin = "<!-- some: begin -->\n", end = "<!-- some: end -->\n";
  const std::string text = "x\n" + begin + "old\n" + end + "y\n";
  const std::string changed = with_part(text, "some", "new\n");
  EXPECT_EQ(changed, "x\n" + begin + "new\n" + end + "y\n");
  EXPECT_EQ(with_part(changed, "some", "new\n"), changed);
  EXPECT_THROW(with_part("no marks", "some", "new"), std::runtime_error);
  EXPECT_THROW(with_part(text, "other", "new"), std::runtime_error);
}

}  // namespace
}  // namespace crankwise::bench
