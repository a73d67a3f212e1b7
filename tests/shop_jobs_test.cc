// Jobs of a shop: what is written on them, and undo.
#include <gtest/gtest.h>

#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

// ---- Jobs

TEST(Shop, TakesInJobs) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  EXPECT_EQ(s.current_job(), std::nullopt);
  EXPECT_EQ(s.take_in(id, "bogs up top"), 1);
  EXPECT_EQ(s.take_in(id, "will not start"), 2);
  EXPECT_EQ(s.current_job(), 2);
  EXPECT_EQ(s.job(1).complaint, "bogs up top");
  EXPECT_EQ(s.job(1).bike, "red-85");
  EXPECT_EQ(s.job(1).number, 1);
  EXPECT_EQ(s.job(1).end, JobEnd::open);
  EXPECT_EQ(refusal([&] { s.take_in("red-58", "bogs"); }),
            "no bike is called \"red-58\"; right would be: perhaps \"red-85\"");
  EXPECT_EQ(refusal([&] { s.take_in("lawnmower", "bogs"); }),
            "no bike is called \"lawnmower\"; right would be: crankwise bikes lists them");
  for (const char* empty : {"", "  ", "\t\n "}) {
    EXPECT_EQ(refusal([&] { s.take_in(id, empty); }),
              "the complaint is empty; right would be: what the rider says, in his words");
  }
  EXPECT_EQ(refusal([&] { s.write(3, {Noted{"x"}}); }), "there is no job 3; right would be: crankwise jobs lists them");
  EXPECT_EQ(refusal([&] { s.diagnosis(0); }), "there is no job 0; right would be: crankwise jobs lists them");
  s.write(1, {Noted{"on it"}});
  EXPECT_EQ(s.current_job(), 1);
  s.close(1, JobEnd::given_up, {}, "");
  EXPECT_EQ(s.current_job(), 2);
}

TEST(Shop, EveryKindOfEntryIsKeptAsItWas) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  const std::vector<Entry> all{SaidSo{"bogs-up-top", Answer::yes},
                               SaidSo{"breaks-up", Answer::no},
                               SaidSo{"only-hot", Answer::unsure},
                               Took{"compression", 131.25, "psi", false},
                               Took{"coil", 0, "", true},
                               Did{"swap-plug"},
                               RanIt{RunResult::same, "ride"},
                               RanIt{RunResult::better, ""},
                               RanIt{RunResult::gone, "run-on-stand"},
                               WentBack{"swap-plug"},
                               Skipped{"test-spark", "no tester"},
                               Skipped{"wont-start", ""},
                               WasSo{"stood", true},
                               WasSo{"new-plug", false},
                               NotMeant{"breaks-up"},
                               NotMeant{"stood"},
                               PartsNow{{"tank", "seat"}},
                               PartsNow{{}},
                               Noted{"wörter \"mit\" allem\nand more"}};
  s.write(job, all);
  const std::vector<Entry> kept = s.job(job).plain_entries();
  ASSERT_EQ(kept.size(), all.size());
  for (size_t i = 0; i < all.size(); ++i) {
    EXPECT_EQ(entry_kind(kept[i]), entry_kind(all[i]));
    EXPECT_EQ(entry_data(kept[i]), entry_data(all[i]));
    EXPECT_EQ(s.job(job).entries[i].act, 1);
    EXPECT_EQ(s.job(job).entries[i].hours, 42);
  }
}

struct Refused {
  const char* what;
  Entry entry;
  const char* says;
};
void PrintTo(const Refused& refused, std::ostream* out) { *out << refused.what; }
class RefusedEntry : public testing::TestWithParam<Refused> {};

TEST_P(RefusedEntry, TakesTheWholeActWithIt) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
  const std::string before = in_words(s);
  const Verdict verdict(s.diagnosis(job));
  EXPECT_EQ(refusal([&] {
              s.write(job, {Did{"look-at-plug"}, GetParam().entry, SaidSo{"breaks-up", Answer::no}});
            }),
            GetParam().says);
  EXPECT_EQ(in_words(s), before);
  EXPECT_EQ(Verdict(s.diagnosis(job)), verdict);
}

const Refused kRefused[] = {
    {"Finding", SaidSo{"bogs-uptop", Answer::yes},
     "no finding is called \"bogs-uptop\"; right would be: perhaps \"bogs-up-top\""},
    {"FindingUnlikeAny", SaidSo{"q", Answer::yes},
     "no finding is called \"q\"; right would be: crankwise list findings"},
    {"FindingElsewhere", SaidSo{"fuel-pressure-low", Answer::yes},
     "\"fuel-pressure-low\" does not apply to this bike; right would be: a finding of its equipment"},
    {"Reading", Took{"compresion", 100, "psi", false},
     "no reading is called \"compresion\"; right would be: perhaps \"compression\""},
    {"ReadingElsewhere", Took{"fuel-pressure", 100, "kPa", false},
     "\"fuel-pressure\" does not apply to this bike; right would be: a reading of its equipment"},
    {"Unit", Took{"compression", 100, "pso", false},
     "compression: \"pso\" is not a known unit; right would be: perhaps psi"},
    {"UnitOfAnother", Took{"compression", 100, "kohm", false},
     "compression: kohm does not measure it; right would be: a unit like psi"},
    {"BelowZero", Took{"compression", -3, "psi", false},
     "compression: -3 psi cannot be; right would be: a value of 0 or more"},
    {"Infinite", Took{"compression", INFINITY, "psi", false},
     "compression: inf psi cannot be; right would be: a value of 0 or more"},
    {"Step", Did{"look-at-plugs"}, "no step is called \"look-at-plugs\"; right would be: perhaps \"look-at-plug\""},
    {"StepElsewhere", Did{"new-pump"},
     "\"new-pump\" does not apply to this bike; right would be: a step of its equipment"},
    {"BackOfALook", WentBack{"look-at-plug"},
     "\"look-at-plug\" puts no part in that could go back out; right would be: a step of kind swap or replace"},
    {"BackOfACleaning", WentBack{"clean-jet"},
     "\"clean-jet\" puts no part in that could go back out; right would be: a step of kind swap or replace"},
    {"RunUnknown", RanIt{RunResult::same, "rid"}, "no step is called \"rid\"; right would be: perhaps \"ride\""},
    {"RunNoRun", RanIt{RunResult::same, "clean-jet"}, "\"clean-jet\" is not a run; right would be: a step of kind run"},
    {"NotMeant", NotMeant{"stod"}, "no finding or context is called \"stod\"; right would be: perhaps \"stood\""},
    {"Skip", Skipped{"test-sprak", ""}, "no step is called \"test-sprak\"; right would be: perhaps \"test-spark\""},
    {"SkipElsewhere", Skipped{"new-pump", ""},
     "\"new-pump\" does not apply to this bike; right would be: a step of its equipment"},
    {"Context", WasSo{"stod", true}, "no context is called \"stod\"; right would be: perhaps \"stood\""},
    {"Part", PartsNow{{"tank", "plugg"}}, "no part is called \"plugg\"; right would be: perhaps \"plug\""},
};

INSTANTIATE_TEST_SUITE_P(All, RefusedEntry, testing::ValuesIn(kRefused),
                         [](const auto& refused) { return std::string(refused.param.what); });

TEST(Shop, EveryProblemOfAnActIsSaidAtOnce) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  EXPECT_EQ(
      refusal([&] {
        s.write(job, {Did{"look-at-plugs"}, SaidSo{"jet-dirt", Answer::yes}, Took{"compression", -1, "psi", false}});
      }),
      "no step is called \"look-at-plugs\"; right would be: perhaps \"look-at-plug\"\n"
      "no finding is called \"jet-dirt\"; right would be: perhaps \"jet-dirty\"\n"
      "compression: -1 psi cannot be; right would be: a value of 0 or more");
}

TEST(Shop, TextThatIsNotUtf8IsRefusedNotThrownAbout) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int job = s.take_in(id, "bogs up top");
  const std::string before = in_words(s), latin = "h\xe4ngt";
  Bike b = red();
  b.name = latin;
  ShopSettings settings;
  settings.currency = latin;
  // Every text that a user may write; each must be BadInput, which the command line reports, and nothing else.
  EXPECT_NE(refusal([&] { s.write(job, {Noted{latin}}); }), "");
  EXPECT_NE(refusal([&] { s.write(job, {Skipped{"test-spark", latin}}); }), "");
  EXPECT_NE(refusal([&] { s.take_in(id, latin); }), "");
  EXPECT_NE(refusal([&] { s.add_bike(b); }), "");
  EXPECT_NE(refusal([&] { s.close(job, JobEnd::given_up, {}, latin); }), "");
  EXPECT_NE(refusal([&] { s.set(settings); }), "");
  EXPECT_EQ(in_words(s), before);
}

// ---- Undo

TEST(Shop, UndoIsNeverDone) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  const std::vector<std::vector<Entry>> acts{{SaidSo{"bogs-up-top", Answer::yes}, WasSo{"stood", true}},
                                             {Took{"compression", 131, "psi", false}},
                                             {Did{"look-at-jet"}, SaidSo{"jet-dirty", Answer::yes}},
                                             {Did{"clean-jet"}},
                                             {RanIt{RunResult::same, ""}},
                                             {Did{"swap-plug"}, RanIt{RunResult::better, "ride"}},
                                             {WentBack{"swap-plug"}},
                                             {Skipped{"test-spark", "no tester"}},
                                             {PartsNow{{"tank", "plug"}}},
                                             {Noted{"x"}}};
  std::vector<Verdict> verdicts;
  std::vector<size_t> sizes;
  for (const auto& act : acts) {
    verdicts.emplace_back(s.diagnosis(job));
    sizes.push_back(s.job(job).entries.size());
    s.write(job, act);
  }
  for (size_t i = acts.size(); i-- > 0;) {
    s.undo(job);
    EXPECT_EQ(s.job(job).entries.size(), sizes[i]);
    EXPECT_EQ(Verdict(s.diagnosis(job)), verdicts[i]) << "act " << i + 1;
  }
  EXPECT_EQ(refusal([&] { s.undo(job); }),
            "there is nothing to take back on job 1; right would be: an entry to take back");
  // And then on as if nothing had been.
  Shop fresh = new_shop();
  fresh.take_in(fresh.add_bike(red()), "bogs up top");
  for (const auto& act : acts) {
    s.write(job, act);
    fresh.write(job, act);
    EXPECT_EQ(Verdict(s.diagnosis(job)), Verdict(fresh.diagnosis(job)));
  }
}

TEST(Shop, UndoBetweenOtherActs) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
  s.write(job, {SaidSo{"breaks-up", Answer::yes}});
  EXPECT_EQ(s.undo(job), "breaks up: yes");
  s.write(job, {SaidSo{"breaks-up", Answer::no}, Noted{"clean"}});
  EXPECT_EQ(s.undo(job), "breaks up: no; note: clean");
  EXPECT_EQ(s.undo(job), "bogs up top: yes");
  s.write(job, {SaidSo{"only-hot", Answer::yes}});
  ASSERT_EQ(s.job(job).entries.size(), 1U);
  EXPECT_EQ(s.undo(job), "only hot: yes");
  EXPECT_TRUE(s.job(job).entries.empty());
}

TEST(Shop, UndoTouchesNoOtherJob) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int one = s.take_in(id, "bogs up top"), two = s.take_in(id, "breaks up");
  s.write(one, {SaidSo{"bogs-up-top", Answer::yes}});
  s.write(two, {SaidSo{"breaks-up", Answer::yes}});
  s.write(one, {SaidSo{"only-hot", Answer::no}});
  const std::string other = in_words(s.job(two));
  s.undo(one);
  s.undo(one);
  EXPECT_EQ(in_words(s.job(two)), other);
  EXPECT_TRUE(s.job(one).entries.empty());
}

TEST(Shop, UndoOfClosingOpensTheJobAgain) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
  const Verdict open(s.diagnosis(job));
  s.close(job, JobEnd::fixed_unproven, {"main-jet-blocked"}, "rider in a hurry");
  EXPECT_EQ(s.job(job).end, JobEnd::fixed_unproven);
  EXPECT_EQ(s.job(job).causes, std::vector<std::string>{"main-jet-blocked"});
  EXPECT_EQ(s.job(job).words, "rider in a hurry");
  EXPECT_FALSE(s.job(job).closed_at.empty());
  EXPECT_EQ(refusal([&] { s.write(job, {Noted{"late"}}); }),
            "job 1 is closed; right would be: an open job; taking its closing back opens it again");
  EXPECT_EQ(refusal([&] { s.close(job, JobEnd::given_up, {}, ""); }),
            "job 1 is closed; right would be: an open job; taking its closing back opens it again");
  EXPECT_EQ(s.undo(job), "closing the job");
  EXPECT_EQ(s.job(job).end, JobEnd::open);
  EXPECT_EQ(s.job(job).causes, std::vector<std::string>{});
  EXPECT_EQ(s.job(job).words, "");
  EXPECT_EQ(s.job(job).closed_at, "");
  EXPECT_EQ(s.current_job(), job);
  EXPECT_EQ(Verdict(s.diagnosis(job)), open);
  s.close(job, JobEnd::given_up, {}, "sold");
  EXPECT_EQ(s.undo(job), "closing the job");
  EXPECT_EQ(s.undo(job), "bogs up top: yes");
}

}  // namespace
}  // namespace crankwise
