#include "app/case_file.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <random>
#include <set>

#include "tests/case_file_case.h"

namespace crankwise {
namespace {

using namespace test;

TEST(CaseFile, ReadsEveryFeature) {
  const Case c = parse(kEverything);
  EXPECT_EQ(c.bike.name, "Blue 110");
  EXPECT_EQ(c.bike.bike_class, "mini-four-stroke");
  EXPECT_EQ(Traits(c.bike.traits).ids(), (std::vector<std::string>{"carburettor", "four-stroke", "kick-start"}));
  EXPECT_EQ(c.bike.displacement_cc, 124.5);
  EXPECT_TRUE(c.bike.hours_known);
  EXPECT_EQ(c.bike.hours, 88.5);
  EXPECT_EQ(c.bike.renewed_h, (std::map<std::string, double>{{"piston", 12.5}, {"plug", 80}}));
  ASSERT_EQ(c.bike.figures.size(), 2U);
  const Figure compression = c.bike.figures.at("compression"), coil = c.bike.figures.at("coil");
  EXPECT_EQ(compression.low, 6.2);
  EXPECT_EQ(compression.high, 7.6);
  EXPECT_EQ(compression.unit, "bar");
  EXPECT_FALSE(compression.baseline);
  EXPECT_EQ(coil.low, 11);
  EXPECT_EQ(coil.high, 11);
  EXPECT_TRUE(coil.baseline);
  EXPECT_EQ(c.bike.access_min, (std::map<std::string, std::pair<double, double>>{{"tank", {9, 11.5}}}));
  EXPECT_EQ(c.complaint, "bogs up top, \"never\" when cold");
  EXPECT_EQ(c.shop.money_per_hour, 48);
  EXPECT_EQ(c.shop.currency, "crowns");
  EXPECT_EQ(c.shop.lacks, std::set<std::string>{"gauge"});
  EXPECT_EQ(in_log(c.entries), R"(context {"context":"new-plug","so":false}
context {"context":"stood","so":true}
answered {"answer":"yes","finding":"bogs-up-top"}
answered {"answer":"unsure","finding":"breaks-up"}
answered {"answer":"no","finding":"only-hot"}
measured {"open":true,"reading":"coil"}
measured {"reading":"compression","unit":"bar","value":6.9}
did {"step":"look-at-plug"}
answered {"answer":"no","finding":"plug-looks-bad"}
did {"step":"swap-plug"}
ran {"result":"same","step":""}
put-back {"step":"swap-plug"}
skipped {"step":"test-spark","why":"no tester"}
skipped {"step":"wont-start","why":""}
did {"step":"measure-coil"}
measured {"reading":"coil","unit":"kohm","value":10.6}
parts-off {"off":["tank","seat"]}
noted {"text":"hose looks fine"}
parts-off {"off":[]}
did {"step":"clean-jet"}
ran {"result":"better","step":""}
ran {"result":"gone","step":""}
)");
  const Diagnosis d = judge(small_knowledge(), c);
  EXPECT_TRUE(d.left_out.empty());
  EXPECT_EQ(d.contexts, std::set<std::string>{"stood"});
  EXPECT_EQ(d.state.off, 0U);
  EXPECT_TRUE(d.state.last_run_clean);
}

TEST(CaseFile, NeedsOnlyABike) {
  const Case c = parse(two_stroke(""));
  EXPECT_EQ(c.bike.name, "the bike");
  EXPECT_EQ(c.bike.traits, small_knowledge().classes.find("mini-two-stroke")->traits);
  EXPECT_EQ(c.bike.displacement_cc, 85);
  EXPECT_FALSE(c.bike.hours_known);
  EXPECT_TRUE(c.entries.empty());
  EXPECT_EQ(c.shop.money_per_hour, ShopSettings().money_per_hour);
  EXPECT_EQ(judge(small_knowledge(), c).belief.contradiction, false);
}

TEST(CaseFile, ABikeMayBeGivenByEquipmentAlone) {
  const Case c = parse(R"({"crankwise_case": 1, "bike": {"with": ["two-stroke", "carburettor"]}})");
  EXPECT_EQ(c.bike.bike_class, "");
  EXPECT_EQ(c.bike.traits, (std::vector<std::string>{"two-stroke", "carburettor"}));
}

TEST(CaseFile, TakesUnitsAsPeopleWriteThem) {
  const char* const same[] = {"138 psi", "138psi", "138 PSI", "951.477 kPa", "9.51477 bar", "1.38e2 psi"};
  const double first = judge(two_stroke(R"("readings": {"compression": "138 psi"})")).verdicts.at(0).appraised.value;
  EXPECT_DOUBLE_EQ(first, 138);
  for (const char* words : same) {
    const Diagnosis d = judge(two_stroke(fmt::format(R"("readings": {{"compression": "{}"}})", words)));
    ASSERT_EQ(d.verdicts.size(), 1U) << words;
    EXPECT_NEAR(d.verdicts[0].appraised.value, 138, 1e-4) << words;
    EXPECT_EQ(d.verdicts[0].appraised.weights.at(0).finding, "compression-low");
  }
}

TEST(CaseFile, OpenCircuitIsNotAValue) {
  const Diagnosis open = judge(two_stroke(R"("readings": {"coil": "open"})"));
  ASSERT_EQ(open.verdicts.size(), 1U);
  EXPECT_TRUE(open.verdicts[0].appraised.open);
  EXPECT_EQ(open.verdicts[0].appraised.weights.at(0).finding, "coil-is-open");
  EXPECT_GT(open.verdicts[0].appraised.weights.at(0).ratio(), 10);
  const Diagnosis whole = judge(two_stroke(R"("readings": {"coil": "0.1 kohm"})"));
  EXPECT_LT(whole.verdicts.at(0).appraised.weights.at(0).ratio(), 0.1);
}

TEST(CaseFile, TheBikesOwnFigureIsTheYardstick) {
  const auto words = [](const std::string& figures) {
    return judge(two_stroke_with(figures, R"("readings": {"compression": "100 psi"})")).verdicts.at(0).appraised;
  };
  EXPECT_EQ(words("\"hours\": 3").held_against->words, "usual for its kind (common practice)");
  const auto handbook = words(R"("figures": {"compression": {"low": 95, "high": 105, "unit": "psi"}})");
  EXPECT_EQ(handbook.held_against->words, "handbook");
  EXPECT_LT(handbook.weights.at(0).ratio(), 0.5);
  const auto baseline = words(R"("figures": {"compression": {"value": 170, "unit": "psi", "baseline": true}})");
  EXPECT_EQ(baseline.held_against->words, "own baseline");
  EXPECT_GT(baseline.weights.at(0).ratio(), 5);
}

TEST(CaseFile, HoursAndRenewalsMoveThePriors) {
  const auto worn = [](const std::string& fields) {
    const Diagnosis d = judge(two_stroke_with(fields));
    return d.belief.there_at_start()[static_cast<size_t>(d.bike().fault("plug-worn"))];
  };
  const double unknown = worn("\"name\": \"x\"");
  const double fresh = worn(R"("hours": 60, "renewed_h": {"plug": 60})");
  const double old = worn(R"("hours": 60, "renewed_h": {"plug": 0})");
  EXPECT_LT(fresh, unknown);
  EXPECT_GT(old, unknown);
}

/// Entries whose order in the file is free, in a random order.
std::string shuffled(const std::vector<std::string>& members, std::mt19937& random) {
  std::vector<std::string> order = members;
  std::shuffle(order.begin(), order.end(), random);
  return fmt::format("{{{}}}", fmt::join(order, ", "));
}

TEST(CaseFile, OrderInTheFileDoesNotMatter) {
  std::mt19937 random(1);
  std::vector<double> first;
  for (int round = 0; round < 20; ++round) {
    const std::string findings =
        shuffled({R"("bogs-up-top": "yes")", R"("only-hot": "unsure")", R"("plug-looks-bad": "no")",
                  R"("breaks-up": "no")", R"("spark-weak": "no")", R"("reed-chip-seen": "yes")"},
                 random);
    const std::string readings =
        shuffled({R"("compression": "131 psi")", R"("reed-gap": "0.5 mm")", R"("coil": "open")"}, random);
    const std::string context = shuffled({R"("stood": true)", R"("new-plug": true)"}, random);
    const std::string text =
        shuffled({R"("crankwise_case": 1)", R"("bike": {"class": "mini-two-stroke"})", "\"findings\": " + findings,
                  "\"readings\": " + readings, "\"context\": " + context},
                 random);
    const std::vector<double> now = judge(text).belief.still_there();
    if (first.empty()) first = now;
    EXPECT_EQ(now, first) << text;
  }
}

TEST(CaseFile, OrderOfAnswersBetweenStepsDoesNotMatter) {
  std::vector<std::string> steps{
      R"({"findings": {"bogs-up-top": "yes"}})",
      R"({"step": "look-at-plug", "findings": {"plug-looks-bad": "no"}})",
      R"({"readings": {"compression": "131 psi"}})",
      R"({"findings": {"breaks-up": "unsure"}})",
      R"({"step": "look-at-reeds", "readings": {"reed-gap": "0.5 mm"}, "findings": {"reed-chip-seen": "no"}})",
      R"({"note": "nothing"})"};
  std::mt19937 random(2);
  std::vector<double> first;
  for (int round = 0; round < 20; ++round) {
    std::shuffle(steps.begin(), steps.end(), random);
    const std::vector<double> now =
        judge(two_stroke(fmt::format("\"steps\": [{}]", fmt::join(steps, ", ")))).belief.still_there();
    if (first.empty()) first = now;
    for (size_t f = 0; f < now.size(); ++f) ASSERT_NEAR(now[f], first[f], 1e-7);  // the table is of floats
  }
}

TEST(CaseFile, ARepairIsRemembered) {
  // The order of a repair and a look does matter: the jet was dirty before it was cleaned.
  const auto jet = [](const std::string& steps) {
    const Diagnosis d = judge(two_stroke("\"findings\": {\"bogs-up-top\": \"yes\"},\n\"steps\": [" + steps + "]"));
    return d.belief.still_there()[static_cast<size_t>(d.bike().fault("main-jet-blocked"))];
  };
  const double dirty = jet(R"({"findings": {"jet-dirty": "yes"}})");
  const double cleaned = jet(R"({"findings": {"jet-dirty": "yes"}}, {"step": "clean-jet"})");
  const double failed = jet(R"({"findings": {"jet-dirty": "yes"}}, {"step": "clean-jet", "run": "same"})");
  const double dirty_again = jet(R"({"step": "clean-jet"}, {"findings": {"jet-dirty": "yes"}})");
  EXPECT_GT(dirty, 0.8);
  EXPECT_LT(cleaned, 0.2);
  EXPECT_GT(failed, cleaned);
  EXPECT_GT(dirty_again, cleaned);
}

}  // namespace
}  // namespace crankwise
