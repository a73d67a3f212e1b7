// Minutes and money of an entry as told.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/explain.h"
#include "tests/case_file_case.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

TEST(Spent, IsKeptInTheEventAndComesBack) {
  const Spent both{12.5, 9.0}, minutes{3.0, {}}, nothing{};
  for (const Spent& spent : {both, minutes, nothing}) {
    for (const Entry& e : {Entry{Did{"swap-plug", spent}}, Entry{Took{"compression", 150, "psi", false, spent}},
                           Entry{Took{"coil", 0, "", true, spent}}, Entry{RanIt{RunResult::same, "ride", spent}}}) {
      EXPECT_EQ(spent_on(entry_from(entry_kind(e), entry_data(e))), spent) << entry_data(e).dump();
    }
  }
  EXPECT_EQ(spent_on(SaidSo{"breaks-up", Answer::yes}), Spent{});
  EXPECT_EQ(entry_data(Did{"swap-plug", both}).dump(), R"({"paid":9.0,"step":"swap-plug","took_min":12.5})");
  EXPECT_EQ(entry_data(Did{"swap-plug"}).dump(), R"({"step":"swap-plug"})") << "as files had it before";
}

TEST(Spent, IsShownAndTakenBack) {
  Shop shop = new_shop();
  const int job = shop.take_in(shop.add_bike(red()), "breaks up");
  shop.write(job, {Did{"swap-plug", {6.0, 8.5}}});
  EXPECT_EQ(entry_in_words(shop.knowledge(), shop.job(job).entries[0].entry),
            shop.knowledge().steps.find("swap-plug")->name + " (took 6 min, paid 8.5)");
  EXPECT_EQ(entry_in_words(shop.knowledge(), RanIt{RunResult::gone, "", {{}, 3.0}}), "run: trouble gone (paid 3)");
  shop.undo(job);
  EXPECT_TRUE(shop.job(job).entries.empty());
  EXPECT_EQ(spent_on(shop.job(job).taken_back.at(0).entry), (Spent{6.0, 8.5}));
}

TEST(Spent, ChangesNothingAboutTheAdvice) {
  Shop with = new_shop(), without = new_shop();
  for (Shop* shop : {&with, &without}) shop->take_in(shop->add_bike(red()), "breaks up");
  with.write(1, {Did{"swap-plug", {600.0, 800.0}}, RanIt{RunResult::same, "", {99.0, {}}}});
  without.write(1, {Did{"swap-plug"}, RanIt{RunResult::same, ""}});
  EXPECT_EQ(Verdict(with.diagnosis(1)), Verdict(without.diagnosis(1)));
}

TEST(Spent, IsRefusedBeyondReason) {
  Shop shop = new_shop();
  const int job = shop.take_in(shop.add_bike(red()), "breaks up");
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (const Spent& bad : {Spent{-1.0, {}}, Spent{{}, -0.01}, Spent{nan, {}}, Spent{{}, nan}, Spent{1e4, {}}}) {
    EXPECT_NE(refusal([&] { shop.write(job, {Did{"swap-plug", bad}}); }), "");
    EXPECT_TRUE(shop.job(job).entries.empty());
  }
}

TEST(Spent, IsReadFromACaseFile) {
  const Case c = parse(two_stroke(R"("steps": [
    {"step": "swap-plug", "run": "same", "took_min": 6, "paid": 8.5},
    {"run": "gone", "took_min": 10}])"));
  EXPECT_EQ(in_log(c.entries), R"(did {"paid":8.5,"step":"swap-plug","took_min":6.0}
ran {"result":"same","step":""}
ran {"result":"gone","step":"","took_min":10.0}
)");
  const std::string said = refusal_of(two_stroke(R"("steps": [
    {"note": "x", "took_min": 6}, {"step": "swap-plug", "took_min": -1}, {"step": "swap-plug", "paid": "much"}])"));
  EXPECT_NE(said.find("steps[1].took_min: has no step or run"), std::string::npos) << said;
  EXPECT_NE(said.find("steps[2].took_min: is out of range"), std::string::npos) << said;
  EXPECT_NE(said.find("steps[3].paid: is not a number"), std::string::npos) << said;
}

}  // namespace
}  // namespace crankwise
