// What simulated engines say, as knowledge: read, checked, pooled with what was given by hand, held against a speed
// heard.
#include <gtest/gtest.h>

#include <cmath>

#include "app/engine/evidence.h"
#include "app/shop.h"
#include "edge/bike_model.h"
#include "edge/problem.h"
#include "edge/simulated.h"
#include "tests/small_knowledge.h"

namespace crankwise {
namespace {

constexpr const char* kSimulated = R"(
source = "simulation"
[simulated.mini-two-stroke]
draws = 24
seed = 1
decides = ["bogs-up-top", "breaks-up"]
by_chance = { breaks-up = 0.06 }
[simulated.mini-two-stroke.faults.main-jet-blocked]
draws = 22
in_neutral = [0.50, 0.60, 0.70, 0.80, 0.90]
in_a_gear = [0.40, 0.50, 0.60, 0.70, 0.80]
shows = { breaks-up = 0.6 }
[simulated.mini-two-stroke.faults.plug-worn]
draws = 24
in_neutral = [0.96, 0.98, 1.00, 1.00, 1.00]
in_a_gear = [0.95, 0.97, 0.99, 1.00, 1.00]
shows = { breaks-up = 0.9 }
)";

Knowledge with_simulated() { return test::small_knowledge_and(kSimulated); }

double strength_of(const BikeModel& m, const char* fault, const char* finding) {
  for (const auto& link : m.model.findings[static_cast<size_t>(m.finding(finding))].links)
    if (link.fault == m.fault(fault)) return link.strength;
  return 0;
}

TEST(SimulatedEvidence, IsPooledAsAnswers) {
  const Knowledge k = with_simulated();
  const SimulatedClass* c = k.simulated.find("mini-two-stroke");
  ASSERT_NE(c, nullptr);
  const auto pooled = pooled_strengths({{"bogs-up-top", 0.9}, {"jet-dirty", 0.8}}, 20, c, "main-jet-blocked", 10);
  EXPECT_NEAR(pooled.at("bogs-up-top"), 0.6, 1e-12) << "the simulation hardly shows it";
  EXPECT_NEAR(pooled.at("breaks-up"), 0.2, 1e-12) << "by hand it is not known";
  EXPECT_EQ(pooled.at("jet-dirty"), 0.8) << "no matter of physics";
  EXPECT_EQ(pooled_strengths({{"bogs-up-top", 0.06}}, 20, c, "main-jet-blocked", 10).count("bogs-up-top"), 0U);
  const std::map<std::string, double> own{{"breaks-up", 0.4}};
  EXPECT_EQ(pooled_strengths(own, 20, c, "reed-chipped", 10), own) << "a fault that was not simulated";
  EXPECT_EQ(pooled_strengths(own, 20, nullptr, "main-jet-blocked", 10), own) << "a class that was not";
  EXPECT_EQ(pooled_strengths(own, 20, c, "main-jet-blocked", 0), own) << "not wanted";
}

TEST(SimulatedEvidence, MovesTheBeliefOfBikesOfTheClassWhereTheShopWantsIt) {
  const Knowledge k = with_simulated();
  Bike bike;
  bike.bike_class = "mini-two-stroke";
  bike.traits = k.classes.find("mini-two-stroke")->traits;
  ShopSettings wants;
  wants.simulated_worth = 10;
  const auto strength = [&](const ShopSettings& shop) {
    return strength_of(fit(k, bike, {}, shop), "main-jet-blocked", "bogs-up-top");
  };
  const double hand = strength({});
  EXPECT_GT(hand, 0.8);
  EXPECT_NEAR(strength(wants), hand * 2 / 3, 1e-12);
  EXPECT_NEAR(strength_of(fit(k, bike, {}, wants), "main-jet-blocked", "breaks-up"), 0.2, 1e-12);
  bike.bike_class = "";
  EXPECT_EQ(strength(wants), hand);
}

TEST(SimulatedEvidence, ItsWorthIsKeptAndChecked) {
  Shop shop(test::small_knowledge(), Store::in_memory(), [] { return std::string("2026-03-14T08:10:00.100Z"); });
  ShopSettings s = shop.settings();
  EXPECT_EQ(s.simulated_worth, 0);
  s.simulated_worth = 10;
  shop.set(s);
  EXPECT_EQ(shop.settings().simulated_worth, 10);
  for (const double wrong : {-1.0, 1001.0, std::nan("")}) {
    s.simulated_worth = wrong;
    EXPECT_THROW(shop.set(s), BadInput) << wrong;
  }
  EXPECT_EQ(shop.settings().simulated_worth, 10);
}

TEST(SimulatedEvidence, SaysWhereItDisagrees) {
  const Knowledge k = with_simulated();
  const Disagreements d = disagreements(k, "");
  EXPECT_EQ(d.compared, 4) << "two faults by two findings";
  ASSERT_FALSE(d.all.empty());
  EXPECT_EQ(d.all.front().fault, "main-jet-blocked");
  EXPECT_EQ(d.all.front().finding, "bogs-up-top");
  EXPECT_EQ(d.all.front().simulated, 0);
  EXPECT_GT(d.all.front().by_hand, 0.8);
  for (const Disagreement& x : d.all) EXPECT_GE(std::max(x.by_hand, x.simulated), 0.15);
  EXPECT_TRUE(disagreements(k, "mini-four-stroke").all.empty());
  EXPECT_EQ(disagreements(test::small_knowledge(), "").compared, 0);
}

TEST(SimulatedEvidence, HoldsASpeedAgainstTheFaults) {
  const Knowledge k = with_simulated();
  const SimulatedClass& c = *k.simulated.find("mini-two-stroke");
  const auto low = that_fit(k, c, 0.7, true, 0.02), high = that_fit(k, c, 1.0, true, 0.02);
  ASSERT_EQ(low.size(), 2U);
  EXPECT_EQ(low.front().fault->fault, "main-jet-blocked");
  EXPECT_EQ(high.front().fault->fault, "plug-worn");
  for (const auto& fits : {low, high}) {
    EXPECT_NEAR(fits[0].chance + fits[1].chance, 1, 1e-12);
    // Shares 12 and 9 of the knowledge are the odds before: factor times share is the chance.
    for (const FitsCeiling& f : fits)
      EXPECT_NEAR(f.chance, f.factor * (f.fault->fault == "plug-worn" ? 12.0 : 9.0) / 21, 1e-12);
  }
  EXPECT_LT(low.back().chance, 0.05);
  EXPECT_GT(low.back().chance, 0) << "nothing is ruled out by a speed alone";
  // What mostly never pulls is no candidate for a speed.
  std::string dead = kSimulated;
  dead.replace(dead.find("in_neutral = [0.50"), 10, "never_in_neutral = 0.9\nin_neutral");
  const Knowledge d = test::small_knowledge_and(dead);
  EXPECT_LT(that_fit(d, *d.simulated.find("mini-two-stroke"), 0.7, true, 0.02).front().factor, low.front().factor);
  // Of a middle of 0.6 in a gear, 0.6 speaks for it more than 0.75 does.
  EXPECT_GT(that_fit(k, c, 0.6, false, 0.02).front().factor, that_fit(k, c, 0.79, false, 0.02).front().factor);
}

TEST(SimulatedEvidence, IsReadBackAsItWasWritten) {
  EngineEvidence e{.engine = "mini-two-stroke", .faults = {}, .leak = {{"no-power", 0.08}, {"breaks-up", 0.01}}};
  FaultEvidence f{.fault = "plug-worn", .draws = 12, .failed = 1, .shows = {{"breaks-up", 0.42}, {"blubbers", 0.02}}};
  f.neutral = {.never = 0, .at = std::array<double, 5>{0.5, 0.6, 0.7, 0.8, 0.9}};
  f.gear = {.never = 0.25, .at = {}};
  e.faults.push_back(f);
  f.fault = "main-jet-blocked", f.draws = 3;  // too few to be told
  e.faults.push_back(f);
  std::string text = as_knowledge({e}, {.draws = 13, .seed = 7});
  // The small knowledge has few of the findings that the physics decides.
  const size_t decides = text.find("decides = ");
  text.replace(decides, text.find('\n', decides) - decides, "decides = [\"breaks-up\", \"no-power\"]");
  text.replace(text.find("no-power = 0.08"), 15, "");
  text.replace(text.find(", \"no-power\""), 12, "");
  const Knowledge k = test::small_knowledge_and(text);
  const SimulatedClass& c = *k.simulated.find("mini-two-stroke");
  EXPECT_EQ(c.draws, 13);
  EXPECT_EQ(c.seed, 7);
  EXPECT_EQ(c.source, "simulation");
  ASSERT_EQ(c.faults.size(), 1U);
  EXPECT_EQ(c.faults[0].fault, "plug-worn");
  EXPECT_EQ(c.faults[0].failed, 1);
  EXPECT_EQ(c.faults[0].in_neutral.at, f.neutral.at);
  EXPECT_EQ(c.faults[0].in_a_gear.never, 0.25);
  EXPECT_FALSE(c.faults[0].in_a_gear.at);
  EXPECT_EQ(c.faults[0].shows, (std::map<std::string, double>{{"breaks-up", 0.42}}));
}

/// Each change of the file is refused with its own words.
TEST(SimulatedEvidence, WhatCannotBeIsRefused) {
  const auto refused = [](const std::string& from, const std::string& to) {
    std::string text = kSimulated;
    const size_t at = text.find(from);
    EXPECT_NE(at, std::string::npos) << from;
    text.replace(at, from.size(), to);
    try {
      test::small_knowledge_and(text);
    } catch (const BadInput& e) {
      return std::string(e.what());
    }
    ADD_FAILURE() << "taken: " << to;
    return std::string();
  };
  const auto says = [](const std::string& all, const char* part) { return all.find(part) != std::string::npos; };
  EXPECT_TRUE(says(refused("simulated.mini-two-stroke]", "simulated.mini-two]"), "no class is called \"mini-two\""));
  EXPECT_TRUE(says(refused("faults.plug-worn", "faults.plug-old"), "no fault is called \"plug-old\""));
  EXPECT_TRUE(says(refused("\"bogs-up-top\"", "\"bogs\""), "no finding is called \"bogs\""));
  EXPECT_TRUE(says(refused("shows = { breaks-up", "shows = { wont-start"), "is not among what it decides"));
  EXPECT_TRUE(says(refused("by_chance = { breaks-up", "by_chance = { wont-start"), "is not among what it decides"));
  EXPECT_TRUE(says(refused("0.60, 0.70", "0.70, 0.60"), "is not a rising list"));
  EXPECT_TRUE(says(refused("[0.50, 0.60,", "[0.60,"), "5 numbers from 0 to 3"));
  EXPECT_TRUE(says(refused("shows = { breaks-up = 0.6", "shows = { breaks-up = 1.6"), "1.6"));
  EXPECT_TRUE(says(refused("draws = 24", "draws = 0"), "draws"));
  EXPECT_TRUE(says(refused("draws = 22", "draws = 22\nfailed = 23"), "failed"));
  EXPECT_TRUE(
      says(refused("simulated.mini-two-stroke.faults.plug-worn", "simulated.mini-two-stroke.faults.tap-unknown"),
           "no fault is called"));
}

}  // namespace
}  // namespace crankwise
