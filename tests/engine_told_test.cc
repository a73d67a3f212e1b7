// Simulated engines told: words, table, JSON, picture; what cannot be simulated is refused.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/engine/told.h"
#include "edge/problem.h"
#include "tests/engine_case.h"

namespace crankwise {
namespace {

struct Told {
  SimulatedCurve healthy, faulty;
};

const Told& told() {
  static const Told once = [] {
    engine::Design d = test::plain_four_stroke();
    Sweep sweep = usual_sweep(d);
    sweep.points = 8;
    const auto curves = simulate({trial_of(d, "", 0), trial_of(d, "silencer-core-carboned", 0.9)}, sweep);
    return Told{curves[0], curves[1]};
  }();
  return once;
}

TEST(EngineTold, SaysWhatIsLeftAndWhereItStops) {
  const auto words = explained(told().healthy, told().faulty);
  ASSERT_GE(words.size(), 3U);
  EXPECT_EQ(words[0].find("With the silencer closed by 90 % this engine"), 0U) << words[0];
  EXPECT_NE(words[1].find("In neutral it "), std::string::npos) << words[1];
  EXPECT_NE(words[2].find("Its best power falls from "), std::string::npos) << words[2];
  EXPECT_LT(told().faulty.power.value, 0.97 * told().healthy.power.value);
  EXPECT_EQ(explained(told().healthy)[0].find("Healthy it gives "), 0U);
  SimulatedCurve open_end = told().faulty;
  open_end.gear.how = engine::Stop::unknown;
  EXPECT_NE(explained(told().healthy, open_end)[0].find("is not known"), std::string::npos);
  SimulatedCurve lean = told().faulty;
  for (engine::Outcome& o : lean.at) o.lambda = 1.2;
  const auto warned = explained(told().healthy, lean);
  EXPECT_TRUE(std::any_of(warned.begin(), warned.end(),
                          [](const std::string& w) { return w.find("can seize") != std::string::npos; }));
  const auto of_knock = [](const SimulatedCurve& c) {
    const auto said = explained(told().healthy, c);
    return std::any_of(said.begin(), said.end(),
                       [](const auto& w) { return w.find("may knock") != std::string::npos; });
  };
  SimulatedCurve knocks = told().faulty;
  for (engine::Outcome& o : knocks.at) o.knock_margin = -1;
  EXPECT_TRUE(of_knock(knocks));
  for (engine::Outcome& o : knocks.at) o.knock_margin = 0.9;
  EXPECT_FALSE(of_knock(knocks));
}

TEST(EngineTold, TableAndJsonHoldEverySpeed) {
  const auto alone = table_of(told().healthy), both = table_of(told().healthy, &told().faulty);
  EXPECT_EQ(alone.size(), 9U);
  EXPECT_EQ(both.size(), 9U);
  for (const auto& row : both) EXPECT_EQ(row.size(), both.front().size());
  for (const auto& row : alone) EXPECT_EQ(row.size(), alone.front().size());
  const nlohmann::json j = as_json(told().faulty);
  EXPECT_EQ(j["fault"], "silencer-core-carboned");
  EXPECT_EQ(j["at"].size(), 8U);
  EXPECT_EQ(j["at"][3]["state"], "repeats");
}

TEST(EngineTold, PicturesAreWellFormedWhateverTheWords) {
  SimulatedCurve odd = told().faulty;
  odd.trial.fault = "cap-vent-blocked";  // "the cap's vent"
  const std::string svg = picture_of(told().healthy, &odd);
  EXPECT_NE(svg.find("cap&#39;s vent"), std::string::npos);
  EXPECT_EQ(svg.find("cap's"), std::string::npos);
}

TEST(EngineTold, SharesAndMixturesInWords) {
  EXPECT_EQ(share_in_words(0.5), "half");
  EXPECT_EQ(share_in_words(0.25), "a quarter");
  EXPECT_EQ(share_in_words(0.6), "60 %");
  EXPECT_EQ(mixture_in_words(0.6), "much too rich");
  EXPECT_EQ(mixture_in_words(0.85), "right");
  EXPECT_EQ(mixture_in_words(1.2), "much too lean");
}

TEST(EngineTold, WhatCannotBeIsRefused) {
  const engine::Design d = test::plain_four_stroke();
  const auto refused = [&](const char* fault, double severity) {
    try {
      trial_of(d, fault, severity);
    } catch (const BadInput& e) {
      return std::string(e.what());
    }
    return std::string();
  };
  EXPECT_EQ(refused("no-such-fault", 0.5),
            "fault: the simulation does not know \"no-such-fault\"; right would be: one that `crankwise power-curve "
            "--list` tells");
  EXPECT_NE(refused("reed-chipped", 0.5).find("this engine cannot have"), std::string::npos);
  EXPECT_NE(refused("filter-dirty", 1.5).find("1.5 is no severity"), std::string::npos);
  EXPECT_NE(refused("filter-dirty", -0.1), "");
  EXPECT_EQ(refused("filter-dirty", 1), "");
}

TEST(EngineTold, TheSameWhateverTheOrder) {
  const engine::Design d = test::plain_four_stroke();
  Sweep sweep = usual_sweep(d);
  sweep.points = 8;
  const auto again = simulate({trial_of(d, "filter-dirty", 0.5), trial_of(d, "", 0)}, sweep);
  EXPECT_NEAR(again[1].power.value, told().healthy.power.value, 1e-3 * told().healthy.power.value);
}

}  // namespace
}  // namespace crankwise
