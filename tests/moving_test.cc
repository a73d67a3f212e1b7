// Shops moved and joined: nothing lost, nothing twice, and the same result whichever way.
#include "tests/moving_case.h"

#include <gtest/gtest.h>

#include "app/places.h"

namespace crankwise {
namespace {

using namespace test;

class RandomShops : public testing::TestWithParam<unsigned> {
 protected:
  Chance chance{GetParam()};
  std::shared_ptr<SharedClock> clock = std::make_shared<SharedClock>();
  Shop a = shop_called('a', clock), b = shop_called('b', clock, -90), c = shop_called('c', clock, 45);
  Shop empty = shop_called('e', clock), empty2 = shop_called('f', clock);
};

TEST_P(RandomShops, ExportAndImportGiveTheSameContent) {
  work_on(a, chance, 80);
  bring(a, empty);
  EXPECT_EQ(wherever(empty), wherever(a));
  // Into an empty shop even ids and numbers stay, and the settings come along.
  EXPECT_EQ(empty.settings().money_per_hour, a.settings().money_per_hour);
  ASSERT_EQ(empty.jobs().size(), a.jobs().size());
  for (const auto& [number, job] : a.jobs()) {
    EXPECT_EQ(empty.job(number).bike, job.bike);
    EXPECT_EQ(empty.job(number).complaint, job.complaint);
    EXPECT_EQ(Verdict(empty.diagnosis(number)), Verdict(a.diagnosis(number)));
  }
}

TEST_P(RandomShops, TwiceAddsNothing) {
  work_on(a, chance, 40);
  work_on(b, chance, 40);
  bring(a, b);
  const std::string once = in_words(b);
  const TakenOver again = bring(a, b);
  EXPECT_TRUE(again.events.empty());
  EXPECT_EQ(again.added, 0);
  EXPECT_EQ(in_words(b), once);
  EXPECT_TRUE(bring(text_from(b), b).events.empty()) << "its own file";
}

TEST_P(RandomShops, ANewerFileAddsWhatIsNew) {
  work_on(a, chance, 40);
  bring(a, b);
  work_on(a, chance, 20);
  bring(a, b);
  bring(a, empty);
  EXPECT_EQ(wherever(b), wherever(empty));
  EXPECT_EQ(wherever(b), wherever(a));
}

TEST_P(RandomShops, BothWaysEndTheSame) {
  work_on(a, chance, 40);
  work_on(b, chance, 40);
  bring(a, b);
  // Both carry on all bikes and jobs, with clocks an hour and a half apart.
  work_on(a, chance, 25);
  work_on(b, chance, 25);
  const std::string from_a = text_from(a), from_b = text_from(b);
  bring(from_a, b);
  bring(from_b, a);
  EXPECT_EQ(wherever(a), wherever(b));
  // And once more, after each wrote on what the other wrote.
  work_on(a, chance, 15);
  work_on(b, chance, 15);
  bring(a, b);
  bring(b, a);
  EXPECT_EQ(wherever(a), wherever(b));
}

TEST_P(RandomShops, InAnyOrderAndGroupingTheSame) {
  work_on(a, chance, 30);
  bring(a, b);
  work_on(b, chance, 30);
  bring(a, c);
  bring(b, c);
  work_on(c, chance, 20);
  work_on(a, chance, 20);
  work_on(b, chance, 20);
  const std::string from_a = text_from(a), from_b = text_from(b), from_c = text_from(c);
  bring(from_a, empty);
  bring(from_b, empty);
  bring(from_c, empty);
  // (c with b) with a, through a shop between.
  Shop between = shop_called('0', clock);
  bring(from_c, between);
  bring(from_b, between);
  bring(from_a, empty2);
  bring(between, empty2);
  EXPECT_EQ(wherever(empty), wherever(empty2));
}

TEST_P(RandomShops, OneBikeAfterTheOther) {
  work_on(a, chance, 60);
  for (const auto& [id, bike] : a.bikes()) bring(text_from(a, {id}), empty);
  EXPECT_EQ(wherever(empty), wherever(a));
  EXPECT_EQ(empty.settings().money_per_hour, ShopSettings().money_per_hour) << "settings go with a whole shop only";
}

INSTANTIATE_TEST_SUITE_P(Seeds, RandomShops, testing::Range(1U, 25U));

class Moving : public testing::Test {
 protected:
  std::shared_ptr<SharedClock> clock = std::make_shared<SharedClock>();
  Shop a = shop_called('a', clock), b = shop_called('b', clock);
};

std::string kinds_of(const Job& j) {
  std::string out;
  for (const JobEntry& e : j.entries) {
    const auto* noted = std::get_if<Noted>(&e.entry);
    out += (noted != nullptr ? noted->text : entry_kind(e.entry)) + " ";
  }
  return out;
}

TEST_F(Moving, BikesOfOneNameStayTwo) {
  a.take_in(a.add_bike(red()), "bogs in a");
  b.take_in(b.add_bike(red()), "bogs in b");
  const TakenOver news = bring(a, b);
  ASSERT_EQ(b.bikes().size(), 2U);
  EXPECT_EQ(b.job(2).bike, "red-85-2");
  EXPECT_EQ(b.job(2).complaint, "bogs in a");
  EXPECT_EQ(b.replay().jobs_of("red-85-2"), std::set<int>{2});
  ASSERT_EQ(news.notes.size(), 1U);
  EXPECT_EQ(news.notes[0], "bike red-85 of the file is red-85-2 here: there is another red-85");
  EXPECT_EQ(b.add_bike(red()), "red-85-3");
}

TEST_F(Moving, BikesThatAreOneBecomeOne) {
  a.set_hours(a.add_bike(red()), 50);
  a.set_access("red-85", "tank", 3, 4);
  a.take_in("red-85", "bogs in a");
  b.set_hours(b.add_bike(red()), 60);
  b.take_in("red-85", "bogs in b");
  const std::string from_b = text_from(b);
  const TakenOver news = bring(text_from(a), b, {{"red-85", "red-85"}});
  EXPECT_EQ(news.notes.back(), "bike red-85 of the file is red-85 from now on; what was noted last counts");
  ASSERT_EQ(b.bikes().size(), 1U);
  EXPECT_EQ(b.bike("red-85").hours, 60);
  EXPECT_EQ(b.bike("red-85").access_min.at("tank").first, 3);
  EXPECT_EQ(b.job(2).bike, "red-85");
  EXPECT_EQ(b.replay().jobs_of("red-85"), (std::set<int>{1, 2}));
  EXPECT_TRUE(b.replay().jobs_of("red-85-2").empty());
  EXPECT_EQ(b.bike("red-85-2").id, "red-85") << "the other id leads to the bike";
  b.renewed("red-85-2", "plug", {55});
  EXPECT_EQ(b.bike("red-85").renewed_h.at("plug"), 55);
  // Said once it holds; and where the file says so, it holds there too.
  EXPECT_TRUE(bring(text_from(a), b, {{"red-85", "red-85"}}).events.empty());
  bring(b, a);
  ASSERT_EQ(a.bikes().size(), 1U);
  EXPECT_EQ(wherever(a), wherever(b));
  // A shop that had taken them for two.
  Shop c = shop_called('c', clock);
  bring(from_b, c);
  bring(text_from(a, {"red-85"}), c);
  ASSERT_EQ(c.bikes().size(), 1U);
  EXPECT_EQ(wherever(c), wherever(b));
}

TEST_F(Moving, TwoThatJoinTheOtherWayRoundAgree) {
  a.add_bike(red());
  b.add_bike(red());
  const std::string from_a = text_from(a), from_b = text_from(b);
  bring(from_a, b, {{"red-85", "red-85"}});
  bring(from_b, a, {{"red-85", "red-85"}});
  bring(a, b);
  bring(b, a);
  EXPECT_EQ(a.bikes().size(), 1U);
  EXPECT_EQ(wherever(a), wherever(b));
}

TEST_F(Moving, BikesThatCannotBeOne) {
  a.add_bike(red());
  b.add_bike(blue());
  const std::string before = in_words(b);
  EXPECT_NE(refusal([&] {
              bring(text_from(a), b, {{"red-85", "blue-110"}});
            }).find("red-85 cannot be blue-110: it has another equipment ("),
            std::string::npos);
  EXPECT_NE(refusal([&] {
              bring(text_from(a), b, {{"red-58", "blue-110"}});
            }).find("no bike of the file"),
            std::string::npos);
  EXPECT_NE(refusal([&] {
              bring(text_from(a), b, {{"red-85", "blu-110"}});
            }).find("perhaps \"blue-110\""),
            std::string::npos);
  EXPECT_EQ(in_words(b), before);
}

TEST_F(Moving, BothCarriedOnOneJob) {
  const int job = a.take_in(a.add_bike(red()), "bogs");
  a.write(job, {Noted{"1"}});
  bring(a, b);
  a.write(job, {Noted{"2"}});
  b.write(job, {Noted{"3"}});
  a.write(job, {Noted{"4"}});
  b.undo(job);  // takes back 3, whatever its number elsewhere
  b.write(job, {Noted{"5"}});
  const TakenOver news = bring(a, b);
  ASSERT_EQ(news.notes.size(), 1U);
  EXPECT_EQ(news.notes[0], "job 1 was carried on in both shops: the entries are in the order of their time");
  bring(b, a);
  for (Shop* s : {&a, &b}) {
    EXPECT_EQ(kinds_of(s->job(job)), "1 2 4 5 ");
    ASSERT_EQ(s->job(job).taken_back.size(), 1U);
  }
  // Undo takes the last in time back, wherever it was written.
  a.undo(job);
  EXPECT_EQ(kinds_of(a.job(job)), "1 2 4 ");
  a.undo(job);
  bring(a, b);
  EXPECT_EQ(kinds_of(b.job(job)), "1 2 ");
}

TEST_F(Moving, ClosedInBoth) {
  const int job = a.take_in(a.add_bike(red()), "bogs");
  bring(a, b);
  a.close(job, JobEnd::given_up, {}, "a gave up");
  b.write(job, {Noted{"b went on"}});
  bring(a, b);
  EXPECT_EQ(b.job(job).end, JobEnd::given_up) << "closed by one is closed";
  EXPECT_EQ(kinds_of(b.job(job)), "b went on ");
  EXPECT_EQ(b.undo(job), "closing the job");
  b.close(job, JobEnd::fixed_unproven, {}, "b fixed it");
  bring(b, a);
  EXPECT_EQ(a.job(job).words, "b fixed it");
  // Two closings: the later one counts; taken back, the earlier one does.
  Shop c = shop_called('c', clock), d = shop_called('d', clock);
  c.take_in(c.add_bike(red()), "bogs");
  bring(c, d);
  c.close(1, JobEnd::given_up, {}, "first");
  d.close(1, JobEnd::fixed_unproven, {}, "second");
  bring(c, d);
  bring(d, c);
  EXPECT_EQ(c.job(1).words, "second");
  c.undo(1);
  bring(c, d);
  EXPECT_EQ(d.job(1).words, "first");
  d.undo(1);
  EXPECT_EQ(d.job(1).end, JobEnd::open);
}

TEST_F(Moving, WhatIsWrittenComesLastHoweverWrongTheClock) {
  Shop late = shop_called('c', clock, -300);  // five hours behind
  const int job = a.take_in(a.add_bike(red()), "bogs");
  a.write(job, {Noted{"1"}});
  bring(a, late);
  late.write(1, {Noted{"2"}});
  EXPECT_EQ(kinds_of(late.job(1)), "1 2 ");
  bring(late, a);
  EXPECT_EQ(kinds_of(a.job(job)), "1 2 ");
  EXPECT_LT(a.job(job).entries[1].at, a.job(job).entries[0].at) << "the times stay as they were told";
}

TEST_F(Moving, HoursNotedApart) {
  a.set_hours(a.add_bike(red()), 50);
  bring(a, b);
  a.set_hours("red-85", 58);
  b.set_hours("red-85", 55);
  EXPECT_TRUE(bring(b, a).notes.empty());
  EXPECT_EQ(a.bike("red-85").hours, 58);
  const TakenOver news = bring(a, b);
  EXPECT_EQ(b.bike("red-85").hours, 58);
  ASSERT_EQ(news.notes.size(), 1U);
  EXPECT_EQ(news.notes[0], "bike red-85: 58 h now, 55 h before");
}

TEST_F(Moving, WhatIsTakenBackOfABike) {
  a.set_hours(a.add_bike(red()), 500);
  bring(a, b);
  b.undo_on_bike("red-85");  // written in the other shop
  b.set_hours("red-85", 50);
  bring(b, a);
  EXPECT_EQ(a.bike("red-85").hours, 50);
  a.set_hours("red-85", 45, HoursTold::correction);
  a.ridden("red-85", 2);
  bring(a, b);
  EXPECT_EQ(b.bike("red-85").hours, 47);
  EXPECT_EQ(wherever(a), wherever(b));
  b.undo_on_bike("red-85");
  bring(b, a);
  EXPECT_EQ(a.bike("red-85").hours, 45);
}

TEST_F(Moving, APhotoComesAlongOnce) {
  const int job = a.take_in(a.add_bike(red()), "bogs");
  const Pictured one = a.add_photo(job, kPng, "one", "p.png");
  a.add_photo(job, kPng, "the same again", "p.png");
  const std::string text = text_from(a);
  EXPECT_EQ(Json::parse(text)["photos"].size(), 1U);
  bring(text, b);
  EXPECT_EQ(b.picture(one), kPng);
  EXPECT_EQ(std::get<Pictured>(b.job(1).entries[1].entry).caption, "the same again");
}

TEST_F(Moving, WhatWasLearnedComesAlong) {
  const int job = a.take_in(a.add_bike(red()), "bogs");
  a.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
  a.write(job, {Did{"clean-jet"}});
  for (int i = 0; i < 9; ++i) a.write(job, {RanIt{RunResult::gone, "ride"}});
  a.close(job, JobEnd::proven, {"main-jet-blocked"}, "");
  bring(a, b);
  EXPECT_EQ(b.teachers().size(), 1U);
  EXPECT_EQ(b.learned_now("red-85").share, a.learned_now("red-85").share);
  EXPECT_EQ(b.believed(100).size(), a.believed(100).size());
  EXPECT_EQ(b.believed(100).at(1).chances, a.believed(100).at(1).chances);
  b.let_teach(job, false);
  bring(b, a);
  EXPECT_TRUE(a.teachers().empty());
  a.undo(job);
  EXPECT_EQ(a.teachers().size(), 1U);
}

TEST_F(Moving, TheSettingsOfAShopStay) {
  ShopSettings s;
  s.money_per_hour = 33;
  a.set(s);
  a.add_bike(red());
  s.money_per_hour = 44;
  b.set(s);
  const TakenOver news = bring(a, b);
  EXPECT_EQ(b.settings().money_per_hour, 44);
  ASSERT_EQ(news.notes.size(), 1U);
  EXPECT_NE(news.notes[0].find("those of this shop stay"), std::string::npos);
}

TEST_F(Moving, LookingOnlyChangesNothing) {
  a.take_in(a.add_bike(red()), "bogs");
  const std::string before = in_words(b);
  const TakenOver look = bring(text_from(a), b, {}, true);
  EXPECT_EQ(in_words(b), before);
  EXPECT_EQ(b.replay().seen(), 0);
  EXPECT_EQ(look.added, 2);
  const TakenOver done = bring(a, b);
  EXPECT_EQ(done.added, look.added);
}

TEST_F(Moving, ABikeWithoutAJobOfMineIsNotTheCurrentJob) {
  a.write(a.take_in(a.add_bike(red()), "theirs"), {Noted{"1"}});
  const int mine = b.take_in(b.add_bike(blue()), "mine");
  bring(a, b);
  EXPECT_EQ(b.current_job(), mine) << "what was taken over does not push in front";
}

/// A shop file that was copied and then written in both places: two shops with one id.
TEST_F(ShopOnDisk, ACopiedFileThatWasCarriedOn) {
  const auto clock = std::make_shared<SharedClock>();
  const auto at = [&](const char* name) {
    return Shop(
        small_knowledge(), Store::open(dir_ / name, Store::Mode::create), [clock] { return clock->now(0); },
        [] { return std::string(32, 'a'); });
  };
  Shop one = at("one.db");
  const int job = one.take_in(one.add_bike(red()), "bogs");
  one.hand_over({}, "test");  // it has its id now
  one.backup_to(dir_ / "two.db");
  Shop two = at("two.db");
  one.write(job, {Noted{"1"}});
  two.write(job, {Noted{"2"}});
  two.add_bike(blue());
  one.write(job, {Noted{"3"}});
  bring(one, two);
  bring(two, one);
  EXPECT_EQ(kinds_of(one.job(job)), "1 2 3 ");
  EXPECT_EQ(wherever(one), wherever(two));
  EXPECT_TRUE(bring(one, two).events.empty());
}

TEST_F(ShopOnDisk, WhatWasTakenOverIsThereAfterOpening) {
  const auto clock = std::make_shared<SharedClock>();
  Shop a = shop_called('a', clock);
  Chance chance(7);
  work_on(a, chance, 50);
  std::string live;
  {
    Shop s = open();
    s.add_bike(red());
    bring(a, s);
    work_on(s, chance, 30);
    bring(a, s);
    live = in_words(s);
  }
  EXPECT_EQ(in_words(open()), live);
}

}  // namespace
}  // namespace crankwise
