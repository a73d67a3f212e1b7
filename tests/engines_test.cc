// The engines of the knowledge at full load, 20 C and 1013 hPa, against what magazines' dynamometer tests of their
// classes read (wheel figures; the crank gives 8 to 15 % more) and what is common practice. The bands are those of the
// class: the engines are invented, so no figure of any bike can be asked of them.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <string>

#include "core/engine/run.h"
#include "edge/engine_file.h"

namespace crankwise::engine {
namespace {

struct Band {
  double low, high;
  bool holds(double x) const { return x >= low && x <= high; }
};

/// Magazine dynamometer tests, read: power at the wheel, where its peak lies, mean effective pressure of the class;
/// rev limits are common practice.
struct ClassFigures {
  const char* id;
  Band wheel_kw, peak_rpm, bmep_bar, limit_rpm;
};
const std::array kClasses{
    ClassFigures{"motocross-125-two-stroke", {26.7, 27.6}, {11430, 11670}, {9, 13}, {12000, 13000}},
    ClassFigures{"motocross-250-two-stroke", {34, 37}, {8000, 9000}, {8.5, 11.5}, {9500, 10500}},
    ClassFigures{"motocross-250-four-stroke-injection", {27, 34}, {13300, 13470}, {10, 13}, {13400, 14500}},
    ClassFigures{"motocross-450-four-stroke-injection", {39, 43}, {8830, 9610}, {10.5, 13}, {11000, 11800}},
};

Design design_of(const ClassFigures& c) {
  return load_engine(std::string(CRANKWISE_SOURCE_DIR "/knowledge/engines/") + c.id + ".toml");
}

std::vector<Outcome> run_over(const Design& d, Band rpm, int speeds, const RunOptions& options = {}) {
  std::vector<Member> members;
  for (int i = 0; i < speeds; ++i)
    members.push_back({d, {101300, 293.15}, rpm.low + (rpm.high - rpm.low) * i / (speeds - 1)});
  return run(members, options);
}

const Outcome& strongest(const std::vector<Outcome>& all) {
  return *std::max_element(all.begin(), all.end(),
                           [](const Outcome& a, const Outcome& b) { return a.power_w < b.power_w; });
}

Band near_peak(const ClassFigures& c) { return {0.88 * c.peak_rpm.low, 1.12 * c.peak_rpm.high}; }

class Engines : public testing::TestWithParam<ClassFigures> {};

TEST_P(Engines, GiveWhatTheirClassGives) {
  const ClassFigures& c = GetParam();
  const Design d = design_of(c);
  const bool two = d.cycle == Cycle::two_stroke;
  const std::vector<Outcome> all = run_over(d, near_peak(c), 16);
  const Outcome& peak = strongest(all);
  EXPECT_TRUE(near_peak(c).holds(peak.rpm));
  EXPECT_GT(peak.power_w, all.front().power_w);
  EXPECT_GT(peak.power_w, all.back().power_w);
  const Band crank_kw{0.85 * 1.08 * c.wheel_kw.low, 1.15 * 1.15 * c.wheel_kw.high};
  EXPECT_TRUE(crank_kw.holds(peak.power_w / 1e3)) << peak.power_w / 1e3 << " kW";
  EXPECT_TRUE(c.bmep_bar.holds(peak.bmep_pa / 1e5)) << peak.bmep_pa / 1e5 << " bar";
  // Common practice. What a two-stroke of this output burns at this mixture and delivery is less than what is told of
  // race engines: with 1.2 of air and lambda 0.85 there is no more fuel to burn.
  const Band g_kwh = two ? Band{330, 650} : Band{280, 340};
  EXPECT_TRUE(g_kwh.holds(peak.bsfc_kg_j * 3.6e9)) << peak.bsfc_kg_j * 3.6e9 << " g/kWh";
  if (two) {
    EXPECT_GE(peak.delivery_ratio, 0.8);
    EXPECT_LE(peak.delivery_ratio, 1.2);
  }
}

TEST_P(Engines, EndWhereTheirClassDoes) {
  const ClassFigures& c = GetParam();
  const Design d = design_of(c);
  const double limit = d.burn.limit_rpm;
  EXPECT_TRUE(c.limit_rpm.holds(limit));
  const std::vector<Outcome> ends = run_over(d, {limit - 50, limit + 50}, 2);
  const Outcome peak = strongest(run_over(d, near_peak(c), 16));
  EXPECT_LT(ends[0].power_w, 0.97 * peak.power_w);  // falls off before the limit
  EXPECT_LT(ends[1].bmep_pa, 0);
  EXPECT_NEAR(ends[1].misfire, 1, 1e-6);
}

TEST_P(Engines, RepeatTheirCycles) {
  const ClassFigures& c = GetParam();
  const double peak = (c.peak_rpm.low + c.peak_rpm.high) / 2;
  const Design d = design_of(c);
  for (const Outcome& o : run_over(d, {0.4 * peak, 1.1 * peak}, 14)) {
    EXPECT_EQ(o.state, Outcome::State::repeats) << o.rpm;
    if (o.misfire < 0.5) {
      EXPECT_GT(o.power_w, 0);
      EXPECT_LT(o.uneven, 0.05) << o.rpm;
    }
  }
}

/// Jets must suit from 60 % of the peak's speed on, as far as one set of jets can: the waves in the inlet make the
/// rest. An injected engine is mapped for 0.88. *Common practice*.
TEST_P(Engines, BurnTheMixtureTheyAreSetFor) {
  const ClassFigures& c = GetParam();
  const Design d = design_of(c);
  const double peak = strongest(run_over(d, near_peak(c), 16)).rpm;
  const bool jets = d.mixture.by == Fuelling::carburettor;
  const Band lambda = jets ? Band{0.78, 0.99} : Band{0.85, 0.91};
  for (const Outcome& o : run_over(d, {0.6 * peak, peak}, 12))
    EXPECT_TRUE(lambda.holds(o.lambda)) << o.lambda << " at " << o.rpm;
}

/// The peak is the engine's and not the grid's.
TEST_P(Engines, DoNotHangOnTheGrid) {
  const ClassFigures& c = GetParam();
  RunOptions usual, fine;
  usual.within = fine.within = 0.001;
  usual.most_cycles = fine.most_cycles = 60;
  fine.cells = {2 * usual.cells.runner, 2 * usual.cells.port, 2 * usual.cells.transfer, 2 * usual.cells.exhaust};
  const Design d = design_of(c);
  const Outcome a = strongest(run_over(d, near_peak(c), 16, usual)), b = strongest(run_over(d, near_peak(c), 16, fine));
  EXPECT_NEAR(a.power_w, b.power_w, 0.01 * b.power_w);
}

INSTANTIATE_TEST_SUITE_P(Classes, Engines, testing::ValuesIn(kClasses), [](const auto& each) {
  std::string name = each.param.id;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

}  // namespace
}  // namespace crankwise::engine
