// What is due, why, and the odds of trouble.
#include "app/due.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "core/wear/wear.h"
#include "tests/real_knowledge.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

struct Yard {
  std::string now = "2026-03-01T08:00:00.000Z";
  Shop shop{small_knowledge(), Store::in_memory(), [this] { return now; }};
  std::string red = shop.add_bike(test::red());  // 85 cm3, 42 h

  DueItem item(const std::string& id, double within_h = 5) const {
    const DueList list = due_list(shop, red, within_h);
    for (const DueItem& i : list.items) {
      if (i.upkeep->id == id) return i;
    }
    ADD_FAILURE() << id;
    return {};
  }
  std::string says(const std::string& id) const { return reason_in_words(item(id)); }
};

TEST(Due, ByTheHours) {
  Yard y;
  y.shop.renewed(y.red, "plug", {20});
  EXPECT_EQ(y.says("plug"), "22 h of usually 20 h, renewed at 20 h: overdue by 2 h");
  EXPECT_EQ(y.item("plug").urgency, Urgency::overdue);
  y.shop.renewed(y.red, "plug", {22, "", true});
  EXPECT_EQ(y.says("plug"), "20 h of usually 20 h, renewed at 22 h: due now");
  EXPECT_EQ(y.item("plug").urgency, Urgency::overdue);
  y.shop.renewed(y.red, "plug", {25.5, "", true});
  EXPECT_EQ(y.says("plug"), "16.5 h of usually 20 h, renewed at 25.5 h: due in 3.5 h");
  EXPECT_EQ(y.item("plug").urgency, Urgency::soon);
  EXPECT_EQ(y.item("plug", 3).urgency, Urgency::later);
}

TEST(Due, ByTheDays) {
  Yard y;
  y.shop.renewed(y.red, "fuel");
  y.now = "2026-03-10T06:00:00.000Z";
  EXPECT_EQ(y.says("fuel"), "9 days of usually 30 days, renewed at 42 h on 2026-03-01: due in 21 days");
  EXPECT_EQ(y.item("fuel").urgency, Urgency::later);
  y.now = "2026-03-20T06:00:00.000Z";
  EXPECT_EQ(y.item("fuel").urgency, Urgency::soon);
  y.now = "2026-04-15T06:00:00.000Z";
  EXPECT_EQ(y.says("fuel"), "45 days of usually 30 days, renewed at 42 h on 2026-03-01: overdue by 15 days");
  EXPECT_EQ(y.item("fuel").urgency, Urgency::overdue);
  // By hand: gone off by 45 of 75 days at shape 3 with the chance 1 - exp(-0.6^3).
  EXPECT_NEAR(y.item("fuel").chance, 1 - std::exp(-0.216), 1e-12);
  y.now = "2026-02-01T06:00:00.000Z";  // a clock that was set back
  EXPECT_EQ(y.item("fuel").age_days, 0);
}

TEST(Due, ARenewalThatNobodyWroteDownIsSaidAsSuch) {
  Yard y;
  EXPECT_EQ(y.says("plug"), "no renewal in the record, up to 42 h old; usually 20 h");
  EXPECT_EQ(y.item("plug").urgency, Urgency::unknown);
  EXPECT_EQ(y.says("fuel"), "no renewal in the record; usually 30 days");
  EXPECT_EQ(y.item("fuel").urgency, Urgency::unknown);
  EXPECT_EQ(y.item("fuel").chance, -1);
  // Any age up to the interval; by hand at shape 2 without spread, 16 ages.
  double sum = 0;
  for (int k = 0; k < 16; ++k) {
    const double age = 20 * (k + 0.5) / 16;
    sum += 1 - std::exp((age * age - (age + 5) * (age + 5)) / 3600);
  }
  EXPECT_NEAR(y.item("plug").chance, sum / 16, 1e-12);

  // A bike younger than the interval cannot be overdue.
  Bike young = red();
  young.hours = 12;
  y.red = y.shop.add_bike(young);
  EXPECT_EQ(y.item("plug").urgency, Urgency::later);
  EXPECT_EQ(y.item("plug", 8).urgency, Urgency::soon);
  young.hours_known = false;
  y.red = y.shop.add_bike(young);
  EXPECT_EQ(y.says("plug"), "no renewal in the record, and the engine's hours are not known; usually 20 h");
  EXPECT_EQ(y.item("plug").chance, -1);
  EXPECT_EQ(due_list(y.shop, y.red, 5).not_told, 3);
  EXPECT_EQ(due_list(y.shop, y.red, 5).chance_of_any, 0);
}

TEST(Due, ARepairOnAJobCountsAndItsUndoing) {
  Yard y;
  y.shop.renewed(y.red, "piston", {10});
  EXPECT_EQ(y.item("top-end").urgency, Urgency::overdue);
  const int job = y.shop.take_in(y.red, "no power");
  y.shop.write(job, {Did{"new-piston"}});
  EXPECT_EQ(y.says("top-end"), "0 h of usually 25 h, renewed at 42 h on 2026-03-01: due in 25 h");
  y.shop.undo(job);
  EXPECT_EQ(y.says("top-end"), "32 h of usually 25 h, renewed at 10 h: overdue by 7 h");
}

TEST(Due, OwnIntervalsAndHardUse) {
  Yard y;
  y.shop.renewed(y.red, "plug", {30});
  const double usual = y.item("plug").chance;
  y.shop.set_hard(y.red, true);
  EXPECT_EQ(y.says("plug"), "12 h of 10 h in hard use, renewed at 30 h: overdue by 2 h");
  EXPECT_NEAR(y.item("plug").chance, chance_within({30, 2, 0}, 12, 5), 1e-15);  // half the interval, half the life
  EXPECT_GT(y.item("plug").chance, usual);
  y.shop.set_interval(y.red, "plug", {15, 0});
  EXPECT_EQ(y.says("plug"), "12 h of this bike's own 15 h, renewed at 30 h: due in 3 h");
  y.shop.set_interval(y.red, "plug", {});
  y.shop.set_hard(y.red, false);
  EXPECT_EQ(y.says("plug"), "12 h of usually 20 h, renewed at 30 h: due in 8 h");
  EXPECT_EQ(refusal([&] {
              y.shop.set_interval(y.red, "plgu", {15, 0});
            }),
            "no upkeep is called \"plgu\"; right would be: perhaps \"plug\"");
  EXPECT_NE(refusal([&] { y.shop.set_interval(y.red, "oil", {15, 0}); }).find("Red 85 has no oil"), std::string::npos);
  EXPECT_NE(refusal([&] { y.shop.set_interval(y.red, "plug", {-1, 0}); }), "");
}

TEST(Due, TheFirstIntervalThatFitsCounts) {
  Yard y;
  EXPECT_EQ(y.item("top-end").every_h, 25);
  Bike big = red();
  big.displacement_cc = 250;
  y.red = y.shop.add_bike(big);
  EXPECT_EQ(y.item("top-end").every_h, 40);
  y.red = y.shop.add_bike(blue());
  EXPECT_EQ(y.item("plug").every_h, 40);
  EXPECT_EQ(due_list(y.shop, y.red, 5).items.size(), 3U);  // plug, fuel, oil
}

TEST(Due, TheWholeBikeIsAllItsPartsTogether) {
  Yard y;
  y.shop.renewed(y.red, "plug", {30});
  y.shop.renewed(y.red, "top-end", {20});
  y.shop.renewed(y.red, "fuel");
  y.now = "2026-03-20T08:00:00.000Z";
  double none = 1;
  for (const char* id : {"plug", "top-end", "fuel"}) none *= 1 - y.item(id).chance;
  EXPECT_NEAR(due_list(y.shop, y.red, 5).chance_of_any, 1 - none, 1e-12);
  EXPECT_GT(due_list(y.shop, y.red, 10).chance_of_any, due_list(y.shop, y.red, 5).chance_of_any);
}

TEST(Due, OrderedByUrgency) {
  Yard y;
  y.shop.renewed(y.red, "plug", {20});
  y.shop.renewed(y.red, "top-end", {2});
  const DueList list = due_list(y.shop, y.red, 5);
  ASSERT_EQ(list.items.size(), 3U);
  EXPECT_EQ(list.items[0].upkeep->id, "top-end");  // 40 of 25 h before 22 of 20
  EXPECT_EQ(list.items[1].upkeep->id, "plug");
  EXPECT_EQ(list.items[2].upkeep->id, "fuel");
}

TEST(Upkeep, TheRealTableIsSane) {
  // An interval that is kept is there to prevent: when the work is due, few have given trouble (common practice).
  const Knowledge& k = real_knowledge();
  EXPECT_GE(k.upkeep.size(), 20U);
  for (const Upkeep& u : k.upkeep) {
    for (const Upkeep::Interval& i : u.every) {
      const bool days = i.life_days > 0;
      const Life life{days ? i.life_days : i.life_h, u.shape, u.spread};
      const double every = days ? i.days : i.hours;
      EXPECT_GE(u.shape, 1) << u.id;  // what is renewed by the hours wears
      if (every > 0) {
        EXPECT_LT(1 - survival(life, every), 0.15) << u.id;
      }
    }
  }
}

TEST(Upkeep, EveryRealBikeHasItsOwn) {
  const Knowledge& k = real_knowledge();
  for (const BikeClass& c : k.classes) {
    const Traits traits(c.traits);
    int count = 0;
    for (const Upkeep& u : k.upkeep) {
      if (!u.applies.holds(traits)) continue;
      ++count;
      EXPECT_NE(u.interval(traits, c.displacement_cc), nullptr) << u.id << " of " << c.id;
      // What is due can be written down as done under its own name by a job or by hand.
      for (const auto& part : u.parts) {
        const auto parts = parts_that_wear(k, traits);
        EXPECT_TRUE(std::binary_search(parts.begin(), parts.end(), part)) << part << " of " << c.id;
      }
    }
    EXPECT_GE(count, 8) << c.id;
  }
}

}  // namespace
}  // namespace crankwise
