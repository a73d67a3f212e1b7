// Numbers as evidence: how far one may move the odds, and what it is held against.
//
// Normal quantiles from the usual tables: 5 % beyond 1.6449, 90 % within.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "app/diagnosis.h"
#include "core/belief/explain.h"
#include "core/reading/judge.h"

namespace crankwise {
namespace {

double normal_cdf(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

/// Compression of a healthy engine, psi: 150 to 190 in nine of ten, a tired one at six tenths; gauge good to 7 %.
const Yardstick kCompression = from_range(150, 190, 20);
constexpr double kLow = 0.6, kHigh = 1.6, kSpread = 0.07;

double ratio(double value, const Yardstick& y = kCompression, double wrong = kLow, double spread = kSpread) {
  return weigh_reading(value, y, wrong, spread).ratio();
}

TEST(Yardstick, ARangeHoldsNineOfTen) {
  for (auto [low, high] : {std::pair(150.0, 190.0), {0.35, 0.5}, {4e3, 9e3}, {1.0, 30.0}}) {
    const Yardstick y = from_range(low, high, 6);
    EXPECT_NEAR(y.middle, std::sqrt(low * high), 1e-12 * high);
    const double below = normal_cdf(std::log(low / y.middle) / y.log_spread);
    const double above = 1 - normal_cdf(std::log(high / y.middle) / y.log_spread);
    EXPECT_NEAR(below, 0.05, 1e-5);
    EXPECT_NEAR(above, 0.05, 1e-5);
    EXPECT_EQ(y.most_ratio, 6);
  }
}

TEST(Judge, TheLowerTheMoreItSpeaksForTooLow) {
  double last = ratio(60);
  for (double v = 61; v <= 260; v += 1) {
    const double now = ratio(v);
    EXPECT_LE(now, last + 1e-12) << v << " psi";
    last = now;
  }
  EXPECT_GT(ratio(100), 5);          // near the tired middle of 101
  EXPECT_LT(ratio(168.8), 1 / 5.0);  // at the healthy middle
}

TEST(Judge, RatesAreThoseOfNumbersDrawnAsTheJudgeHasThem) {
  // Against a hundred thousand draws (std::normal_distribution): the share that comes out as "so".
  std::mt19937 random(1);
  std::normal_distribution<double> normal;
  struct Row {
    double low, high, below, above, spread;
  };
  for (const Row& row : {Row{150, 190, 0.6, 0, 0.07},
                         {3, 14, 0, 4.5, 0.2},
                         {0.45, 0.8, 0.5, 1.6, 0.06},
                         {173, 177, 0.94, 0, 0.015},
                         {0.5, 1100, 0.003, 0, 0.05}}) {
    const Yardstick y = from_range(row.low, row.high, 1e9);
    const ReadingRates rates = rates_of_reading(y, row.below, row.above, row.spread);
    const double healthy = std::hypot(y.log_spread, row.spread);
    const double sides = (row.below > 0 ? 1.0 : 0.0) + (row.above > 0 ? 1.0 : 0.0);
    const auto so = [&](double value) {
      double sum = 0;
      for (double f : {row.below, row.above}) sum += f > 0 ? weigh_reading(value, y, f, row.spread).ratio() : 0;
      return sum > sides;
    };
    constexpr int kDraws = 100000;
    int if_so = 0, if_not = 0;
    for (int i = 0; i < kDraws; ++i) {
      const double factor = row.below > 0 && (row.above <= 0 || i % 2 == 0) ? row.below : row.above;
      if_so += so(y.middle * factor * std::exp(wrong_spread(factor, row.spread, healthy) * normal(random)));
      if_not += so(y.middle * std::exp(healthy * normal(random)));
    }
    EXPECT_NEAR(rates.so_if_so, static_cast<double>(if_so) / kDraws, 0.01) << row.low;
    EXPECT_NEAR(rates.so_if_not, static_cast<double>(if_not) / kDraws, 0.01) << row.low;
  }
}

TEST(Judge, RatesStayWithinWhatTheYardstickCarries) {
  for (double most : {1.5, 6.0, 30.0}) {
    const ReadingRates r = rates_of_reading(from_range(100, 101, most), 0.2, 0, 0.01);
    EXPECT_LE(r.so_if_so / r.so_if_not, most * (1 + 1e-9));
    EXPECT_LE((1 - r.so_if_not) / (1 - r.so_if_so), most * (1 + 1e-9));
  }
}

TEST(Judge, TheHigherTheMoreItSpeaksForTooHigh) {
  double last = 0;
  for (double v = 60; v <= 400; v += 1) {
    const double now = ratio(v, kCompression, kHigh);
    EXPECT_GE(now, last - 1e-12) << v << " psi";
    last = now;
  }
}

TEST(Judge, AReadingThatBarelyFailsMovesBeliefBarely) {
  // Just below the healthy range the odds pass from a little less to a little more likely.
  EXPECT_LT(std::abs(10 * std::log10(ratio(145))), 4);
  EXPECT_LT(std::abs(10 * std::log10(ratio(140))), 3);
  EXPECT_GT(std::log(ratio(kCompression.middle)) / std::log(ratio(150)),
            2);  // at the limit less than half of the middle
  EXPECT_LT(ratio(151) / ratio(149), 1.0);
  EXPECT_GT(ratio(151) / ratio(149), 0.75);  // no step at the limit
  // Where it says nothing lies between the healthy range and the middle of the wrong ones.
  double even = 0;
  for (double v = 101; v < 190; v += 0.1) {
    if (ratio(v) >= 1 && ratio(v + 0.1) < 1) even = v;
  }
  EXPECT_GT(even, 120);
  EXPECT_LT(even, 150);
}

TEST(Judge, HeldToWhatTheYardstickCanCarry) {
  for (double most : {2.0, 6.0, 20.0, 30.0}) {
    const Yardstick y = from_range(150, 190, most);
    for (double v : {0.0, 1e-9, 1.0, 50.0, 90.0, 101.0, 130.0, 169.0, 250.0, 1e6}) {
      const ReadingWeight w = weigh_reading(v, y, kLow, kSpread);
      EXPECT_LE(w.ratio(), most * (1 + 1e-12)) << v;
      EXPECT_GE(w.ratio(), 1 / most * (1 - 1e-12)) << v;
      EXPECT_TRUE(w.if_so > 0 && w.if_so <= 1 && w.if_not > 0 && w.if_not <= 1) << v;
    }
  }
  const Yardstick sharp = from_range(150, 190, 2);
  EXPECT_NEAR(ratio(100, sharp), 2, 1e-9);
  EXPECT_NEAR(ratio(169, sharp), 0.5, 1e-9);
}

TEST(Judge, BeyondTheTwoMiddlesNothingMoreIsMadeOfIt) {
  const Yardstick free = from_range(150, 190, 1e12);
  EXPECT_NEAR(ratio(50, free), ratio(free.middle * kLow, free), 1e-9);
  EXPECT_NEAR(ratio(300, free), ratio(free.middle, free), 1e-12);
  EXPECT_NEAR(ratio(50, free, kHigh), ratio(free.middle, free, kHigh), 1e-12);
}

TEST(Judge, ZeroIsFarOutBelow) {
  EXPECT_NEAR(ratio(0), ratio(1), 1e-12);                                            // too low, as sure as can be
  EXPECT_NEAR(ratio(0, kCompression, kHigh), ratio(1, kCompression, kHigh), 1e-12);  // and not too high
  EXPECT_LT(ratio(0, kCompression, kHigh), 1);
}

TEST(Judge, AboveMirrorsBelow) {
  for (double v : {60.0, 101.0, 130.0, 150.0, 168.0, 200.0, 300.0}) {
    const double mirrored = kCompression.middle * kCompression.middle / v;
    EXPECT_NEAR(ratio(v) / ratio(mirrored, kCompression, 1 / kLow), 1, 1e-9) << v;
  }
}

TEST(Judge, TheUnitDoesNotMatter) {
  constexpr double kKilopascal = 6.894757;
  const Yardstick metric = from_range(150 * kKilopascal, 190 * kKilopascal, 20);
  for (double v : {90.0, 140.0, 170.0}) EXPECT_NEAR(ratio(v) / ratio(v * kKilopascal, metric), 1, 1e-9);
}

TEST(Judge, AWorseGaugeSaysLess) {
  for (double v : {101.0, 168.0}) {
    double last = 1e9;
    for (double spread : {0.02, 0.07, 0.15, 0.3, 0.6}) {
      const double now = std::abs(std::log(ratio(v, from_range(150, 190, 1e9), kLow, spread)));
      EXPECT_LT(now, last) << v << " psi, spread " << spread;
      last = now;
    }
  }
}

TEST(Judge, ByHand) {
  // Healthy: ln spread ln(190/150)/3.2898 = .071857, with the gauge .100316; wrong ones .25 and the gauge: .259615.
  // At the wrong middle: ln ratio = -ln .259615 + .5 (ln .6 / .100316)^2 + ln .100316.
  const double want = -std::log(0.259615) + 0.5 * std::pow(std::log(0.6) / 0.100316, 2) + std::log(0.100316);
  const Yardstick free = from_range(150, 190, 1e12);
  EXPECT_NEAR(std::log(ratio(free.middle * 0.6, free)), want, 1e-3);
}

// What a reading is held against, on a bike.

const char* const kTexts = R"(source = "from memory"
[trait.two-stroke]
name = "two-stroke"
[class.plain]
name = "plain"
displacement_cc = 125
traits = ["two-stroke"]
[fault.rings-worn]
name = "rings worn"
part = "rings"
share = 10
causes = { weak = "mostly", compression-low = "mostly" }
[fault.coil-open]
name = "coil open inside"
part = "coil"
share = 10
causes = { weak = "mostly", coil-broken = "nearly always", coil-high = "often" }
[fault.other]
name = "something else"
part = "bike"
share = 10
last_resort = true
causes_every = { complaint = "often" }
[finding.weak]
short = "weak"
ask = "Is it weak?"
kind = "complaint"
words = ["weak"]
[finding.compression-low]
short = "compression low"
ask = "Low?"
kind = "measured"
[finding.coil-broken]
short = "coil open circuit"
ask = "Open?"
kind = "measured"
[finding.coil-high]
short = "coil resistance high"
ask = "High?"
kind = "measured"
[reading.compression]
name = "Compression"
ask = "Gauge in the plug hole."
unit = "psi"
possible = [0, 400]
below = "compression-low"
spread = 0.07
ranges = [{ healthy = [150, 190] }]
[reading.coil]
name = "Coil"
ask = "Across the leads."
unit = "ohm"
possible = [0, 1e8]
above = "coil-high"
open = "coil-broken"
wrong = { above = 3.0 }
[step.gauge]
name = "Measure compression"
kind = "measure"
minutes = 5
reads = ["compression", "coil"]
[step.rings]
name = "New rings"
kind = "replace"
minutes = 60
cures = { rings-worn = "nearly always", coil-open = "nearly always" }
[step.run]
name = "Ride it"
kind = "run"
engine = "ridden"
minutes = 5
[step.strip]
name = "Full strip"
kind = "replace"
minutes = 600
last_resort = true
cures = { other = "nearly always" }
)";

struct OnABike : testing::Test {
  Knowledge k = parse_knowledge({{"small.toml", kTexts}});
  Bike bike;
  OnABike() { bike.traits = {"two-stroke"}; }
  const Reading& compression() const { return *k.readings.find("compression"); }
  Diagnosis after(const std::vector<Entry>& entries) const { return diagnose(k, bike, entries, {}); }
  double chance(const std::vector<Entry>& entries, const char* fault) const {
    const Diagnosis d = after(entries);
    return d.belief.still_there()[static_cast<size_t>(d.bike().fault(fault))];
  }
};

TEST_F(OnABike, BaselineBeforeHandbookBeforeClass) {
  const auto of_class = yardstick_for(compression(), bike);
  ASSERT_TRUE(of_class);
  EXPECT_EQ(of_class->low, 150);
  EXPECT_EQ(of_class->high, 190);
  EXPECT_NE(of_class->words.find("usual for its kind"), std::string::npos) << of_class->words;
  bike.figures["compression"] = {12, 13, "bar", false};
  const auto handbook = yardstick_for(compression(), bike);
  ASSERT_TRUE(handbook);
  EXPECT_EQ(handbook->words, "handbook");
  EXPECT_NEAR(handbook->low, 12 * 14.50377, 1e-3);
  EXPECT_NEAR(handbook->high, 13 * 14.50377, 1e-3);
  bike.figures["compression"] = {178, 178, "psi", true};
  const auto own = yardstick_for(compression(), bike);
  ASSERT_TRUE(own);
  EXPECT_EQ(own->words, "own baseline");
  EXPECT_LT(own->low, 178);
  EXPECT_GT(own->high, 178);
  EXPECT_LT(own->high / own->low, 190.0 / 150);  // narrower than its class
  EXPECT_GT(own->most_ratio, handbook->most_ratio);
  EXPECT_GT(handbook->most_ratio, of_class->most_ratio);
}

TEST_F(OnABike, TheSameReadingSaysMoreAgainstItsOwnBaseline) {
  const std::vector<Entry> low{Took{"compression", 120, "psi", false}};
  const double before = chance({}, "rings-worn"), by_class = chance(low, "rings-worn");
  bike.figures["compression"] = {178, 178, "psi", true};
  const double by_baseline = chance(low, "rings-worn");
  EXPECT_GT(by_class, before);
  EXPECT_GT(by_baseline, by_class);
  EXPECT_LT(chance({Took{"compression", 178, "psi", false}}, "rings-worn"), before);
}

TEST_F(OnABike, TheVerdictNamesWhatItWasHeldAgainst) {
  const Diagnosis d = after({Took{"compression", 8, "bar", false}});
  ASSERT_EQ(d.verdicts.size(), 1u);
  const ReadingVerdict& v = d.verdicts[0];
  ASSERT_EQ(v.appraised.weights.size(), 1u);
  EXPECT_EQ(v.appraised.weights[0].finding, "compression-low");
  EXPECT_NEAR(v.appraised.value, 8 * 14.50377, 1e-3);
  ASSERT_TRUE(v.appraised.held_against);
  EXPECT_EQ(v.appraised.held_against->low, 150);
  EXPECT_EQ(v.appraised.held_against->high, 190);
  const Yardstick y = from_range(150, 190, yardstick_for(compression(), bike)->most_ratio);
  EXPECT_NEAR(v.appraised.weights[0].ratio(), ratio(v.appraised.value, y), 1e-9);
  EXPECT_TRUE(d.state.settled[static_cast<size_t>(d.bike().finding("compression-low"))]);
}

TEST_F(OnABike, WithoutAFigureNothingIsJudged) {
  const Diagnosis d = after({Took{"coil", 0.9, "ohm", false}});
  ASSERT_EQ(d.verdicts.size(), 1u);
  EXPECT_FALSE(d.verdicts[0].appraised.held_against);
  for (const FindingWeight& w : d.verdicts[0].appraised.weights) {
    if (w.finding == "coil-high") ADD_FAILURE() << "judged without a figure";
  }
  EXPECT_FALSE(d.state.settled[static_cast<size_t>(d.bike().finding("coil-high"))]);
  EXPECT_FALSE(yardstick_for(*k.readings.find("coil"), bike));
  bike.figures["coil"] = {0.8, 1.0, "ohm", false};
  const Diagnosis judged = after({Took{"coil", 2.7, "ohm", false}});
  EXPECT_TRUE(judged.state.settled[static_cast<size_t>(judged.bike().finding("coil-high"))]);
}

TEST_F(OnABike, OpenCircuit) {
  const double before = chance({}, "coil-open");
  EXPECT_GT(chance({Took{"coil", 0, "ohm", true}}, "coil-open"), 5 * before / (1 + 4 * before) - 0.05);
  EXPECT_LT(chance({Took{"coil", 0.9, "ohm", false}}, "coil-open"), before);  // it is not open, whatever its value
  const Diagnosis d = after({Took{"coil", 0, "ohm", true}});
  ASSERT_EQ(d.verdicts.size(), 1u);
  const Appraised& a = d.verdicts[0].appraised;
  EXPECT_TRUE(a.open);
  ASSERT_EQ(a.weights.size(), 1u);
  EXPECT_EQ(a.weights[0].finding, "coil-broken");
  EXPECT_GT(a.weights[0].ratio(), 10);
}

TEST_F(OnABike, AShortedCoilIsNotTooHigh) {
  bike.figures["coil"] = {0.8, 1.0, "ohm", false};
  const Diagnosis d = after({Took{"coil", 0, "ohm", false}});
  ASSERT_EQ(d.verdicts.size(), 1u);
  for (const FindingWeight& w : d.verdicts[0].appraised.weights) {
    if (w.finding == "coil-high") {
      EXPECT_LT(w.ratio(), 1);
    }
  }
}

TEST_F(OnABike, AWrongKindOfUnitIsLeftOut) {
  const Diagnosis d = after({Took{"compression", 120, "ohm", false}});
  EXPECT_EQ(d.left_out.size(), 1u);
  EXPECT_TRUE(d.history.empty());
}

}  // namespace
}  // namespace crankwise
