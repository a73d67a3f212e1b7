#include "app/shop.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

TEST(Shop, BikesGetTheirNamesAsIds) {
  Shop s = new_shop();
  EXPECT_EQ(s.add_bike(red()), "red-85");
  EXPECT_EQ(s.add_bike(red()), "red-85-2");
  EXPECT_EQ(s.add_bike(red()), "red-85-3");
  Bike odd = red();
  odd.name = "  Überholt! (No. 7) ";
  EXPECT_EQ(s.add_bike(odd), "berholt-no-7");
  odd.name = "\u8f66";
  EXPECT_EQ(s.add_bike(odd), "bike");
  EXPECT_EQ(s.bikes().size(), 5U);
  EXPECT_EQ(s.bike("red-85").id, "red-85");
  EXPECT_EQ(s.bike("red-85").name, "Red 85");
  EXPECT_EQ(s.bike("red-85").traits, red().traits);
  EXPECT_EQ(s.bike("red-85").hours, 42);
  EXPECT_FALSE(s.bikes().at("red-85-2").figures.contains("compression"));
}

TEST(Shop, ABikeThatCannotBeIsRefusedWhole) {
  Shop s = new_shop();
  Bike b = red();
  b.name = "";
  b.traits.push_back("four-stroke");
  b.traits.push_back("turbo");
  b.hours = -1;
  b.figures["compresion"] = {100, 120, "psi", false};
  b.access_min["tank"] = {-1, 5};
  const std::string says = refusal([&] { s.add_bike(b); });
  for (const char* part : {"name: is empty", "no trait is called \"turbo\"", "more than one of cycle", "hours: below 0",
                           "perhaps \"compression\"", "access.tank: minutes below 0"}) {
    EXPECT_NE(says.find(part), std::string::npos) << part << " is not in\n" << says;
  }
  EXPECT_TRUE(s.bikes().empty());
}

TEST(Shop, HoursDoNotRunBackwards) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  s.set_hours(id, 42);
  s.set_hours(id, 50.5);
  EXPECT_EQ(refusal([&] { s.set_hours(id, 50); }),
            "the hours run backwards: Red 85 has 50.5 h already; right would be: 50.5 or more; or that another "
            "meter is on, or that what was written down before is wrong");
  for (double h : {-1.0, 1e5, std::nan(""), double{INFINITY}}) {
    EXPECT_EQ(refusal([&] { s.set_hours(id, h); }),
              "engine hours must be 0 or more; right would be: what the hour meter shows");
  }
  EXPECT_EQ(s.bike(id).hours, 50.5);
  const std::string other = s.add_bike(blue());
  EXPECT_FALSE(s.bike(other).hours_known);
  s.set_hours(other, 0);
  EXPECT_TRUE(s.bike(other).hours_known);
}

TEST(Shop, RenewalsLieWithinTheHours) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  s.renewed(id, "plug", {42});
  s.renewed(id, "piston", {0});
  EXPECT_EQ(refusal([&] {
              s.renewed(id, "plug", {42.5, "", true});
            }),
            "hours: renewed at 42.5 h, but the engine has 42 h; right would be: 0 to the engine's hours");
  EXPECT_EQ(refusal([&] {
              s.renewed(id, "plug", {-1, "", true});
            }),
            "hours: renewed at -1 h, but the engine has 42 h; right would be: 0 to the engine's hours");
  EXPECT_EQ(refusal([&] { s.renewed(id, "pistn", {1}); }),
            "no part that wears is called \"pistn\"; right would be: perhaps \"piston\"");
  EXPECT_EQ(refusal([&] { s.renewed(id, "saddle-bag", {1}); }),
            "no part that wears is called \"saddle-bag\"; right would be: one of bore, fuel, piston, plug, top-end");
  EXPECT_EQ(s.bike(id).renewed_h, (std::map<std::string, double>{{"piston", 0}, {"plug", 42}}));
}

TEST(Shop, ANewPlugIsNotSuspectedLikeAnOldOne) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int job = s.take_in(id, "breaks up");
  const double unknown = chance_of(s, job, "plug-worn");
  s.renewed(id, "plug", {.hours = 0});
  const double old = chance_of(s, job, "plug-worn");
  s.renewed(id, "plug", {.hours = 42, .again = true});
  const double fresh = chance_of(s, job, "plug-worn");
  EXPECT_GT(old, unknown);
  EXPECT_LT(fresh, unknown);
}

TEST(Shop, FiguresAndAccessBelongToOneBike) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red()), other = s.add_bike(red());
  s.set_figure(id, "compression", {160, 170, "psi", false});
  s.set_figure(id, "compression", {11, 11, "bar", true});
  s.set_access(id, "tank", 9, 11);
  EXPECT_EQ(refusal([&] {
              s.set_figure(id, "compresion", {1, 2, "psi", false});
            }),
            "figures.compresion: no reading has this id; right would be: perhaps \"compression\"");
  EXPECT_EQ(refusal([&] {
              s.set_figure(id, "compression", {1, 2, "mm", false});
            }),
            "figures.compression: \"mm\" is not a unit for it; right would be: a unit like psi");
  EXPECT_EQ(refusal([&] {
              s.set_figure(id, "compression", {2, 1, "psi", false});
            }),
            "figures.compression: is not a range above 0; right would be: one value, or the lower and the upper one");
  EXPECT_EQ(refusal([&] { s.set_access(id, "tnak", 1, 1); }),
            "no part is called \"tnak\"; right would be: perhaps \"tank\"");
  EXPECT_EQ(refusal([&] { s.set_access(id, "tank", 1, -1); }),
            "access.tank: minutes below 0 or beyond reason; right would be: minutes off and on");
  ASSERT_EQ(s.bike(id).figures.size(), 1U);  // a baseline does not put the handbook's out
  EXPECT_EQ(s.bike(id).figures.at("compression").low, 160);
  ASSERT_EQ(s.bike(id).baselines.size(), 1U);
  EXPECT_EQ(s.bike(id).baselines.at("compression").low, 11);
  EXPECT_EQ(s.bike(id).baselines.at("compression").unit, "bar");
  EXPECT_TRUE(s.bike(id).baselines.at("compression").baseline);
  EXPECT_EQ(s.bike(id).access_min.at("tank"), (std::pair<double, double>{9, 11}));
  EXPECT_TRUE(s.bike(other).figures.empty());
  EXPECT_TRUE(s.bike(other).access_min.empty());
}

TEST(Shop, SettingsAreChecked) {
  Shop s = new_shop();
  ShopSettings settings;
  settings.money_per_hour = 48;
  settings.currency = "crowns";
  settings.lacks = {"gauge"};
  s.set(settings);
  EXPECT_EQ(s.settings().lacks, std::set<std::string>{"gauge"});
  settings.lacks = {"gage", "hammer-of-the-gods"};
  EXPECT_EQ(refusal([&] { s.set(settings); }),
            "tools: no tool is called \"gage\"; right would be: perhaps \"gauge\"\n"
            "tools: no tool is called \"hammer-of-the-gods\"; right would be: crankwise list tools");
  settings.lacks = {};
  for (double money : {0.0, -5.0, 1e6, std::nan("")}) {
    settings.money_per_hour = money;
    EXPECT_EQ(refusal([&] { s.set(settings); }),
              "money_per_hour: the worth of an hour must be above 0; right would be: what your hour costs, as 60");
  }
  EXPECT_EQ(s.settings().money_per_hour, 48);
  EXPECT_EQ(s.settings().currency, "crowns");
}

TEST(Shop, AToolThatIsMissingIsNotAskedFor) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "kicks too easily");
  const auto offered = [&](const char* step) {
    const Diagnosis d = s.diagnosis(job);
    return std::any_of(d.advice.options.begin(), d.advice.options.end(),
                       [&](const Option& o) { return d.bike().step_id(o.step) == step; });
  };
  EXPECT_TRUE(offered("measure-compression"));
  ShopSettings settings;
  settings.lacks = {"gauge"};
  s.set(settings);
  EXPECT_FALSE(offered("measure-compression"));
}

}  // namespace
}  // namespace crankwise
