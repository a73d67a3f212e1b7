// What stands on the job sheet of a known job. Minutes and money by hand from tests/small_knowledge.cc: reed cage off
// 6, on 8; looking at the reeds 4, new petals 8 and 50; a ride 8; plug off 2, on 3; swapping it 2 and 8.
#include "app/sheet.h"

#include <gtest/gtest.h>

#include "tests/pictures.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

class Sheet : public testing::Test {
 protected:
  Sheet() : shop_(new_shop()) {
    ShopSettings settings;
    settings.currency = "crowns";
    shop_.set(settings);
    job_ = shop_.take_in(shop_.add_bike(red()), "it \"breaks up\"");
  }
  void write(const std::vector<Entry>& entries) { shop_.write(job_, entries); }
  JobSheet sheet() const { return job_sheet(shop_, job_); }

  /// Chipped reeds: seen, renewed, ridden twice.
  void reeds() {
    write({SaidSo{"breaks-up", Answer::yes}, SaidSo{"only-hot", Answer::no}, SaidSo{"wont-start", Answer::unsure}});
    write({WasSo{"stood", true}});
    write({Did{"look-at-reeds"}, SaidSo{"reed-chip-seen", Answer::yes}});
    write({Took{"reed-gap", 0.5, "mm"}});
    write({Did{"new-reeds", {15.0, 42.5}}});
    write({RanIt{RunResult::gone, ""}});
    write({RanIt{RunResult::gone, "", {10.0, {}}}});
  }

  Shop shop_;
  int job_ = 0;
};

TEST_F(Sheet, TellsAWholeJob) {
  reeds();
  shop_.add_photo(job_, kPng, "the petal", "p.png");
  shop_.close(job_, JobEnd::fixed_unproven, {"reed-chipped"}, "New petals.");
  const JobSheet s = sheet();
  EXPECT_EQ(s.job, 1);
  EXPECT_EQ(s.bike, "Red 85");
  EXPECT_EQ(s.kind, "small two-stroke, 85 cm3");
  EXPECT_EQ(s.hours, 42);
  EXPECT_EQ(s.taken_in, "2026-03-01");
  EXPECT_EQ(s.closed, "2026-03-01");
  EXPECT_EQ(s.end, JobEnd::fixed_unproven);
  EXPECT_EQ(s.complaint, "it \"breaks up\"");
  EXPECT_EQ(s.so, (std::vector<std::string>{"breaks up", "before: stood for long"}));
  EXPECT_EQ(s.not_so, std::vector<std::string>{"only hot"});
  ASSERT_EQ(s.checked.size(), 1u);
  EXPECT_EQ(s.checked[0].step, "look-at-reeds");
  EXPECT_EQ(s.checked[0].saw, std::vector<std::string>{"reed petal chipped: yes"});
  ASSERT_EQ(s.checked[0].readings.size(), 1u);
  EXPECT_EQ(s.checked[0].readings[0].name, "reed gap");
  EXPECT_EQ(s.checked[0].readings[0].value, "0.5 mm");
  EXPECT_EQ(s.checked[0].readings[0].right, "usual for its kind: up to 0.3 mm");
  EXPECT_EQ(s.checked[0].readings[0].verdict, "higher than usual");
  ASSERT_EQ(s.found.size(), 1u);
  EXPECT_EQ(s.found[0].fault, "reed-chipped");
  EXPECT_LT(s.found[0].when_told, s.found[0].when_checked) << "the look spoke for it";
  EXPECT_LT(s.found[0].now, 0.05) << "it was put right, and two runs were clean";
  EXPECT_EQ(s.words, "New petals.");
  ASSERT_EQ(s.repaired.size(), 1u);
  EXPECT_EQ(s.repaired[0].step, "new-reeds");
  EXPECT_EQ(s.repaired[0].outcome, "trouble gone");
  EXPECT_EQ(s.clean_runs, 2);
  EXPECT_DOUBLE_EQ(s.doubt, shop_.job(job_).doubt);
  EXPECT_DOUBLE_EQ(s.doubt, shop_.diagnosis(job_).advice.doubt);
  ASSERT_EQ(s.photos.size(), 1u);
  EXPECT_EQ(s.photos[0].photo.caption, "the petal");
  EXPECT_EQ(shop_.picture(s.photos[0].photo), kPng);
}

TEST_F(Sheet, CountsMinutesAndMoney) {
  reeds();
  const JobSheet s = sheet();
  ASSERT_EQ(s.time.size(), 5u);
  const auto row = [&](size_t i, const std::string& what, double minutes, bool usual) {
    EXPECT_EQ(s.time[i].what, what);
    EXPECT_DOUBLE_EQ(s.time[i].minutes, minutes) << what;
    EXPECT_EQ(s.time[i].usual, usual) << what;
  };
  row(0, shop_.knowledge().steps.find("look-at-reeds")->name, 4, true);
  row(1, shop_.knowledge().steps.find("new-reeds")->name, 15, false);
  row(2, "Test run", 8, true);
  row(3, "Test run", 10, false);
  row(4, "Taking parts off to get there, and putting them back", 6 + 8, true);
  ASSERT_EQ(s.parts.size(), 1u);
  EXPECT_EQ(s.parts[0].money, 42.5);
  EXPECT_FALSE(s.parts[0].usual);
  EXPECT_EQ(s.currency, "crowns");
}

TEST_F(Sheet, TakesTheUsualWhereNothingWasTold) {
  write({Did{"look-at-reeds"}, SaidSo{"reed-chip-seen", Answer::yes}, Did{"new-reeds"}});
  const JobSheet s = sheet();
  ASSERT_EQ(s.time.size(), 3u);
  EXPECT_EQ(s.time[1].minutes, 8);
  EXPECT_TRUE(s.time[1].usual);
  EXPECT_EQ(s.time[2].minutes, 6) << "not back on yet";
  ASSERT_EQ(s.parts.size(), 1u);
  EXPECT_EQ(s.parts[0].money, 50);
  EXPECT_TRUE(s.parts[0].usual);
  // Told minutes have getting there in them; putting back is another entry's.
  shop_.undo(job_);
  write({Did{"look-at-reeds", {9.0, {}}}});
  EXPECT_EQ(sheet().time.size(), 1u);
  shop_.close(job_, JobEnd::given_up, {}, "");
  ASSERT_EQ(sheet().time.size(), 2u);
  EXPECT_EQ(sheet().time[1].minutes, 8) << "the cage goes back on before the bike goes home";
}

TEST_F(Sheet, APartThatWentBackCostsNothing) {
  write({Did{"swap-plug"}});
  EXPECT_EQ(sheet().parts.size(), 1u);
  write({RanIt{RunResult::same, ""}, WentBack{"swap-plug"}});
  const JobSheet s = sheet();
  EXPECT_TRUE(s.parts.empty());
  ASSERT_EQ(s.repaired.size(), 1u);
  EXPECT_TRUE(s.repaired[0].went_back);
  EXPECT_EQ(s.repaired[0].outcome, "no change; the old part went back in");
}

TEST_F(Sheet, JudgesReadingsByTheNearestYardstick) {
  const auto verdict = [&](double value) {
    write({Took{"compression", value, "psi"}});
    const SheetReading r = sheet().checked.at(0).readings.back();
    return r.verdict + " (" + r.right + ")";
  };
  EXPECT_EQ(verdict(110), "lower than usual (usual for its kind: 120 to 200 psi)");
  EXPECT_EQ(verdict(150), "in order (usual for its kind: 120 to 200 psi)");
  shop_.set_figure("red-85", "compression", {160, 180, "psi", false});
  EXPECT_EQ(verdict(150), "too low (its handbook: 160 to 180 psi)");
  shop_.set_figure("red-85", "compression", {12, 13, "bar", false});
  EXPECT_EQ(verdict(123.456), "too low (its handbook: 174 to 189 psi)");
  EXPECT_EQ(sheet().checked.at(0).readings.back().value, "123.5 psi");
  shop_.set_figure("red-85", "compression", {140, 145, "psi", true});
  EXPECT_EQ(verdict(150), "too high (this bike when it was right: 140 to 145 psi)");
  write({Took{"coil", 0, "", true}});
  EXPECT_EQ(sheet().checked.at(0).readings.back().value, "no connection (open circuit)");
  EXPECT_EQ(sheet().checked.at(0).readings.back().verdict, "not in order");
}

TEST_F(Sheet, AnOpenJobSaysWhatIsSuspected) {
  write({SaidSo{"breaks-up", Answer::yes}});
  const JobSheet s = sheet();
  EXPECT_EQ(s.closed, "");
  ASSERT_FALSE(s.found.empty());
  EXPECT_EQ(s.found[0].fault, shop_.diagnosis(job_).fault(shop_.diagnosis(job_).suspects(1)[0].fault).id);
  EXPECT_EQ(as_text(paper_of(s, {})).find("What was found"), std::string::npos);
}

TEST_F(Sheet, AQuietRunThatNothingExplainsIsNoProof) {
  const auto says = [&] {
    return as_text(paper_of(sheet(), {})).find("Nothing that was done explains") != std::string::npos;
  };
  write({SaidSo{"breaks-up", Answer::yes}, RanIt{RunResult::gone, ""}});
  EXPECT_TRUE(says());
  shop_.undo(job_);
  reeds();
  EXPECT_FALSE(says());
}

TEST_F(Sheet, NotesAndWhatWasTakenBackStayInTheShop) {
  write({Noted{"the rider is a fool"}});
  write({Did{"look-at-plug"}, SaidSo{"plug-looks-bad", Answer::yes}});
  shop_.undo(job_);
  shop_.add_photo(job_, kPng, "blurred", "p.png");
  shop_.undo(job_);
  const std::string text = as_text(paper_of(sheet(), {}));
  for (const char* word : {"fool", "plug looks bad", "blurred"}) EXPECT_EQ(text.find(word), std::string::npos) << word;
}

TEST_F(Sheet, TheDoubtIsThatOfTheClosing) {
  shop_.renewed("red-85", "plug", {40});
  reeds();
  shop_.close(job_, JobEnd::fixed_unproven, {"reed-chipped"}, "");
  const double then = sheet().doubt;
  shop_.set_hours("red-85", 400);
  EXPECT_NE(shop_.diagnosis(job_).advice.doubt, then) << "the plug has 358 h more by now";
  EXPECT_EQ(sheet().doubt, then);
  EXPECT_EQ(sheet().hours, 42);
}

TEST_F(Sheet, SaysWhatIsDueNext) {
  write({Did{"new-piston"}});
  shop_.renewed("red-85", "plug", {20});
  const std::vector<SheetDue> due = sheet().due;
  EXPECT_EQ(sheet().due_as_of, "2026-03-01, engine at 42 h");
  ASSERT_EQ(due.size(), 3u);
  EXPECT_EQ(due[0].what, "Fit a new plug");
  EXPECT_EQ(due[0].when, "overdue by 2 h; usually 20 h");
  EXPECT_EQ(due[1].what, "Fit piston and rings");
  EXPECT_EQ(due[1].when, "due in 25 h; usually 25 h; new with this job");
  EXPECT_EQ(due[2].what, "nobody wrote down when");
  EXPECT_EQ(due[2].when.rfind("fuel", 0), 0u) << due[2].when;
}

TEST_F(Sheet, APhotoStandsWithWhatItShows) {
  write({Took{"reed-gap", 0.5, "mm"}});
  const int act = shop_.last_act(job_).act;
  const std::string measured = shop_.last_act(job_).words;
  EXPECT_EQ(shop_.add_photo(job_, kPng, "the gauge", "p.png", act).of_act, act);
  shop_.add_photo(job_, kPng, "", "p.png", act);
  shop_.add_photo(job_, kPng, "the bike", "p.png");
  const JobSheet s = sheet();
  ASSERT_EQ(s.photos.size(), 3u);
  EXPECT_EQ(s.photos[0].of, measured);
  EXPECT_EQ(s.photos[2].of, "");
  const std::string paper = as_text(paper_of(s, [&](const Pictured& p) { return shop_.picture(p); }));
  EXPECT_NE(paper.find(measured + ": the gauge"), std::string::npos) << paper;
  EXPECT_NE(refusal([&] { shop_.add_photo(job_, kPng, "", "p.png", act + 7); }).find("there is no entry"),
            std::string::npos);
  shop_.undo(job_, shop_.last_act(job_).act);
  shop_.undo(job_), shop_.undo(job_), shop_.undo(job_);  // the reading too
  EXPECT_NE(refusal([&] { shop_.add_photo(job_, kPng, "", "p.png", act); }), "") << "it was taken back";
}

TEST_F(Sheet, APhotoMustBeInTheShop) {
  EXPECT_NE(refusal([&] { write({Pictured{std::string(64, 'a'), "image/png", 3, 2, ""}}); }), "");
  EXPECT_NE(refusal([&] { shop_.add_photo(job_, "no picture", "", "x.jpg"); }), "");
  EXPECT_TRUE(shop_.job(job_).entries.empty());
  const Pictured p = shop_.add_photo(job_, kJpeg, "one", "x.jpg");
  EXPECT_EQ(p.media_type, "image/jpeg");
  EXPECT_EQ(p.width, 3);
  Pictured lost = p;
  lost.sha256[0] = lost.sha256[0] == 'a' ? 'b' : 'a';
  EXPECT_NE(refusal([&] { shop_.picture(lost); }), "");
}

}  // namespace
}  // namespace crankwise
