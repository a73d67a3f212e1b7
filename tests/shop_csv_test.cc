// Tables for spreadsheets. tests/program/moving.py reads them with another reader of CSV.
#include "app/shop_csv.h"

#include <gtest/gtest.h>

#include "edge/dates.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

TEST(Csv, CellsAsRfc4180HasThem) {
  EXPECT_EQ(csv_cell("aaa"), "aaa");                      // rule 1
  EXPECT_EQ(csv_cell("b \r\nbb"), "\"b \r\nbb\"");        // rule 6: line breaks in quotes
  EXPECT_EQ(csv_cell("a,b"), "\"a,b\"");                  // rule 6: commas in quotes
  EXPECT_EQ(csv_cell("b\"bb"), "\"b\"\"bb\"");            // rule 7, its example
  EXPECT_EQ(csv_cell(" spaces stay "), " spaces stay ");  // rule 4
  EXPECT_EQ(csv_cell(""), "");
}

TEST(Csv, NoTextIsAFormula) {
  // The beginnings that the OWASP page "CSV Injection" names (from memory).
  for (const char* text : {"=1+1", "+1", "-1", "@sum", "\tx", "\rx"})
    EXPECT_EQ(csv_cell(text).find_first_of('\''), csv_cell(text).front() == '"' ? 1U : 0U) << text;
  EXPECT_EQ(csv_cell("=HYPERLINK(\"x\",\"y\")"), "\"'=HYPERLINK(\"\"x\"\",\"\"y\"\")\"");
  EXPECT_EQ(csv_cell("1-1=0"), "1-1=0");
}

TEST(Csv, Jobs) {
  Shop s = new_shop();
  EXPECT_EQ(jobs_csv(s), "job,bike,bike_name,opened,closed,end,hours,entries,complaint,causes,cause_names,words\r\n");
  s.add_bike(red());
  const int job = s.take_in("red-85", "bogs, \"up\" top");
  s.write(job, {Did{"clean-jet"}, RanIt{RunResult::gone, ""}});
  s.close(job, JobEnd::given_up, {"main-jet-blocked"}, "=done");
  const std::string table = jobs_csv(s);
  EXPECT_EQ(
      table.substr(table.find('\n') + 1),
      fmt::format("1,red-85,Red 85,{},{},given-up,42,2,\"bogs, \"\"up\"\" top\",main-jet-blocked,{},'=done\r\n",
                  s.job(1).opened_at, s.job(1).closed_at, small_knowledge().faults.find("main-jet-blocked")->name));
}

TEST(Csv, Hours) {
  Shop s = new_shop();
  s.add_bike(red());
  s.renewed("red-85", "piston", {30.5});
  s.set_hours("red-85", 50);
  const int job = s.take_in("red-85", "bogs");
  const Step* fits_plug = nullptr;
  for (const Step& step : small_knowledge().steps) {
    if (!step.renews.empty() && step.applies.holds(Traits(red().traits))) fits_plug = &step;
  }
  ASSERT_NE(fits_plug, nullptr);
  s.write(job, {Did{fits_plug->id}});
  std::string expected = "bike,bike_name,at,what,part,hours,job\r\n";
  const auto at = [&](size_t i) { return s.replay().of_bike("red-85", true)[i]->event.at; };
  expected += fmt::format("red-85,Red 85,{},meter,,42,\r\n", at(0));
  expected += fmt::format("red-85,Red 85,{},renewed,piston,30.5,\r\n", at(1));
  expected += fmt::format("red-85,Red 85,{},meter,,50,\r\n", at(2));
  for (const std::string& part : fits_plug->renews)
    expected += fmt::format("red-85,Red 85,{},renewed,{},50,1\r\n", s.job(1).entries[0].at, part);
  EXPECT_EQ(hours_csv(s), expected);
}

TEST(Utc, TimesThatThereAre) {
  for (const char* good : {"2026-05-04T17:30:00.000Z", "2024-02-29T23:59:59.999Z", "2000-02-29T00:00:00.000Z"})
    EXPECT_TRUE(is_utc(good)) << good;
  for (const char* bad :
       {"", "2026-05-04", "2026-05-04T17:30:00Z", "2026-05-04T17:30:00.000", "2026-05-04T17:30:00.000+00:00",
        "2026-02-29T00:00:00.000Z", "1900-02-29T00:00:00.000Z", "2026-00-10T00:00:00.000Z", "2026-13-01T00:00:00.000Z",
        "2026-05-04T24:00:00.000Z", "2026-05-04T17:60:00.000Z", "2026-05-04T17:30:60.000Z", "2026-05-04 17:30:00.000Z",
        "2026-05-04T17:30:00.00xZ"})
    EXPECT_FALSE(is_utc(bad)) << bad;
}

TEST(Utc, AMillisecondLater) {  // by hand
  EXPECT_EQ(a_millisecond_later("2026-05-04T17:30:00.000Z"), "2026-05-04T17:30:00.001Z");
  EXPECT_EQ(a_millisecond_later("2024-02-28T23:59:59.999Z"), "2024-02-29T00:00:00.000Z");
  EXPECT_EQ(a_millisecond_later("2025-12-31T23:59:59.999Z"), "2026-01-01T00:00:00.000Z");
}

}  // namespace
}  // namespace crankwise
