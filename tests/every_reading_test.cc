// What must hold of every reading whatever its method: monotone, the same in every unit, nothing off its own baseline,
// no cliff at a limit, less sure the less was told.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/reading_case.h"

namespace crankwise {
namespace {

std::vector<const Reading*> all_readings() {
  std::vector<const Reading*> all;
  for (const Reading& r : real_knowledge().readings) all.push_back(&r);
  return all;
}

/// A value that may be told of it.
double likely_value(const Reading& r, const Bike& bike, std::mt19937& random) {
  const auto y = yardstick_for(r, bike, bike.facts);
  const double low = y ? y->low / 2 : std::max(r.least, r.most / 1e4), high = y ? y->high * 2 : r.most;
  const double u = std::uniform_real_distribution<>(0, 1)(random);
  return std::clamp(low * std::pow(high / low, u), r.least, r.most);
}

/// Some of its conditions, told by chance.
Conditions some_conditions(const Reading& r, std::mt19937& random, bool all = false) {
  Conditions told;
  for (const AskedCondition& c : conditions_of(r)) {
    const Input& in = c.input;
    if (!all && random() % 2 == 0) continue;
    if (in.id == "oil" || in.id == "air-pressure" || in.id == "engine") continue;
    if (in.id == "from-temperature") continue;  // all of a small loss may be its cooling
    const double u = std::uniform_real_distribution<>(0.2, 0.8)(random);
    told[in.id] = in.choices.empty() ? with_unit(in.low + u * (in.high - in.low), in.unit)
                                     : in.choices[random() % in.choices.size()];
  }
  return told;
}

TEST(EveryReading, MoreSpeaksMoreForHighAndLessForLow) {
  std::mt19937 random(1);
  for (const Reading* r : all_readings()) {
    for (const Bike& bike : {two_stroke(), four_stroke(), injected()}) {
      const Conditions at = some_conditions(*r, random);
      const double first = likely_value(*r, bike, random), second = likely_value(*r, bike, random);
      const auto at_value = [&](double v) { return appraise(*r, {r->id, v, r->unit, false, {}, at}, bike, {}); };
      const Appraised a = at_value(std::min(first, second)), b = at_value(std::max(first, second));
      EXPECT_LE(a.corrected, b.corrected * (1 + 1e-9)) << r->id;
      if (!a.held_against || r->below == r->above || std::abs(a.spread.condition - b.spread.condition) > 1e-9) continue;
      for (size_t i = 0; i < a.weights.size(); ++i) {
        ASSERT_EQ(a.weights[i].finding, b.weights[i].finding);
        if (a.weights[i].finding == r->below) {
          EXPECT_GE(a.weights[i].ratio(), b.weights[i].ratio() * (1 - 1e-9)) << r->id;
        }
        if (a.weights[i].finding == r->above) {
          EXPECT_LE(a.weights[i].ratio(), b.weights[i].ratio() * (1 + 1e-9)) << r->id;
        }
      }
    }
  }
}

TEST(EveryReading, IsTheSameInEveryUnit) {
  std::mt19937 random(2);
  for (const Reading* r : all_readings()) {
    const Bike bike = injected();
    const double value = likely_value(*r, bike, random);
    const Conditions at = some_conditions(*r, random);
    const Appraised own = appraise(*r, {r->id, value, r->unit, false, {}, at}, bike, {});
    for (const std::string& unit : unit_names()) {
      const auto other = convert(value, r->unit, unit);
      if (!other) continue;
      const Appraised a = appraise(*r, {r->id, *other, unit, false, {}, at}, bike, {});
      EXPECT_NEAR(a.corrected / own.corrected, 1, 1e-9) << r->id << " in " << unit;
      for (size_t i = 0; i < a.weights.size(); ++i)
        EXPECT_NEAR(a.weights[i].ratio() / own.weights[i].ratio(), 1, 1e-6) << r->id << " in " << unit;
    }
  }
}

TEST(EveryReading, IsNothingOffItsOwnBaselineUnderTheSameConditions) {
  std::mt19937 random(3);
  for (const Reading* r : all_readings()) {
    for (int i = 0; i < 5; ++i) {
      Bike bike = injected();
      const Conditions at = some_conditions(*r, random);
      const double value = likely_value(*r, bike, random);
      if (value <= 0) continue;
      bike.figures[r->id] = {value, value, r->unit, true, at};
      const Appraised a = appraise(*r, {r->id, value, r->unit, false, {}, at}, bike, {});
      ASSERT_TRUE(a.held_against) << r->id;
      EXPECT_NEAR(a.corrected / std::sqrt(a.held_against->low * a.held_against->high), 1, 0.01) << r->id;
      for (const FindingWeight& w : a.weights) EXPECT_LE(w.ratio(), 1.05) << r->id << ", " << w.finding;
    }
  }
}

TEST(EveryReading, ThatBarelyFailsMovesBeliefBarelyOtherwiseThanOneThatBarelyPasses) {
  for (const Reading* r : all_readings()) {
    Bike bike = four_stroke();
    const double low = r->most / 4, high = r->most / 3;
    bike.figures[r->id] = {low, high, r->unit, false};
    for (const auto& [limit, finding] : {std::pair(low, r->below), {high, r->above}}) {
      if (finding.empty()) continue;
      const auto ratio = [&](double share) {
        return ratio_for(appraise(*r, {r->id, share * limit, r->unit}, bike, {}), finding);
      };
      EXPECT_LT(std::abs(std::log(ratio(0.995) / ratio(1.005))), 0.5) << r->id;
    }
  }
}

TEST(EveryReading, IsLessSureTheLessWasTold) {
  std::mt19937 random(4);
  for (const Reading* r : all_readings()) {
    if (r->method == ReadingMethod::pump_flow || r->method == ReadingMethod::thermistor) continue;  // told to be off
    const Bike bike = injected();
    const double value = likely_value(*r, bike, random);
    Conditions usual;
    for (const AskedCondition& c : conditions_of(*r)) {
      const std::string& id = c.input.id;
      if (id == "height") usual[id] = "0 m";
      if (id == "temperature") usual[id] = "20 degC";
      if (id == "leads") usual[id] = "0 ohm";
      if (id == "supply") usual[id] = "5 V";
      if (id == "orifice") usual[id] = "1.016 mm";
    }
    const double told = appraise(*r, {r->id, value, r->unit, false, {}, usual}, bike, {}).spread.condition;
    const double untold = appraise(*r, {r->id, value, r->unit}, bike, {}).spread.condition;
    if (value < 30 && find_unit(r->unit)->quantity == Quantity::resistance)
      continue;  // the leads were nearly all of it
    EXPECT_LE(told, untold + 0.005) << r->id;
  }
}

TEST(EveryReading, HasRangesThatCanBeAndConditionsThatAreKnown) {
  for (const Reading* r : all_readings()) {
    EXPECT_LT(r->least, r->most) << r->id;
    for (const Reading::Range& range : r->ranges) {
      EXPECT_GE(range.low, r->least) << r->id;
      EXPECT_LE(range.high, r->most) << r->id;
      for (const auto& [condition, word] : range.told) {
        bool known = false;
        for (const AskedCondition& c : conditions_of(*r))
          known = known || (c.input.id == condition && !problem_of(c.input, word));
        EXPECT_TRUE(known) << r->id << ": " << condition << " = " << word;
      }
    }
  }
}

TEST(EveryReading, TakesAllOfItsConditionsAndCanBeSaidInWords) {
  std::mt19937 random(5);
  for (const Reading* r : all_readings()) {
    for (const Bike& bike : {two_stroke(), four_stroke(), injected()}) {
      const Conditions at = some_conditions(*r, random, true);
      const Appraised a = appraise(*r, {r->id, likely_value(*r, bike, random), r->unit, false, {}, at}, bike, {});
      EXPECT_TRUE(std::isfinite(a.corrected)) << r->id;
      EXPECT_TRUE(std::isfinite(a.spread.all())) << r->id;
      EXPECT_FALSE(in_words(a, *r).empty());
      for (const FindingWeight& w : a.weights) EXPECT_TRUE(std::isfinite(w.ratio()) && w.ratio() > 0) << r->id;
    }
  }
}

}  // namespace
}  // namespace crankwise
