// Hours by meter and by estimate, renewals, and taking them back.
#include <gtest/gtest.h>

#include <cmath>

#include "edge/dates.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

constexpr const char* kRight = "; or that another meter is on, or that what was written down before is wrong";

/// A shop whose clock is set by hand.
struct Dated {
  std::string now = "2026-03-01T08:00:00.000Z";
  Shop shop{small_knowledge(), Store::in_memory(), [this] { return now; }};
  std::string red = shop.add_bike(test::red());

  double hours() const { return shop.bike(red).hours; }
  double plug() const { return shop.renewals(red).at("plug").hours; }
};

TEST(Dates, DaysAndSeconds) {
  // GNU date: date -u -d 2026-05-04T17:30:00.250 +%s, and days of it.
  EXPECT_EQ(day_number("1970-01-01"), 0);
  EXPECT_EQ(day_number("2000-03-01"), 11017);
  EXPECT_EQ(day_number("2026-05-04"), 20577);
  EXPECT_EQ(second_number("2026-05-04T17:30:00.250Z"), 1777915800.25);
  for (const char* bad : {"", "2026", "2026-02-30", "2026-13-01", "26-05-04", "2026/05/04", "2026-5-4", "yesterday"})
    EXPECT_FALSE(day_number(bad)) << bad;
  EXPECT_FALSE(second_number("2026-05-04"));
}

TEST(Hours, AMeterReadingIsNotLessThanTheLast) {
  Dated d;
  d.now = "2026-04-01T08:00:00.000Z";
  d.shop.set_hours(d.red, 50);
  EXPECT_EQ(refusal([&] { d.shop.set_hours(d.red, 49.9); }),
            std::string("the hours run backwards: Red 85 has 50 h already; right would be: 50 or more") + kRight);
  EXPECT_EQ(d.hours(), 50);
  EXPECT_EQ(d.shop.hour_book(d.red).source(), "by the meter on 2026-04-01");
  d.shop.set_hours(d.red, 50);
  EXPECT_EQ(d.hours(), 50);
}

TEST(Hours, RidesByEstimateAddUpUntilTheMeterIsRead) {
  Dated d;
  d.shop.ridden(d.red, 2.5);
  d.shop.ridden(d.red, 1.5);
  EXPECT_EQ(d.hours(), 46);
  EXPECT_EQ(d.shop.hour_book(d.red).source(), "42 h by the meter on 2026-03-01, 4 h since by estimate");
  d.shop.renewed(d.red, "plug");
  EXPECT_EQ(d.plug(), 46);
  // The meter knows better, and what was done by then was done at its hours at most.
  d.shop.set_hours(d.red, 45);
  EXPECT_EQ(d.hours(), 45);
  EXPECT_EQ(d.plug(), 45);
  EXPECT_EQ(d.shop.hour_book(d.red).source(), "by the meter on 2026-03-01");
  EXPECT_NE(refusal([&] { d.shop.set_hours(d.red, 44); }), "");
}

TEST(Hours, ARideThatCannotBeIsRefused) {
  Dated d;
  for (double h : {0.0, -1.0, 24.5, std::nan(""), double{INFINITY}})
    EXPECT_NE(refusal([&] { d.shop.ridden(d.red, h); }).find("cannot be; right would be: one ride"), std::string::npos);
  EXPECT_EQ(d.hours(), 42);
  const std::string blue = d.shop.add_bike(test::blue());
  EXPECT_EQ(refusal([&] { d.shop.ridden(blue, 2); }),
            "the engine's hours of Blue 110 are not known yet; right would be: first about how many it has "
            "now, as an estimate");
  d.shop.set_hours(blue, 100, HoursTold::estimate);
  d.shop.ridden(blue, 2);
  EXPECT_EQ(d.shop.bike(blue).hours, 102);
  EXPECT_EQ(d.shop.hour_book(blue).source(), "by estimate");
  d.shop.set_hours(blue, 90, HoursTold::estimate);  // a better one
  EXPECT_EQ(d.shop.bike(blue).hours, 90);
}

TEST(Hours, AnEstimateIsNotLessThanTheMeter) {
  Dated d;
  EXPECT_NE(refusal([&] { d.shop.set_hours(d.red, 41, HoursTold::estimate); }).find("has 42 h already"),
            std::string::npos);
  d.shop.set_hours(d.red, 43, HoursTold::estimate);
  EXPECT_EQ(d.hours(), 43);
}

TEST(Hours, TheEngineRunsOnUnderAnotherMeter) {
  Dated d;
  d.shop.ridden(d.red, 1);
  d.shop.renewed(d.red, "plug");
  d.shop.set_hours(d.red, 5, HoursTold::new_meter);
  EXPECT_EQ(d.hours(), 43);
  d.shop.set_hours(d.red, 12);  // 7 more
  EXPECT_EQ(d.hours(), 50);
  EXPECT_EQ(d.plug(), 43);
  EXPECT_EQ(d.shop.hour_book(d.red).source(), "by the meter on 2026-03-01; another meter is on, which shows 38 h less");
  EXPECT_EQ(refusal([&] { d.shop.set_hours(d.red, 11); }),
            std::string("the hours run backwards: Red 85 has 50 h already (12 h on its meter); right would be: 12 or "
                        "more") +
                kRight);
  const std::string blue = d.shop.add_bike(test::blue());
  EXPECT_NE(refusal([&] { d.shop.set_hours(blue, 0, HoursTold::new_meter); }).find("not known yet"), std::string::npos);
}

TEST(Hours, AMeterOffAnotherEngineShowsMore) {
  Dated d;
  d.shop.set_hours(d.red, 100, HoursTold::new_meter);
  d.shop.set_hours(d.red, 103);
  EXPECT_EQ(d.hours(), 45);
  EXPECT_EQ(d.shop.hour_book(d.red).source(), "by the meter on 2026-03-01; another meter is on, which shows 58 h more");
  EXPECT_EQ(
      refusal([&] { d.shop.set_hours(d.red, 50, HoursTold::correction); }),
      "the engine would have -8 h, as this meter shows 58 h more than the engine has; right would be: 58 or more");
  EXPECT_EQ(d.hours(), 45);
}

TEST(Hours, ACorrectionPutsRightWhatWasDoneMeanwhile) {
  Dated d;
  d.shop.renewed(d.red, "piston", {30});
  d.shop.set_hours(d.red, 430);  // a slip: 43
  const int job = d.shop.take_in(d.red, "breaks up");
  d.shop.write(job, {Did{"swap-plug"}});
  d.shop.renewed(d.red, "fuel");
  EXPECT_EQ(d.plug(), 430);
  d.shop.set_hours(d.red, 43, HoursTold::correction);
  EXPECT_EQ(d.hours(), 43);
  EXPECT_EQ(d.plug(), 43);
  EXPECT_EQ(d.shop.renewals(d.red).at("fuel").hours, 43);
  EXPECT_EQ(d.shop.renewals(d.red).at("piston").hours, 30);
  d.shop.set_hours(d.red, 60);  // does not bring them back
  EXPECT_EQ(d.plug(), 43);
  EXPECT_EQ(d.shop.bike_with_renewals(d.red).renewed_h,
            (std::map<std::string, double>{{"fuel", 43}, {"piston", 30}, {"plug", 43}}));
}

TEST(Hours, WhatWasToldOfTheBikeIsTakenBackStepByStep) {
  Dated d;
  const std::string before = bike_data(d.shop.bike(d.red)).dump();
  d.shop.set_hours(d.red, 430);
  d.shop.ridden(d.red, 2);
  d.shop.renewed(d.red, "top-end");
  d.shop.set_hard(d.red, true);
  d.shop.set_interval(d.red, "plug", {15, 0});
  EXPECT_EQ(d.shop.undo_on_bike(d.red), "interval of plug");
  EXPECT_EQ(d.shop.undo_on_bike(d.red), "ridden hard");
  EXPECT_TRUE(d.shop.hour_book(d.red).own.empty());
  EXPECT_FALSE(d.shop.hour_book(d.red).hard);
  EXPECT_EQ(d.shop.undo_on_bike(d.red), "piston, bore renewed");
  EXPECT_EQ(d.shop.undo_on_bike(d.red), "a ride of 2 h");
  EXPECT_EQ(d.shop.undo_on_bike(d.red), "430 h");
  EXPECT_EQ(bike_data(d.shop.bike(d.red)).dump(), before);
  EXPECT_EQ(d.hours(), 42);
  EXPECT_EQ(refusal([&] { d.shop.undo_on_bike(d.red); }),
            "there is nothing to take back on Red 85; right would be: an entry to take back");
}

TEST(Renewals, OfAnUpkeepAreOfAllItsParts) {
  Dated d;
  const Renewed done = d.shop.renewed(d.red, "top-end", {30});
  EXPECT_EQ(done.parts, (std::vector<std::string>{"piston", "bore"}));
  EXPECT_EQ(d.shop.bike(d.red).renewed_h, (std::map<std::string, double>{{"bore", 30}, {"piston", 30}}));
  EXPECT_EQ(refusal([&] { d.shop.renewed(d.red, "oil"); }),
            "Red 85 has no \"oil\"; right would be: a part of its equipment");
}

TEST(Renewals, NotTwiceInAMinute) {
  Dated d;
  d.shop.renewed(d.red, "plug");
  d.now = "2026-03-01T08:00:59.000Z";
  EXPECT_EQ(refusal([&] { d.shop.renewed(d.red, "plug", {40}); }),
            "the plug of Red 85 was written down as renewed 59 s ago; right would be: once; or that it was renewed "
            "again, if it was, or to put the hours right");
  EXPECT_EQ(d.plug(), 42);
  d.shop.renewed(d.red, "fuel");  // another part
  d.shop.renewed(d.red, "plug", {.hours = 40, .again = true});
  EXPECT_EQ(d.plug(), 40);
  d.now = "2026-03-01T08:02:00.000Z";
  d.shop.renewed(d.red, "plug", {41});
  EXPECT_EQ(d.plug(), 41);
  // What a job has just renewed counts, too.
  const int job = d.shop.take_in(d.red, "bogs");
  d.shop.write(job, {Did{"new-piston"}});
  EXPECT_NE(refusal([&] { d.shop.renewed(d.red, "top-end"); }).find("the piston of Red 85"), std::string::npos);
  d.shop.undo(job);
  EXPECT_EQ(refusal([&] { d.shop.renewed(d.red, "top-end"); }), "");
}

TEST(Renewals, OnADayThatIsPast) {
  Dated d;
  d.now = "2026-03-21T08:00:00.000Z";
  d.shop.set_hours(d.red, 52);
  const auto says = [&](const std::string& day) { return refusal([&] { d.shop.renewed(d.red, "plug", {{}, day}); }); };
  EXPECT_EQ(says("2026-03-23"),
            "day: renewed on 2026-03-23, but today is 2026-03-21; right would be: today or a day before");
  EXPECT_EQ(says("2026-02-30"), "day: \"2026-02-30\" is not a day; right would be: year-month-day, as 2026-05-04");
  EXPECT_EQ(says("2026-03-21T08:00"),
            "day: \"2026-03-21T08:00\" is not a day; right would be: year-month-day, as 2026-05-04");
  EXPECT_TRUE(d.shop.renewals(d.red).empty());
  d.shop.renewed(d.red, "plug", {{}, "2026-03-11"});  // by hand: 42 h on 1 March, 52 h on 21 March, halfway
  EXPECT_NEAR(d.plug(), 47, 1e-9);
  d.shop.renewed(d.red, "piston", {{}, "2026-02-01"});  // before anything is known of its hours
  EXPECT_EQ(d.shop.renewals(d.red).at("piston").hours, -1);
  EXPECT_EQ(d.shop.renewals(d.red).at("piston").day, "2026-02-01");
  EXPECT_FALSE(d.shop.bike(d.red).renewed_h.contains("piston"));
  d.shop.renewed(d.red, "fuel", {{}, "2026-03-21"});
  EXPECT_EQ(d.shop.renewals(d.red).at("fuel").hours, 52);
}

TEST(Renewals, AllThatIsWrongIsSaidAtOnce) {
  Dated d;
  d.shop.renewed(d.red, "plug");
  const std::string says = refusal([&] { d.shop.renewed(d.red, "plug", {99, "2027-01-01"}); });
  for (const char* part : {"renewed at 99 h, but the engine has 42 h", "renewed on 2027-01-01, but today is 2026-03-01",
                           "was written down as renewed 0 s ago"})
    EXPECT_NE(says.find(part), std::string::npos) << part << " is not in\n" << says;
}

TEST(Renewals, OfABikeWithoutHoursHaveADay) {
  Dated d;
  const std::string blue = d.shop.add_bike(test::blue());
  EXPECT_NE(refusal([&] { d.shop.renewed(blue, "oil", {5}); }).find("not known yet"), std::string::npos);
  d.shop.renewed(blue, "oil");
  EXPECT_EQ(d.shop.renewals(blue).at("oil").day, "2026-03-01");
  EXPECT_EQ(d.shop.renewals(blue).at("oil").hours, -1);
}

TEST(Renewals, ALogOfAnOlderProgramIsRead) {
  Store store = Store::in_memory();
  store.append({{"bike/red", "added", R"({"name":"Red","traits":["two-stroke","carburettor"],"hours":20})"},
                {"bike/red", "hours", R"({"hours":30})"},
                {"bike/red", "renewed", R"({"part":"plug","hours":25})"}},
               "2026-03-01T08:00:00.000Z");
  Shop s(small_knowledge(), std::move(store), Ticking());
  EXPECT_EQ(s.bike("red").hours, 30);
  EXPECT_EQ(s.renewals("red").at("plug").hours, 25);
  EXPECT_EQ(s.undo_on_bike("red"), "plug renewed");
  EXPECT_EQ(s.undo_on_bike("red"), "30 h");
  EXPECT_EQ(s.bike("red").hours, 20);
}

}  // namespace
}  // namespace crankwise
