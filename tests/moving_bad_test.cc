// Files that cannot be taken over: every problem is said, with its place and what would be right, and nothing changes.
#include <gtest/gtest.h>

#include "tests/moving_case.h"

namespace crankwise {
namespace {

using namespace test;

/// Shop a as a file: one bike at 42, then 50 h, its plug renewed at 45, one closed job with an act taken back.
Json good_file() {
  static const std::string text = [] {
    const auto clock = std::make_shared<SharedClock>();
    Shop a = shop_called('a', clock);
    a.add_bike(red());
    a.set_hours("red-85", 50);
    a.renewed("red-85", "plug", {45});
    a.set_figure("red-85", "compression", {11, 12, "bar", true});
    const int job = a.take_in("red-85", "bogs up top");
    a.write(job, {SaidSo{"bogs-up-top", Answer::yes}, Took{"compression", 10, "bar", false}});
    a.write(job, {Noted{"wrong"}});
    a.undo(job);
    a.write(job, {Did{"clean-jet"}, RanIt{RunResult::gone, "ride"}});
    a.add_photo(job, kPng, "the jet", "p.png");
    a.close(job, JobEnd::fixed_unproven, {"main-jet-blocked"}, "clean now");
    return text_from(a);
  }();
  return Json::parse(text);
}

struct Bad {
  const char* name;
  void (*spoil)(Json&);
  std::string says;
};

Json& bike_event(Json& f, size_t i) { return f["bikes"][0]["events"][i]; }
/// Of what was told, without what was believed before it.
Json& job_event(Json& f, size_t i) {
  for (Json& e : f["jobs"][0]["events"]) {
    if (e["kind"] != "believed" && i-- == 0) return e;
  }
  throw std::runtime_error("no such event");
}
Json& believed(Json& f) { return f["jobs"][0]["events"][1]["data"]; }

const Bad kBad[] = {
    {"NewerFormat", [](Json& f) { f["crankwise_shop"] = 2, f["sounds"] = "new"; },
     "crankwise_shop: written by a newer crankwise (format 2, this one knows 1); right would be: this file read by "
     "that "
     "newer crankwise"},
    {"NoFormat", [](Json& f) { f.erase("crankwise_shop"); },
     "crankwise_shop: is missing; right would be: a file written by crankwise export"},
    {"FormatZero", [](Json& f) { f["crankwise_shop"] = 0; }, "crankwise_shop: is not a version"},
    {"FormatText", [](Json& f) { f["crankwise_shop"] = "1"; }, "crankwise_shop: is not a version"},
    {"NoBikes", [](Json& f) { f.erase("bikes"); }, "bikes: is missing"},
    {"BikesNoList", [](Json& f) { f["bikes"] = 3; }, "bikes: is not a list; right would be: [ ... ]"},
    {"Misspelt", [](Json& f) { f["bieks"] = 3; }, "bieks: is not a field here; right would be: perhaps \"bikes\""},
    {"NoWritten", [](Json& f) { f["written"] = Json::object(); },
     "written.at: is not a time in UTC; right would be: 2026-05-04T17:30:00.000Z"},
    {"ShopId", [](Json& f) { f["shop"] = "mine"; },
     "shop: is not the id of a shop; right would be: 32 digits from 0 to f"},
    {"BikeId", [](Json& f) { f["bikes"][0]["id"] = "Red 85"; },
     "bikes[1].id: \"Red 85\" is not an id; right would be: such as red-125"},
    {"LocalTime", [](Json& f) { bike_event(f, 1)["at"] = "2026-05-04T17:30:00+02:00"; },
     "bikes[1].events[2].at: is not a time in UTC"},
    {"NoSuchDay", [](Json& f) { bike_event(f, 1)["at"] = "2026-02-30T17:30:00.000Z"; },
     "bikes[1].events[2].at: is not a time in UTC"},
    {"OrderBefore", [](Json& f) { job_event(f, 1)["order"] = "2026-01-01T00:00:00.000Z"; },
     "jobs[1].events[3].order: is before the time it happened"},
    {"SeqZero", [](Json& f) { job_event(f, 1)["seq"] = 0; }, "jobs[1].events[3].seq: is not a whole number from 1"},
    {"SeqHalf", [](Json& f) { job_event(f, 1)["seq"] = 1.5; }, "jobs[1].events[3].seq: is not a whole number from 1"},
    {"UnknownKind", [](Json& f) { job_event(f, 1)["kind"] = "answred"; },
     "jobs[1].events[3].kind: \"answred\" is not a kind of entry of a job; right would be: perhaps \"answered\""},
    {"KindOfABike", [](Json& f) { job_event(f, 1)["kind"] = "renewed"; },
     "jobs[1].events[3].kind: \"renewed\" is not a kind of entry of a job"},
    {"NoData", [](Json& f) { job_event(f, 1).erase("data"); }, "jobs[1].events[3].data: is not an object"},
    {"FieldMissing", [](Json& f) { job_event(f, 1)["data"].erase("finding"); },
     "jobs[1].events[3].data.finding: is missing"},
    {"FieldUnknown", [](Json& f) { job_event(f, 1)["data"]["findng"] = "x"; },
     "jobs[1].events[3].data.findng: is not a field here; right would be: perhaps \"finding\""},
    {"NotAText", [](Json& f) { job_event(f, 1)["data"]["finding"] = 3; },
     "jobs[1].events[3].data.finding: is not a text"},
    {"NoAct", [](Json& f) { job_event(f, 1)["data"]["act"] = "1"; },
     "jobs[1].events[3].data.act: is not a whole number from 1"},
    {"UnknownFinding", [](Json& f) { job_event(f, 1)["data"]["finding"] = "bogs-up-tpo"; },
     "jobs[1].events[3].data: no finding is called \"bogs-up-tpo\"; right would be: perhaps \"bogs-up-top\""},
    {"UnknownAnswer", [](Json& f) { job_event(f, 1)["data"]["answer"] = "maybe"; },
     "jobs[1].events[3].data: answer is not yes, no or unsure"},
    {"UnknownReading", [](Json& f) { job_event(f, 2)["data"]["reading"] = "compresion"; },
     "no reading is called \"compresion\"; right would be: perhaps \"compression\""},
    {"OtherUnit", [](Json& f) { job_event(f, 2)["data"]["unit"] = "kohm"; }, "kohm does not measure it"},
    {"UnknownStep", [](Json& f) { job_event(f, 5)["data"]["step"] = "clean-jte"; },
     "no step is called \"clean-jte\"; right would be: perhaps \"clean-jet\""},
    {"UnknownCause", [](Json& f) { f["jobs"][0]["events"].back()["data"]["causes"] = {"main-jet-bloked"}; },
     "data.causes: no fault is called \"main-jet-bloked\"; right would be: perhaps \"main-jet-blocked\""},
    {"UnknownEnd", [](Json& f) { f["jobs"][0]["events"].back()["data"]["end"] = "open"; },
     "data.end: \"open\" is not an end"},
    {"UnknownPart", [](Json& f) { bike_event(f, 2)["data"]["parts"][0] = "plgu"; },
     "bikes[1].events[3].data.parts: no part that wears is called \"plgu\"; right would be: perhaps \"plug\""},
    {"UnknownTrait", [](Json& f) { bike_event(f, 0)["data"]["traits"].push_back("two-storke"); },
     "bikes[1].events[1].data: no trait is called \"two-storke\""},
    {"HoursBackwards", [](Json& f) { bike_event(f, 1)["data"]["hours"] = 41; },
     "bikes[1].events[2].data.hours: the hours run backwards: 41 h after 42 h; right would be: 42 or more"},
    {"HoursNegative", [](Json& f) { bike_event(f, 1)["data"]["hours"] = -1; },
     "bikes[1].events[2].data.hours: is out of range; right would be: a number from 0 to 100000"},
    {"RenewedInTheFuture", [](Json& f) { bike_event(f, 2)["data"]["hours"] = 51; },
     "bikes[1].events[3].data.hours: renewed at 51 h, but the engine had 50 h; right would be: 0 to the engine's "
     "hours"},
    {"RenewedAtEntryInTheFuture",
     [](Json& f) {
       bike_event(f, 0)["data"]["renewed_h"] = {{"plug", 43}};
     },
     "bikes[1].events[1].data.renewed_h.plug: at 43 h, but the engine has 42 h"},
    {"WrittenInTheFuture", [](Json& f) { job_event(f, 5)["data"]["hours"] = 70; },
     "jobs[1].events[9].data.hours: written at 70 h, but the engine has 50 h"},
    {"FigureUpsideDown", [](Json& f) { bike_event(f, 3)["data"]["low"] = 13; },
     "bikes[1].events[4].data.figure: is not a range above 0"},
    {"TwoBikesOfOneId", [](Json& f) { f["bikes"].push_back(f["bikes"][0]); },
     "bikes[2].id: red-85 is the id of bikes[1] already; right would be: another one"},
    {"TwoJobsOfOneNumber", [](Json& f) { f["jobs"].push_back(f["jobs"][0]); },
     "jobs[2].number: 1 is the number of jobs[1] already"},
    {"OneEntryTwice", [](Json& f) { f["jobs"][0]["events"].push_back(job_event(f, 1)); },
     "jobs[1].events[14]: is there twice: jobs[1].events[3] is the same entry"},
    {"NoSuchBike", [](Json& f) { job_event(f, 0)["data"]["bike"] = "red-58"; },
     "jobs[1].events[1].data.bike: no bike in this file is called \"red-58\""},
    {"SameAsNone",
     [](Json& f) {
       f["bikes"][0]["events"].push_back(
           {{"seq", 90}, {"at", "2026-03-09T00:00:00.000Z"}, {"kind", "same-as"}, {"data", {{"bike", "none"}}}});
     },
     "bikes[1].events[5].data.bike: no bike in this file is called \"none\""},
    {"NoOpening", [](Json& f) { f["jobs"][0]["events"].erase(0); },
     "jobs[1].events: must have one \"opened\", before all others"},
    {"OpenedLater", [](Json& f) { job_event(f, 0)["order"] = "2026-08-01T00:00:00.000Z"; },
     "jobs[1].events: must have one \"opened\", before all others"},
    {"OpenedTwice",
     [](Json& f) { f["jobs"][0]["events"].push_back(job_event(f, 0)), f["jobs"][0]["events"].back()["seq"] = 90; },
     "jobs[1].events: must have one \"opened\", before all others"},
    {"NoEvents", [](Json& f) { f["bikes"][0]["events"] = Json::array(); }, "bikes[1].events: is empty"},
    {"TakesBackNothing", [](Json& f) { job_event(f, 4)["data"]["act"] = 77; },
     "data.act: takes back an act that is not there"},
    {"ZeroByte", [](Json& f) { job_event(f, 0)["data"]["complaint"] = std::string("a\0b", 3); },
     "jobs[1].events[1].data.complaint: holds a zero byte"},
    {"Endless", [](Json& f) { bike_event(f, 1)["data"]["hours"] = 1e300; }, "is out of range"},
    {"RideTooLong",
     [](Json& f) {
       bike_event(f, 1)["kind"] = "ridden", bike_event(f, 1)["data"] = {{"hours", 25}};
     },
     "bikes[1].events[2].data.hours: is not a ride; right would be: above 0 and up to 24 h"},
    {"UnknownUpkeep",
     [](Json& f) {
       bike_event(f, 1)["kind"] = "interval";
       bike_event(f, 1)["data"] = {{"upkeep", "plgu"}, {"hours", 20}, {"days", 0}};
     },
     "data.upkeep: no upkeep is called \"plgu\"; right would be: perhaps \"plug\""},
    {"RenewedTomorrow", [](Json& f) { bike_event(f, 2)["data"]["day"] = "2026-08-01"; },
     "bikes[1].events[3].data.day: renewed on \"2026-08-01\", after it was written down"},
    {"RenewedNoDay", [](Json& f) { bike_event(f, 2)["data"]["day"] = "yesterday"; },
     "bikes[1].events[3].data.day: \"yesterday\" is not a day"},
    {"RenewedNothing", [](Json& f) { bike_event(f, 2)["data"].erase("parts"); },
     "bikes[1].events[3].data.parts: are missing, or told twice"},
    {"BikeTakesBackNothing",
     [](Json& f) {
       bike_event(f, 3)["kind"] = "undone";
       bike_event(f, 3)["data"] = {{"seq", 77}, {"at", "2026-03-01T00:00:00.000Z"}, {"kind", "hours"}};
     },
     "bikes[1].events[4].data: takes back an entry that is not there"},
    {"BelievedUnknown", [](Json& f) { believed(f)["chances"]["main-jet-bloked"] = 0.5; },
     "data.chances: no fault is called \"main-jet-bloked\"; right would be: perhaps \"main-jet-blocked\""},
    {"BelievedTooSure", [](Json& f) { believed(f)["chances"]["main-jet-blocked"] = 1.5; },
     "jobs[1].events[2].data.chances.main-jet-blocked: is above 1"},
    {"LessonUnknown",
     [](Json& f) { f["jobs"][0]["events"].back()["data"]["lesson"]["causes"][0]["main-jet-bloked"] = 1; },
     "data.lesson.causes: no fault is called \"main-jet-bloked\""},
    {"LessonNoList", [](Json& f) { f["jobs"][0]["events"].back()["data"]["lesson"]["causes"] = 1; },
     "data.lesson.causes: is not a list"},
    {"PhotoMissing", [](Json& f) { f["photos"] = Json::array(); },
     "data.sha256: its picture is not among the photos of the file; right would be: a whole file"},
    {"PhotoTwice", [](Json& f) { f["photos"].push_back(f["photos"][0]); }, "photos[2]: is there twice"},
    {"PhotoOfNone", [](Json& f) { f["jobs"][0]["events"].erase(11); }, "photos[1]: no job shows it"},
    {"PhotoAltered", [](Json& f) { f["photos"][0]["base64"] = "AAAA"; },
     "photos[1]: its bytes are not those of its sha256"},
    {"PhotoNoBase64", [](Json& f) { f["photos"][0]["base64"] = "AAA"; },
     "photos[1].base64: is not a picture in base64"},
    {"PhotoOtherType", [](Json& f) { f["photos"][0]["media_type"] = "image/jpeg"; },
     "photos[1].media_type: \"image/jpeg\" is not what its bytes are"},
    {"PhotoNoPicture",
     [](Json& f) {
       f["photos"][0]["base64"] = "AAAA";
       f["photos"][0]["sha256"] = "709e80c88487a2411e1ee4dfb9f22a861492d20c4765150c0c794abd70f8147c";
       f["jobs"][0]["events"][11]["data"]["sha256"] = f["photos"][0]["sha256"];
     },
     "photos[1]: "},
    {"OpenNoValue", [](Json& f) { job_event(f, 2)["data"].erase("value"); }, "jobs[1].events[4].data: "},
};

class BadShopFile : public testing::TestWithParam<Bad> {};

TEST_P(BadShopFile, IsRefusedAndChangesNothing) {
  Json file = good_file();
  GetParam().spoil(file);
  const auto clock = std::make_shared<SharedClock>();
  Shop b = shop_called('b', clock);
  b.add_bike(blue());
  const std::string before = in_words(b);
  const std::string says = refusal([&] { bring(file.dump(1), b); });
  EXPECT_NE(says.find(GetParam().says), std::string::npos) << "said: " << says;
  EXPECT_TRUE(says.starts_with("shop.json")) << says;
  EXPECT_EQ(in_words(b), before);
  EXPECT_EQ(b.replay().seen(), 1);
}

INSTANTIATE_TEST_SUITE_P(All, BadShopFile, testing::ValuesIn(kBad),
                         [](const auto& bad) { return std::string(bad.param.name); });

TEST(ShopFile, TheGoodOneIsTaken) {
  Shop b = shop_called('b', std::make_shared<SharedClock>());
  EXPECT_EQ(bring(good_file().dump(), b).added, 17);
  EXPECT_EQ(b.job(1).end, JobEnd::fixed_unproven);
  EXPECT_EQ(b.bike("red-85").hours, 50);
}

TEST(ShopFile, EveryHalfIsRefused) {
  const std::string text = good_file().dump(1);
  for (size_t length = 0; length < text.size(); length += 13) {
    const std::string says = refusal([&] { read_shop_file(small_knowledge(), text.substr(0, length), "shop.json"); });
    EXPECT_NE(says.find("is not JSON (column "), std::string::npos) << length << ": " << says;
  }
}

TEST(ShopFile, AllProblemsAtOnceAndEachNameOnce) {
  Json file = good_file();
  for (size_t i = 1; i < 9; ++i) {
    if (job_event(file, i)["kind"] == "did" || job_event(file, i)["kind"] == "ran")
      job_event(file, i)["data"]["step"] = "old-step";
  }
  bike_event(file, 1)["data"]["hours"] = "many";
  const std::string says = refusal([&] { read_shop_file(small_knowledge(), file.dump(1), "shop.json"); });
  EXPECT_EQ(std::count(says.begin(), says.end(), '\n'), 1) << says;
  EXPECT_NE(says.find("no step is called \"old-step\" (2 times)"), std::string::npos) << says;
  EXPECT_NE(says.find("bikes[1].events[2].data.hours: is not a number"), std::string::npos) << says;
}

TEST(ShopFile, TheLineOfAProblemIsSaid) {
  Json file = good_file();
  bike_event(file, 1)["data"]["hours"] = 41;
  const std::string text = file.dump(1), before = text.substr(0, text.find("\"hours\": 41"));
  const std::string says = refusal([&] { read_shop_file(small_knowledge(), text, "shop.json"); });
  EXPECT_TRUE(says.starts_with(fmt::format("shop.json:{}: ", 1 + std::count(before.begin(), before.end(), '\n'))))
      << says;
}

/// One entry altered by hand after it was taken over: the two shops would never agree again.
TEST(ShopFile, AnAlteredEntryIsRefused) {
  const auto clock = std::make_shared<SharedClock>();
  Shop b = shop_called('b', clock);
  Json file = good_file();
  bring(file.dump(), b);
  const std::string before = in_words(b);
  job_event(file, 1)["data"]["answer"] = "no";
  EXPECT_NE(
      refusal([&] { bring(file.dump(), b); }).find("jobs[1].events[3]: is not what this shop has as the same entry"),
      std::string::npos);
  file = good_file();
  believed(file)["chances"].begin().value() = 0.321;
  EXPECT_NE(
      refusal([&] { bring(file.dump(), b); }).find("jobs[1].events[2]: is not what this shop has as the same entry"),
      std::string::npos);
  file = good_file();
  Json moved = job_event(file, 1);
  file["jobs"][0]["events"].erase(2);
  file["jobs"].push_back({{"number", 2}, {"events", {job_event(file, 0), moved}}});
  file["jobs"][1]["events"][0]["seq"] = 99;
  EXPECT_NE(refusal([&] { bring(file.dump(), b); }).find("is not what this shop has"), std::string::npos);
  EXPECT_EQ(in_words(b), before);
}

}  // namespace
}  // namespace crankwise
