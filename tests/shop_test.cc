#include "app/shop.h"

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <random>

#include "tests/small_knowledge.h"

namespace crankwise {
namespace {

namespace fs = std::filesystem;
using test::small_knowledge;

/// One second on at each look.
class Ticking {
 public:
  std::string operator()() {
    ++count_;
    return fmt::format("2026-03-01T{:02}:{:02}:{:02}.000Z", count_ / 3600 % 24, count_ / 60 % 60, count_ % 60);
  }

 private:
  int count_ = 0;
};

Shop new_shop() { return {small_knowledge(), Store::in_memory(), Ticking()}; }

Bike red() {
  Bike b;
  b.name = "Red 85";
  b.bike_class = "mini-two-stroke";
  b.traits = small_knowledge().classes.find(b.bike_class)->traits;
  b.displacement_cc = 85;
  b.hours = 42;
  b.hours_known = true;
  return b;
}

Bike blue() {
  Bike b;
  b.name = "Blue 110";
  b.bike_class = "mini-four-stroke";
  b.traits = small_knowledge().classes.find(b.bike_class)->traits;
  b.displacement_cc = 110;
  return b;
}

/// What the BadInput says that `body` throws, one line a problem; "" if it throws none.
template <class Body>
std::string refusal(Body body) {
  try {
    body();
  } catch (const BadInput& e) {
    return e.what();
  }
  return "";
}

/// All that makes a job, as one text.
std::string in_words(const Job& j) {
  std::string out = fmt::format("{} {} \"{}\" {}-{} {} acts {} \"{}\" [{}]\n", j.number, j.bike, j.complaint,
                                j.opened_at, j.closed_at, text(j.end), j.acts, j.words, fmt::join(j.causes, " "));
  for (const JobEntry& e : j.entries) {
    out += fmt::format("  {} act {} at {} h: {} {}\n", e.at, e.act, e.hours, entry_kind(e.entry),
                       entry_data(e.entry).dump());
  }
  return out;
}

/// All that makes a shop.
std::string in_words(const Shop& s) {
  std::string out = fmt::format("{} {} [{}] current {}\n", s.settings().money_per_hour, s.settings().currency,
                                fmt::join(s.settings().lacks, " "), s.current_job().value_or(0));
  for (const auto& [id, b] : s.bikes()) out += fmt::format("{} {} {}\n", id, b.id, bike_data(b).dump());
  for (const auto& [number, j] : s.jobs()) out += in_words(j);
  return out;
}

/// The numbers of a diagnosis, to the bit.
struct Verdict {
  std::vector<double> there, at_start, values;
  std::vector<int> steps;
  double left_out = 0, doubt = 0;
  bool proven = false;
  PartMask off = 0;

  explicit Verdict(const Diagnosis& d)
      : there(d.belief.still_there()),
        at_start(d.belief.there_at_start()),
        left_out(d.belief.left_out()),
        doubt(d.advice.doubt),
        proven(d.advice.proven),
        off(d.state.off) {
    for (const Option& o : d.advice.options) steps.push_back(o.step), values.push_back(o.value);
  }
  bool operator==(const Verdict&) const = default;
};

double chance_of(const Shop& s, int job, const std::string& fault) {
  const Diagnosis d = s.diagnosis(job);
  return d.belief.still_there()[static_cast<size_t>(d.bike().fault(fault))];
}

// ---- Bikes

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
            "the hours run backwards: Red 85 has 50.5 h already; right would be: 50.5 or more");
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
  s.renewed(id, "plug", 42);
  s.renewed(id, "piston", 0);
  EXPECT_EQ(refusal([&] { s.renewed(id, "plug", 42.5); }),
            "renewed at 42.5 h, but the engine has 42 h; right would be: 0 to the engine's hours");
  EXPECT_EQ(refusal([&] { s.renewed(id, "plug", -1); }),
            "renewed at -1 h, but the engine has 42 h; right would be: 0 to the engine's hours");
  EXPECT_EQ(refusal([&] { s.renewed(id, "pistn", 1); }),
            "no part that wears is called \"pistn\"; right would be: perhaps \"piston\"");
  EXPECT_EQ(refusal([&] { s.renewed(id, "saddle-bag", 1); }),
            "no part that wears is called \"saddle-bag\"; right would be: one of piston, plug");
  EXPECT_EQ(s.bike(id).renewed_h, (std::map<std::string, double>{{"piston", 0}, {"plug", 42}}));
}

TEST(Shop, ANewPlugIsNotSuspectedLikeAnOldOne) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int job = s.take_in(id, "breaks up");
  const double unknown = chance_of(s, job, "plug-worn");
  s.renewed(id, "plug", 0);
  const double old = chance_of(s, job, "plug-worn");
  s.renewed(id, "plug", 42);
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
  ASSERT_EQ(s.bike(id).figures.size(), 1U);
  EXPECT_EQ(s.bike(id).figures.at("compression").low, 11);
  EXPECT_EQ(s.bike(id).figures.at("compression").unit, "bar");
  EXPECT_TRUE(s.bike(id).figures.at("compression").baseline);
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
              "the worth of an hour must be above 0; right would be: what your hour costs, for example 60");
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
            "job 1 is closed; right would be: an open job; crankwise undo opens it again");
  EXPECT_EQ(refusal([&] { s.close(job, JobEnd::given_up, {}, ""); }),
            "job 1 is closed; right would be: an open job; crankwise undo opens it again");
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

// ---- Closing

TEST(Shop, ProvenNeedsACleanRun) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, SaidSo{"jet-dirty", Answer::yes}});
  const auto prove = [&] { return refusal([&] { s.close(job, JobEnd::proven, {}, ""); }); };
  const std::string no_run =
      "not proven yet: the last thing done is not a run without the trouble; right would be: a run after the fix, or "
      "close it as "
      "not-proven or given-up";
  EXPECT_EQ(prove(), no_run);
  s.write(job, {Did{"clean-jet"}});
  EXPECT_EQ(prove(), no_run);
  s.write(job, {RanIt{RunResult::same, ""}});
  EXPECT_EQ(prove(), no_run);
  s.write(job, {RanIt{RunResult::better, ""}});
  EXPECT_EQ(prove(), no_run);
  s.undo(job);
  s.undo(job);
  s.write(job, {RanIt{RunResult::gone, ""}});
  // Nothing done after the clean run may lean on it.
  s.write(job, {Did{"swap-plug"}});
  EXPECT_EQ(prove(), no_run);
  s.undo(job);
  EXPECT_EQ(s.job(job).end, JobEnd::open);
  for (int run = 0; run < 8 && s.job(job).end == JobEnd::open; ++run) {
    if (s.diagnosis(job).advice.proven) {
      EXPECT_EQ(prove(), "");
    } else {
      EXPECT_NE(prove().find("% doubt is left; right would be: another clean run, or close it as not-proven"),
                std::string::npos)
          << prove();
      s.write(job, {RanIt{RunResult::gone, ""}});
    }
  }
  EXPECT_EQ(s.job(job).end, JobEnd::proven);
}

TEST(Shop, OneCleanRunDoesNotProveATroubleThatComesAndGoes) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "breaks up");
  s.write(job, {SaidSo{"breaks-up", Answer::yes}, Took{"coil", 0, "", true}, RanIt{RunResult::gone, ""}});
  EXPECT_GT(s.diagnosis(job).advice.doubt, 0.1);
  const std::string says = refusal([&] { s.close(job, JobEnd::proven, {"coil-open"}, ""); });
  EXPECT_NE(says.find("not proven yet: "), std::string::npos);
  EXPECT_NE(says.find(" % doubt is left"), std::string::npos);
}

TEST(Shop, CausesMustBeFaults) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  EXPECT_EQ(refusal([&] {
              s.close(job, JobEnd::fixed_unproven, {"main-jet-block", "gremlins-in-the-tank"}, "");
            }),
            "cause: no fault is called \"main-jet-block\"; right would be: perhaps \"main-jet-blocked\"\n"
            "cause: no fault is called \"gremlins-in-the-tank\"; right would be: crankwise list faults");
  EXPECT_EQ(s.job(job).end, JobEnd::open);
}

TEST(Shop, LikelyCausesAreWhatTheRepairsPutRight) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  EXPECT_TRUE(s.likely_causes(job).empty());
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, SaidSo{"jet-dirty", Answer::yes}});
  EXPECT_TRUE(s.likely_causes(job).empty());
  s.write(job, {Did{"clean-jet"}, RanIt{RunResult::gone, ""}});
  EXPECT_EQ(s.likely_causes(job), std::vector<std::string>{"main-jet-blocked"});
  s.undo(job);
  s.write(job, {Did{"swap-plug"}, RanIt{RunResult::same, ""}, WentBack{"swap-plug"}});
  EXPECT_TRUE(s.likely_causes(job).empty());
}

TEST(Shop, OfSeveralRepairsOnlyTheLikelyOneIsTheCause) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, Did{"new-reeds"}, Did{"clean-jet"}, RanIt{RunResult::gone, ""}});
  const Diagnosis d = s.diagnosis(job);
  const auto cured = [&](const char* fault) {
    const size_t f = static_cast<size_t>(d.bike().fault(fault));
    return d.belief.there_at_start()[f] - d.belief.still_there()[f];
  };
  EXPECT_GT(cured("main-jet-blocked"), 0.5);
  EXPECT_GT(cured("reed-chipped"), 0.06);
  EXPECT_LT(cured("reed-chipped"), 0.5);
  EXPECT_EQ(s.likely_causes(job), std::vector<std::string>{"main-jet-blocked"});
}

TEST(Shop, TwoCausesAreNamedWhenTwoWereFound) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs and kicks too easily");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, SaidSo{"jet-dirty", Answer::yes},
                Took{"compression", 60, "psi", false}});
  s.write(job, {Did{"clean-jet"}, RanIt{RunResult::better, ""}});
  s.write(job, {Did{"new-piston"}, RanIt{RunResult::gone, ""}});
  std::vector<std::string> causes = s.likely_causes(job);
  std::sort(causes.begin(), causes.end());
  EXPECT_EQ(causes, (std::vector<std::string>{"main-jet-blocked", "rings-worn"}));
}

// ---- What jobs renewed

TEST(Shop, ARepairCountsAsARenewalForLaterJobs) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int first = s.take_in(id, "breaks up");
  s.write(first, {Did{"swap-plug"}});
  s.set_hours(id, 60);
  EXPECT_EQ(s.bike(id).renewed_h, (std::map<std::string, double>{}));
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"plug", 42}}));
  EXPECT_EQ(s.bike_with_renewals(id, first).renewed_h, (std::map<std::string, double>{}));
  s.undo(first);
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{}));
  s.write(first, {Did{"swap-plug"}});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"plug", 60}}));
  s.renewed(id, "plug", 50);
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"plug", 60}}));
  // Not for the job itself: there the repair is evidence.
  const int second = s.take_in(id, "breaks up");
  EXPECT_LT(chance_of(s, second, "plug-worn"), 0.1);
  const std::string other = s.add_bike(red());
  EXPECT_TRUE(s.bike_with_renewals(other).renewed_h.empty());
}

TEST(Shop, TheLatestRenewalCountsWhateverItsJob) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int first = s.take_in(id, "breaks up"), second = s.take_in(id, "bogs");
  s.write(second, {Did{"swap-plug"}});
  s.set_hours(id, 60);
  s.write(first, {Did{"swap-plug"}});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"plug", 60}}));
  s.set_hours(id, 70);
  s.write(second, {Did{"new-piston"}});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"piston", 70}, {"plug", 60}}));
}

TEST(Shop, APartThatWentBackOutIsNotRenewed) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int job = s.take_in(id, "breaks up");
  s.write(job, {Did{"swap-plug"}, RanIt{RunResult::same, ""}});
  s.write(job, {WentBack{"swap-plug"}});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{}));
}

// ---- On disk

class ShopOnDisk : public testing::Test {
 protected:
  ShopOnDisk() {
    std::string name = (fs::temp_directory_path() / "crankwise-shop-XXXXXX").string();
    dir_ = ::mkdtemp(name.data());
  }
  ~ShopOnDisk() override { fs::remove_all(dir_); }
  Shop open() const { return {small_knowledge(), Store::open(dir_ / "shop.db", Store::Mode::create), Ticking()}; }

  fs::path dir_;
};

TEST_F(ShopOnDisk, ReplayGivesTheSame) {
  std::string live;
  std::optional<Verdict> verdict;
  {
    Shop s = open();
    const std::string id = s.add_bike(red());
    s.set_figure(id, "compression", {11, 12, "bar", false});
    s.set_access(id, "tank", 9, 11);
    s.renewed(id, "piston", 10);
    const int job = s.take_in(id, "bogs \"up\" top\n");
    s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, Took{"compression", 0.1 + 0.2, "bar", false}});
    s.write(job, {Did{"clean-jet"}, RanIt{RunResult::gone, "ride"}});
    s.write(job, {Noted{"wrong"}});
    s.undo(job);
    s.set_hours(id, 42.125);
    s.close(job, JobEnd::fixed_unproven, s.likely_causes(job), "done");
    s.take_in(id, "again");
    live = in_words(s);
    verdict.emplace(s.diagnosis(job));
  }
  const Shop again = open();
  EXPECT_EQ(in_words(again), live);
  EXPECT_EQ(Verdict(again.diagnosis(1)), *verdict);
}

TEST_F(ShopOnDisk, TwoAtOnceLoseNothing) {
  Shop a = open();
  const std::string id = a.add_bike(red());
  const int job = a.take_in(id, "bogs up top");
  Shop b = open();
  EXPECT_EQ(in_words(a), in_words(b));
  b.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
  // The log is read again first, or the act is refused as a whole and the next try stands on all that is there.
  const auto write = [&](Shop& shop, const Entry& entry) {
    for (int attempt = 0; attempt < 3; ++attempt) {
      try {
        shop.write(job, {entry});
        return attempt;
      } catch (const Stale&) {
      }
    }
    return 99;
  };
  EXPECT_LE(write(a, SaidSo{"breaks-up", Answer::no}), 1);
  EXPECT_LE(write(b, Took{"compression", 140, "psi", false}), 1);
  EXPECT_LE(write(b, Noted{"two in a row"}), 0);
  EXPECT_LE(write(a, Noted{"last"}), 1);
  const Shop c = open();
  std::string kept;
  for (const Entry& e : c.job(job).plain_entries()) kept += entry_kind(e) + " ";
  EXPECT_EQ(kept, "answered answered measured noted noted ");
  EXPECT_EQ(in_words(a), in_words(c));
  std::set<int> acts;
  for (const JobEntry& e : c.job(job).entries) acts.insert(e.act);
  EXPECT_EQ(acts.size(), 5U) << "two acts with one number could not be taken back one by one";
}

TEST_F(ShopOnDisk, TwoAtOnceDoNotOpenOneJobTwice) {
  Shop a = open();
  const std::string id = a.add_bike(red());
  Shop b = open();
  const auto take_in = [&](Shop& shop, const std::string& words) {
    for (int attempt = 0; attempt < 3; ++attempt) {
      try {
        return shop.take_in(id, words);
      } catch (const Stale&) {
      }
    }
    return -1;
  };
  EXPECT_EQ(take_in(a, "one"), 1);
  EXPECT_EQ(take_in(b, "two"), 2);
  EXPECT_EQ(take_in(a, "three"), 3);
  const Shop c = open();
  ASSERT_EQ(c.jobs().size(), 3U);
  EXPECT_EQ(c.job(2).complaint, "two");
}

TEST_F(ShopOnDisk, BackupIsTheSameShop) {
  Shop s = open();
  s.write(s.take_in(s.add_bike(red()), "bogs up top"), {SaidSo{"bogs-up-top", Answer::yes}});
  s.backup_to(dir_ / "copy.db");
  const Shop copy(small_knowledge(), Store::open(dir_ / "copy.db", Store::Mode::read_only), Ticking());
  EXPECT_EQ(in_words(copy), in_words(s));
}

TEST(Shop, EventsItDoesNotKnowAreRefused) {
  const NewEvent bike{"bike/red", "added", R"({"name":"Red","traits":["two-stroke","carburettor"]})"};
  const NewEvent job{"job/1", "opened", R"({"bike":"red","complaint":"bogs"})"};
  const std::vector<std::vector<NewEvent>> logs{
      {{"moon/1", "landed", "{}"}},
      {bike, {"bike/red", "painted", "{}"}},
      {{"bike/none", "hours", R"({"hours":3})"}},
      {bike, {"bike/red", "hours", "{}"}},
      {bike, {"bike/red", "hours", "[]"}},
      {bike, {"bike/red", "hours", R"({"hours":"many"})"}},
      {{"bike/red", "added", "{}"}},
      {{"job/1", "opened", R"({"bike":"none","complaint":"bogs"})"}},
      {{"job/x", "opened", R"({"bike":"none","complaint":"bogs"})"}},
      {bike, job, {"job/1", "danced", R"({"act":1})"}},
      {bike, job, {"job/1", "answered", R"({"finding":"bogs-up-top","answer":"yes"})"}},
      {bike, job, {"job/1", "answered", R"({"act":1,"finding":"bogs-up-top","answer":"maybe"})"}},
      {bike, job, {"job/1", "undone", "{}"}},
      {bike, {"job/2", "undone", R"({"act":1})"}},
      {bike, {"job/2", "noted", R"({"act":1,"text":"no such job"})"}},
      {bike, job, job},
      {bike, job, {"job/1", "closed", R"({"act":1,"end":"eaten","causes":[],"words":""})"}},
  };
  for (const auto& log : logs) {
    Store store = Store::in_memory();
    store.append(log, "2026-03-01T08:00:00.000Z");
    std::string says;
    EXPECT_NO_THROW(says = refusal([&] { Shop(small_knowledge(), std::move(store), Ticking()); }));
    const std::string& last = log.back().kind + " " + log.back().data;
    EXPECT_NE(
        says.find(fmt::format("event {}: {} of {} cannot be read: ", log.size(), log.back().kind, log.back().subject)),
        std::string::npos)
        << last << "\nsaid: " << says;
    EXPECT_NE(says.find("right would be: "), std::string::npos) << last;
  }
}

TEST(Shop, WhatTheKnowledgeForgotIsSaidNotThrown) {
  // A log outlives a correction of the knowledge: an id that is gone must not lock the shop.
  Store store = Store::in_memory();
  store.append({{"bike/red", "added", R"({"name":"Red","traits":["two-stroke","carburettor"]})"},
                {"job/1", "opened", R"({"bike":"red","complaint":"bogs"})"},
                {"job/1", "answered", R"({"act":1,"finding":"old-finding","answer":"yes"})"},
                {"job/1", "did", R"({"act":2,"step":"old-step"})"},
                {"job/1", "measured", R"({"act":3,"reading":"old-reading","value":3,"unit":"psi"})"},
                {"job/1", "put-back", R"({"act":4,"step":"old-step"})"},
                {"job/1", "skipped", R"({"act":5,"step":"old-step"})"},
                {"job/1", "context", R"({"act":6,"context":"old-context","so":true})"},
                {"job/1", "parts-off", R"({"act":7,"off":["old-part"]})"},
                {"job/1", "answered", R"({"act":8,"finding":"bogs-up-top","answer":"yes"})"}},
               "2026-03-01T08:00:00.000Z");
  const Shop s(small_knowledge(), std::move(store), Ticking());
  const Diagnosis d = s.diagnosis(1);
  EXPECT_EQ(d.left_out.size(), 5U);
  EXPECT_GT(chance_of(s, 1, "main-jet-blocked"), 0.2);
}

// ---- Anything, in any order

/// The jobs as they should be, kept the simple way: a stack of acts.
struct Plain {
  std::vector<std::vector<Entry>> acts;
  bool closed = false;

  std::string in_words() const {
    std::string out;
    for (const auto& act : acts) {
      for (const Entry& e : act) out += entry_kind(e) + entry_data(e).dump() + "\n";
    }
    return out;
  }
};

class Chance {
 public:
  explicit Chance(unsigned seed) : random_(seed) {}
  int below(int n) { return std::uniform_int_distribution(0, n - 1)(random_); }
  double number(double low, double high) { return std::uniform_real_distribution(low, high)(random_); }
  template <class Shelf>
  std::string id(const Shelf& shelf, const Traits& traits) {
    std::vector<std::string> ids;
    for (const auto& x : shelf) {
      if (x.applies.holds(traits)) ids.push_back(x.id);
    }
    return ids[static_cast<size_t>(below(static_cast<int>(ids.size())))];
  }
  Entry entry(const Bike& bike) {
    const Knowledge& k = small_knowledge();
    const Traits traits(bike.traits);
    const std::string step = id(k.steps, traits);
    const Step& s = *k.steps.find(step);
    switch (below(9)) {
      case 0:
      case 1:
        return SaidSo{id(k.findings, traits), static_cast<Answer>(below(3))};
      case 2: {
        const std::string reading = id(k.readings, traits);
        if (below(4) == 0) return Took{reading, 0, "", true};
        return Took{reading, number(0, 300), k.readings.find(reading)->unit, false};
      }
      case 3:
        return RanIt{static_cast<RunResult>(below(3)), below(2) == 0 ? "" : "ride"};
      case 4:
        return WasSo{below(2) == 0 ? "stood" : "new-plug", below(2) == 0};
      case 5:
        return PartsNow{below(3) == 0 ? std::vector<std::string>{} : std::vector<std::string>{id(k.parts, traits)}};
      case 6:
        return Noted{fmt::format("note {} \"%\"", below(1000))};
      case 7:
        return s.kind == StepKind::swap || s.kind == StepKind::replace ? Entry{WentBack{step}}
                                                                       : Entry{Skipped{step, "no part"}};
      default:
        return Did{step};
    }
  }

 private:
  std::mt19937 random_;
};

class RandomShop : public ShopOnDisk, public testing::WithParamInterface<unsigned> {};

TEST_P(RandomShop, ReplayGivesTheSame) {
  Chance chance(GetParam());
  Shop s = open();
  std::vector<std::string> bikes{s.add_bike(red()), s.add_bike(blue())};
  std::map<int, Plain> plain;
  const auto any_bike = [&] { return bikes[static_cast<size_t>(chance.below(static_cast<int>(bikes.size())))]; };
  for (int i = 0; i < 120; ++i) {
    const int job = plain.empty() ? 0 : 1 + chance.below(static_cast<int>(plain.size()));
    const int what = chance.below(20);
    if (what == 0 && bikes.size() < 5) {
      bikes.push_back(s.add_bike(chance.below(2) == 0 ? red() : blue()));
    } else if (what == 1) {
      const std::string id = any_bike();
      s.set_hours(id, s.bike(id).hours + chance.number(0, 9));
    } else if (what == 2) {
      s.set_figure(any_bike(), "compression",
                   {chance.number(1, 90), chance.number(90, 200), "psi", chance.below(2) == 0});
    } else if (what == 3) {
      s.set_access(any_bike(), "tank", chance.number(0, 20), chance.number(0, 20));
    } else if (what == 4) {
      const std::string id = any_bike();
      s.renewed(id, chance.below(2) == 0 ? "plug" : "piston", chance.number(0, s.bike(id).hours));
    } else if (what == 5) {
      ShopSettings settings;
      settings.money_per_hour = chance.number(20, 90);
      if (chance.below(2) == 0) settings.lacks.insert("gauge");
      s.set(settings);
    } else if (plain.empty() || (what == 6 && plain.size() < 6)) {
      plain[s.take_in(any_bike(), fmt::format("complaint {}", i))] = {};
    } else if (what <= 9) {
      Plain& p = plain.at(job);
      if (!p.closed && p.acts.empty()) continue;
      s.undo(job);
      if (p.closed)
        p.closed = false;
      else
        p.acts.pop_back();
    } else if (what == 10 && !plain.at(job).closed) {
      const bool proven = s.diagnosis(job).advice.proven;
      s.close(job,
              proven                 ? JobEnd::proven
              : chance.below(2) == 0 ? JobEnd::given_up
                                     : JobEnd::fixed_unproven,
              s.likely_causes(job), "words");
      plain.at(job).closed = true;
    } else if (!plain.at(job).closed) {
      std::vector<Entry> act;
      for (int n = 1 + chance.below(3); n > 0; --n) act.push_back(chance.entry(s.bike(s.job(job).bike)));
      s.write(job, act);
      plain.at(job).acts.push_back(std::move(act));
    }
  }
  const Shop again = open();
  EXPECT_EQ(in_words(again), in_words(s));
  for (const auto& [number, p] : plain) {
    std::string kept;
    for (const Entry& e : s.job(number).plain_entries()) kept += entry_kind(e) + entry_data(e).dump() + "\n";
    EXPECT_EQ(kept, p.in_words()) << "job " << number;
    EXPECT_EQ(s.job(number).end != JobEnd::open, p.closed);
    EXPECT_EQ(Verdict(again.diagnosis(number)), Verdict(s.diagnosis(number)));
    // The same acts on a shop where none was ever taken back.
    std::vector<Entry> entries;
    for (const auto& act : p.acts) entries.insert(entries.end(), act.begin(), act.end());
    const Bike bike = s.bike_with_renewals(s.job(number).bike, number);
    EXPECT_EQ(Verdict(diagnose(small_knowledge(), bike, entries, s.settings())), Verdict(s.diagnosis(number)));
  }
}

INSTANTIATE_TEST_SUITE_P(Seeds, RandomShop, testing::Range(1U, 13U));

}  // namespace
}  // namespace crankwise
