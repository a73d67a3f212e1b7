// Knowledge that is wrong: every message in full, with file, line, field, what is wrong and what would be right.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "edge/knowledge.h"
#include "tests/loader_texts.h"

namespace crankwise {
namespace {

using small::kGood;
using small::message;

/// With a file of its own beside the good one; its first line is the source.
std::string with(const std::string& text) {
  return message({{"good.toml", kGood}, {"bad.toml", "source = \"common practice\"\n" + text}});
}

TEST(KnowledgeInput, TheGoodTextIsWhole) {
  EXPECT_EQ(message({{"good.toml", kGood}}), "no problem found");
  EXPECT_EQ(with(""), "no problem found");
}

struct Want {
  int line;
  std::string field, wrong, right;
};
struct Bad {
  std::string text;  // from line 2 on
  std::vector<Want> problems;
};

/// The whole message must be these lines and no other.
void expect_messages(const std::vector<Bad>& rows) {
  for (const Bad& row : rows) {
    std::string want = row.problems.empty() ? "no problem found" : "";
    for (const Want& w : row.problems) {
      want += (want.empty() ? "" : "\n") + std::string("bad.toml:") + std::to_string(w.line) + ": " + w.field + ": " +
              w.wrong + "; right would be: " + w.right;
    }
    EXPECT_EQ(with(row.text), want) << row.text;
  }
}

#define FAULT "[fault.x]\nname = 'x'\npart = 'x'\nlast_resort = true\n"
#define CAUSES "causes = { weak = 'often' }\n"
#define READING "[reading.x]\nname = 'x'\nask = 'x'\npossible = [0, 9]\n"
#define STEP "[step.x]\nname = 'x'\nminutes = 1\n"
#define UPKEEP "[upkeep.x]\nname = 'x'\nwork = 'x'\nwhy = 'x'\nshape = 2\n"
#define PART "name = 'x'\noff_min = 1\non_min = 1\n"
const std::string kScale =
    "a number from 0 to 1 or one of: always, nearly always, mostly, often, sometimes, seldom, rarely, hardly ever";

TEST(KnowledgeInput, Fields) {
  expect_messages({
      {FAULT "share = 1\n" CAUSES "showz = 'often'\n",
       {{8, "fault.x.showz", "is not a field here", "perhaps \"shows\""}}},
      {FAULT "share = 1\n" CAUSES "colour = 'red'\n",
       {{8, "fault.x.colour", "is not a field here",
         "one of source, name, part, applies, share, causes, causes_every, shows, wears, context, not_with, note, "
         "last_resort"}}},
      {FAULT CAUSES, {{2, "fault.x.share", "is missing", "a number from 0.001 to 100"}}},
      {FAULT "share = 'much'\n" CAUSES, {{6, "fault.x.share", "is not a number", "a number from 0.001 to 100"}}},
      {FAULT "share = -3\n" CAUSES, {{6, "fault.x.share", "-3 is out of range", "a number from 0.001 to 100"}}},
      {FAULT "share = { two-stroke = 1, four-stroke = 101 }\n" CAUSES,
       {{6, "fault.x.share.four-stroke", "101 is out of range", "a number from 0.001 to 100"}}},
      {FAULT "share = { two-stroke = 1 }\n" CAUSES,
       {{6, "fault.x.share.four-stroke", "is missing", "a number from 0.001 to 100"}}},
      {FAULT "share = nan\n" CAUSES, {{6, "fault.x.share", "nan is out of range", "a number from 0.001 to 100"}}},
      {FAULT "share = 1\nshows = 'ofter'\n" CAUSES,
       {{7, "fault.x.shows", "\"ofter\" is not a word of the scale", "perhaps \"often\"; " + kScale}}},
      {FAULT "share = 1\ncauses = { weak = 'usually so' }\n",
       {{7, "fault.x.causes.weak", "\"usually so\" is not a word of the scale", kScale}}},
      {FAULT "share = 1\ncauses = { weak = 1.5 }\n",
       {{7, "fault.x.causes.weak", "1.5 is out of range", "a number from 0 to 1"}}},
      {FAULT "share = 1\ncauses = { weak = true }\n",
       {{7, "fault.x.causes.weak", "is neither word nor number", kScale}}},
      {FAULT "share = 1\ncauses = ['weak']\n",
       {{7, "fault.x.causes", "is not a table", "{ name = \"often\", other-name = \"seldom\" }"}}},
      {FAULT "share = 1\ncauses = { weak = { two-stroke = 'often' } }\n",
       {{7, "fault.x.causes.weak", "is a table but not one of both cycles",
         "{ two-stroke = ..., four-stroke = ... }"}}},
      {FAULT "share = 1\n" CAUSES "wears = { part = 'jet', life_h = 100, shape = 20 }\n",
       {{8, "fault.x.wears.shape", "20 is out of range", "a number from 0.5 to 10"}}},
      {FAULT "share = 1\n" CAUSES "context = { stood-long = 0 }\n",
       {{8, "fault.x.context.stood-long", "0 is out of range", "a number from 0.01 to 100"}}},
      {"[fault.x]\nshare = 1\nlast_resort = true\n" CAUSES,
       {{2, "fault.x.name", "is missing", "a text in quotes"}, {2, "fault.x.part", "is missing", "a text in quotes"}}},
      {"[finding.x]\nask = '?'\nkind = 'complaint'\n[fault.x]\nname = 'x'\npart = 'x'\nshare = 1\nlast_resort = "
       "true\ncauses = { x = 1 }\n",
       {{2, "finding.x.short", "is missing", "a text in quotes"},
        {2, "finding.x.words", "is missing", "the phrases that people use for it"}}},
      {"[finding.x]\nshort = 'x'\nask = 'x?'\nkind = 'smell'\n" FAULT "share = 1\ncauses = { x = 1 }\n" STEP
       "answers = ['x']\n",
       {{5, "finding.x.kind", "\"smell\" is not known", "one of complaint when look test measured"}}},
      {"[finding.x]\nshort = 'x'\nask = 'x?'\nyes_if_so = 0.02\n" FAULT "share = 1\ncauses = { x = 1 }\n" STEP
       "answers = ['x']\n",
       {{2, "finding.x.yes_if_so", "is not above yes_if_not", "an answer that says something"}}},
      {READING "unit = 'mm'\nranges = [{ healthy = [1, 2] }]\n",
       {{2, "reading.x.below", "and above and open are missing", "the finding that a wrong reading speaks for"}}},
      {READING "unit = 'mm'\nbelow = 'jet-dirty'\nranges = [{ healthy = [2, 1] }]\n",
       {{8, "reading.x.ranges[1].healthy", "is not a range", "[low, high], low below high, none below 0"}}},
      {READING "unit = 'mm'\nbelow = 'jet-dirty'\nranges = { healthy = [1, 2] }\n",
       {{8, "reading.x.ranges", "is not a list of tables", "[ { ... }, { ... } ]"}}},
      {READING "unit = 'mm'\nbelow = 'jet-dirty'\nwrong = { below = 1.2 }\n",
       {{8, "reading.x.wrong.below", "1.2 is out of range", "a number from 0.001 to 0.999"}}},
      {"[step.x]\nname = 'x'\nminutes = 0\nanswers = ['jet-dirty']\n",
       {{4, "step.x.minutes", "0 is out of range", "a number from 0.05 to 5000"}}},
      {"[step.x]\nname = 'x'\nminutes = -3\nanswers = ['jet-dirty']\n",
       {{4, "step.x.minutes", "-3 is out of range", "a number from 0.05 to 5000"}}},
      {"[step.x]\nname = 'x'\nminutes = { two-stroke = 1, four-stroke = 0 }\nanswers = ['jet-dirty']\n",
       {{4, "step.x.minutes.four-stroke", "0 is out of range", "a number from 0.05 to 5000"}}},
      {STEP "answers = ['jet-dirty']\nmoney = -1\n",
       {{6, "step.x.money", "-1 is out of range", "a number from 0 to 10000"}}},
      {STEP "answers = ['jet-dirty']\nwait_min = -5\n",
       {{6, "step.x.wait_min", "-5 is out of range", "a number from 0 to 10000"}}},
      {STEP "kind = 'lick'\nanswers = ['jet-dirty']\n",
       {{5, "step.x.kind", "\"lick\" is not known", "one of look measure listen clean adjust swap replace run"}}},
      {STEP "engine = 'idling'\nanswers = ['jet-dirty']\n",
       {{5, "step.x.engine", "\"idling\" is not known", "one of stopped running hot ridden"}}},
      {STEP "answers = ['jet-dirty', 'jet-dirty']\n", {{5, "step.x.answers", "\"jet-dirty\" is there twice", "once"}}},
      {STEP "answers = [3]\n", {{5, "step.x.answers", "has an entry that is not a text", "texts in quotes"}}},
      {STEP "answers = 'jet-dirty'\n", {{5, "step.x.answers", "is not a list", "[\"...\", \"...\"]"}}},
      {STEP "last_resort = 'yes'\nanswers = ['jet-dirty']\n",
       {{5, "step.x.last_resort", "is not true or false", "true or false without quotes"}}},
      {STEP "expect = ''\nanswers = ['jet-dirty']\n",
       {{5, "step.x.expect", "is not a text", "a text in quotes, not empty"}}},
      {"[part.x]\nname = 'x'\non_min = 1\noff_min = -1\n",
       {{5, "part.x.off_min", "-1 is out of range", "a number from 0 to 1000"}}},
      {"[part.x]\nname = 'x'\noff_min = 1\non_min = -1\n",
       {{5, "part.x.on_min", "-1 is out of range", "a number from 0 to 1000"}}},
      {"[part.x]\n" PART "money = -2\n", {{6, "part.x.money", "-2 is out of range", "a number from 0 to 10000"}}},
      {"[class.x]\nname = 'x'\ntraits = ['two-stroke']\n",
       {{2, "class.x.displacement_cc", "is missing", "a number from 20 to 1500"}}},
      {"[caution.x]\ntext = 'x'\n", {{2, "caution.x.title", "is missing", "a text in quotes"}}},
      {"[context.x]\nshort = 'x'\n", {{2, "context.x.ask", "is missing", "a text in quotes"}}},
      {"[tool.X_y]\nname = 'x'\n",
       {{2, "tool.X_y", "is not a good id", "[tool.some-id], lower-case words joined by hyphens"}}},
      {"[tool]\nx = 3\n", {{3, "tool.x", "is not a table", "[tool.some-id], lower-case words joined by hyphens"}}},
      {"tool = 3\n", {{2, "tool", "is not a table", "[tool.some-id]"}}},
      {"[fualt.x]\nname = 'x'\n", {{2, "fualt", "is not a kind of thing", "perhaps \"fault\""}}},
      {"[engine.x]\nname = 'x'\n",
       {{2, "engine", "is not a kind of thing",
         "fault, finding, reading, step, part, upkeep, tool, caution, context, term, trait or class"}}},
  });
}

TEST(KnowledgeInput, Names) {
  expect_messages({
      {FAULT "share = 1\ncauses = { weka = 'often' }\n",
       {{2, "fault.x.causes", "no finding is called \"weka\"", "perhaps \"weak\""}}},
      {FAULT "share = 1\ncauses = { something-quite-else = 'often' }\n",
       {{2, "fault.x.causes", "no finding is called \"something-quite-else\"", "the id of a finding"}}},
      {FAULT "share = 1\n" CAUSES "context = { stod-long = 2 }\n",
       {{2, "fault.x.context", "no context is called \"stod-long\"", "perhaps \"stood-long\""}}},
      {FAULT "share = 1\n" CAUSES "not_with = ['jet-blokced']\n",
       {{2, "fault.x.not_with", "no fault is called \"jet-blokced\"", "perhaps \"jet-blocked\""}}},
      {FAULT "share = 1\n" CAUSES "not_with = ['x']\n",
       {{2, "fault.x.not_with", "names the fault itself", "another fault"}}},
      {FAULT "share = 1\ncauses_every = { noise = 'often' }\n",
       {{2, "fault.x.causes_every", "\"noise\" is not a kind of finding", "complaint, when, look, test or measured"}}},
      {FAULT "share = 1\n" CAUSES "applies = ['not reed-vale']\n",
       {{2, "fault.x.applies", "no trait is called \"reed-vale\"", "perhaps \"reed-valve\""}}},
      {FAULT "share = 1\n" CAUSES "applies = ['two-stroke or tow-stroke']\n",
       {{2, "fault.x.applies", "no trait is called \"tow-stroke\"", "perhaps \"two-stroke\""}}},
      {STEP "answers = ['jet-dirt']\n",
       {{2, "step.x.answers", "no finding is called \"jet-dirt\"", "perhaps \"jet-dirty\""}}},
      {STEP "reads = ['jet-flo']\n", {{2, "step.x.reads", "no reading is called \"jet-flo\"", "perhaps \"jet-flow\""}}},
      {STEP "answers = ['jet-dirty']\noff = ['tnak']\n",
       {{2, "step.x.off", "no part is called \"tnak\"", "perhaps \"tank\""}}},
      {STEP "answers = ['jet-dirty']\non = ['seats']\n",
       {{2, "step.x.on", "no part is called \"seats\"", "perhaps \"seat\""}}},
      {STEP "answers = ['jet-dirty']\ntools = ['presure-gauge']\n",
       {{2, "step.x.tools", "no tool is called \"presure-gauge\"", "perhaps \"pressure-gauge\""}}},
      {STEP "answers = ['jet-dirty']\ncautions = ['hot-part']\n",
       {{2, "step.x.cautions", "no caution is called \"hot-part\"", "perhaps \"hot-parts\""}}},
      {STEP "kind = 'clean'\ncures = { jet-block = 'often' }\n",
       {{2, "step.x.cures", "no fault is called \"jet-block\"", "perhaps \"jet-blocked\""}}},
      {STEP "kind = 'clean'\ncures = { jet-blocked = 0 }\n",
       {{2, "step.x.cures", "\"jet-blocked\" with chance 0", "leave it out"}}},
      {STEP "kind = 'clean'\ncures = { jet-blocked = 1 }\nrenews = ['jte']\n",
       {{2, "step.x.renews", "no part that wears is called \"jte\"", "perhaps \"jet\""}}},
      {UPKEEP "parts = ['x']\ncautions = ['hot-part']\nevery = [{ hours = 1, life_h = 2 }]\n",
       {{2, "upkeep.x.cautions", "no caution is called \"hot-part\"", "perhaps \"hot-parts\""}}},
      {UPKEEP
       "parts = ['x']\nevery = [{ applies = ['reed-vlave'], hours = 1, life_h = 2 }, { hours = 1, life_h = 2 }]\n",
       {{2, "upkeep.x.applies", "no trait is called \"reed-vlave\"", "perhaps \"reed-valve\""}}},
      {UPKEEP "parts = ['x']\nevery = [{ up_to_cc = 100, hours = 1, life_h = 2 }]\n",
       {{2, "upkeep.x.every", "no interval fits the crosser", "a last one without applies and up_to_cc"}}},
      {"[upkeep.jet]\nname = 'x'\nwork = 'x'\nwhy = 'x'\nshape = 2\nparts = ['x', 'jet']\n"
       "every = [{ hours = 1, life_h = 2 }]\n",
       {{2, "upkeep.jet.parts", "do not begin with the part of that name", "\"jet\" first, or another id"}}},
      {"[part.x]\nname = 'x'\noff_min = 1\non_min = 1\nafter = ['tonk']\n",
       {{2, "part.x.after", "no part is called \"tonk\"", "perhaps \"tank\""}}},
      {READING "unit = 'mm'\nabove = 'jet-dirt'\n",
       {{2, "reading.x.above", "no finding is called \"jet-dirt\"", "perhaps \"jet-dirty\""}}},
      {"[class.x]\nname = 'x'\ndisplacement_cc = 100\ntraits = ['two-strok', 'two-stroke']\n",
       {{2, "class.x.traits", "no trait is called \"two-strok\"", "perhaps \"two-stroke\""}}},
  });
}

TEST(KnowledgeInput, WhatDoesNotFitTogether) {
  expect_messages({
      {"[fault.x]\nname = 'x'\npart = 'x'\nshare = 1\n" CAUSES,
       {{2, "fault.x", "no step puts it right", "a step with cures = { x = ... }, or last_resort = true"},
        {2, "fault.x.applies", "no step that applies to the crosser puts it right",
         "the same applies for fault and step"}}},
      {FAULT "share = 1\n", {{2, "fault.x.causes", "is missing", "the findings that it shows"}}},
      {"[finding.x]\nshort = 'x'\nask = 'x?'\n" STEP "answers = ['x']\n",
       {{2, "finding.x", "no fault causes it", "a fault with causes = { x = ... }"}}},
      {"[finding.x]\nshort = 'x'\nask = 'x?'\n" FAULT "share = 1\ncauses = { x = 1 }\n",
       {{2, "finding.x", "no step answers it", "a step with answers = [\"x\"]"}}},
      {"[part.a]\nname = 'a'\noff_min = 1\non_min = 1\nafter = ['b']\n[part.b]\nname = 'b'\noff_min = 1\non_min = "
       "1\nafter = ['c']\n"
       "[part.c]\nname = 'c'\noff_min = 1\non_min = 1\nafter = ['a']\n",
       {{12, "part.c.after", "parts need each other in a circle: a > b > c > a", "an order in which they come off"}}},
      {"[part.a]\nname = 'a'\noff_min = 1\non_min = 1\nafter = ['a']\n",
       {{2, "part.a.after", "parts need each other in a circle: a > a", "an order in which they come off"}}},
      {"[class.x]\nname = 'x'\ndisplacement_cc = 100\ntraits = ['two-stroke', 'four-stroke']\n",
       {{2, "class.x.traits", "has 2 traits of the group cycle", "exactly one"}}},
      {"[class.x]\nname = 'x'\ndisplacement_cc = 100\ntraits = ['reed-valve']\n",
       {{2, "class.x.traits", "has 0 traits of the group cycle", "exactly one"}}},
      {STEP "kind = 'run'\nengine = 'running'\nanswers = ['jet-dirty']\n",
       {{2, "step.x", "a run has neither answers nor cures", "leave both out"}}},
      {STEP "answers = ['jet-dirty']\ncures = { jet-blocked = 1 }\n",
       {{2, "step.x.cures", "does not belong to a step that only asks",
         "a step of kind clean, adjust, swap or replace"}}},
      {UPKEEP,
       {{2, "upkeep.x.parts", "is missing", "the parts that are renewed by it"},
        {2, "upkeep.x.every", "is missing", "[{ hours = 20, life_h = 60 }]"}}},
      {UPKEEP "parts = ['x']\nevery = [{ life_h = 2 }]\n",
       {{8, "upkeep.x.every[1].hours", "and days are missing", "how often it is due"}}},
      {UPKEEP "parts = ['x']\nevery = [{ hours = 3, hard_hours = 4, life_h = 9, life_days = 9 }]\n",
       {{8, "upkeep.x.every[1].life_h", "or life_days is wanted, one of the two", "the life without the work"},
        {8, "upkeep.x.every[1].hard_hours", "is more than hours", "the hours if it is ridden hard"}}},
      {STEP, {{2, "step.x.answers", "is missing", "the findings this step answers"}}},
      {STEP "kind = 'adjust'\n", {{2, "step.x.cures", "is missing", "the faults that this step puts right"}}},
      {STEP "engine = 'running'\nanswers = ['jet-dirty']\n",
       {{2, "step.x.expect", "is missing", "what a right engine does"}}},
      {STEP "engine = 'running'\nanswers = ['jet-dirty']\nexpect = 'runs'\noff = ['tank']\n",
       {{2, "step.x.off", "the engine cannot be running with the tank off",
         "engine = \"stopped\", or a part with to_run = false, or take it off and on within the step's own minutes"}}},
      {"[part.rack]\nname = 'rack'\noff_min = 1\non_min = 1\nto_run = false\nafter = ['tank']\n" STEP
       "engine = 'running'\nanswers = ['jet-dirty']\nexpect = 'runs'\noff = ['rack']\n",
       {{8, "step.x.off", "the engine cannot be running with the seat off, which must come off before the rack",
         "engine = \"stopped\", or a part with to_run = false, or take it off and on within the step's own minutes"}}},
      {STEP "answers = ['jet-dirty']\noff = ['tank']\non = ['tank']\n",
       {{2, "step.x.on", "has the tank off", "each part either off or on"}}},
      {STEP "answers = ['jet-dirty']\noff = ['tank']\non = ['seat']\n",
       {{2, "step.x.on", "has the seat off, which must come off before the tank", "each part either off or on"}}},
      {STEP "answers = ['jet-dirty']\noff = ['seat']\non = ['tank']\n", {}},
      {"[fault.y]\nname = 'y'\npart = 'y'\nshare = 1\ncauses = { weak = 1 }\n" STEP
       "kind = 'clean'\napplies = ['four-stroke']\ncures = { y = 1 }\n",
       {{2, "fault.y.applies", "no step that applies to the crosser puts it right",
         "the same applies for fault and step"}}},
      {"[tool.pressure-gauge]\nname = 'another'\n",
       {{2, "tool.pressure-gauge", "is already in good.toml:17", "another id, or one of the two"}}},
      {"[step.clean-jet]\nname = 'again'\nkind = 'clean'\nminutes = 1\ncures = { jet-blocked = 1 }\n",
       {{2, "step.clean-jet", "is already in good.toml:63", "another id, or one of the two"}}},
  });
}

TEST(KnowledgeInput, AUnitThatNobodyKnows) {
  const std::string text = READING "unit = 'furlong'\nbelow = 'jet-dirty'\nranges = [{ healthy = [1, 2] }]\n";
  EXPECT_EQ(with(text).find("bad.toml:6: reading.x.unit: "), 0u) << with(text);
}

TEST(KnowledgeInput, ASourceMustBeThere) {
  EXPECT_EQ(
      message({{"good.toml", kGood}, {"bad.toml", "[tool.x]\nname = 'x'\n"}}),
      "bad.toml:1: tool.x.source: is missing; right would be: a publication, \"common practice\" or \"from memory\", "
      "here or on top");
  EXPECT_EQ(message({{"good.toml", kGood}, {"bad.toml", "[tool.x]\nname = 'x'\nsource = 'common practice'\n"}}),
            "no problem found");
}

TEST(KnowledgeInput, WhatIsNotToml) {
  // The words between line and "right would be" are those of the TOML library.
  for (auto [text, line, words] :
       {std::tuple("[fault.x\n", 2, "Error while parsing table header: expected ']', saw '\\n'"),
        {"name = \n", 2, "Error while parsing key-value pair: expected value, saw '\\n'"},
        {"a = 1\na = 2\n", 3, "Error while parsing key-value pair: cannot redefine existing integer 'a'"},
        {"[tool.x]\n[tool.x]\n", 3, "Error while parsing table header: cannot redefine existing table 'tool.x'"},
        {"x = 'open\n", 2,
         "Error while parsing literal string: control characters other than TAB (U+0009) are explicitly prohibited"}}) {
    EXPECT_EQ(with(text), "bad.toml:" + std::to_string(line) + ": " + words + "; right would be: valid TOML");
  }
  EXPECT_EQ(message({{"good.toml", kGood}, {"latin.toml", "# caf\xe9\nsource = 'x'\n"}}),
            "latin.toml:1: Encountered invalid utf-8 sequence; right would be: valid TOML");
}

/// The good text with one piece of it taken out or changed.
std::string changed(const std::string& piece, const std::string& by) {
  std::string text = kGood;
  const size_t at = text.find(piece);
  EXPECT_NE(at, std::string::npos) << piece;
  return message({{"good.toml", text.replace(at, piece.size(), by)}});
}

TEST(KnowledgeInput, WhatEveryKindOfBikeNeeds) {
  EXPECT_EQ(changed("last_resort = true\ncures", "cures"),
            "good.toml:10: class.cross: it has no last resort; right would be: a step with last_resort = true");
  EXPECT_EQ(changed("kind = \"run\"\nengine = \"ridden\"\n", "answers = [\"jet-dirty\"]\n"),
            "good.toml:10: class.cross: no run step applies to it; right would be: a step of kind run");
  EXPECT_EQ(changed("causes_every = { complaint = \"often\" }", "causes = { weak = \"often\" }"),
            "good.toml: no fault stands for what is not in the list; right would be: one fault with causes_every = "
            "{ complaint = ... } and last_resort = true");
  EXPECT_EQ(changed("share = 10\n", "share = 10\napplies = [\"four-stroke\"]\n"), "no problem found");
}

TEST(KnowledgeInput, AllProblemsAtOnce) {
  EXPECT_EQ(message({{"a.toml", "source = 'x'\n[tool.a]\n[tool.b]\nname = 3\n"},
                     {"b.toml", "[tool.c\n"},
                     {"c.toml", kGood},
                     {"d.toml", "source = 'x'\n" FAULT "shaer = 1\ncauses = { weka = 'often' }\n"}}),
            "a.toml:2: tool.a.name: is missing; right would be: a text in quotes\n"
            "a.toml:4: tool.b.name: is not a text; right would be: a text in quotes, not empty\n"
            "b.toml:1: Error while parsing table header: expected ']', saw '\\n'; right would be: valid TOML\n"
            "d.toml:2: fault.x.share: is missing; right would be: a number from 0.001 to 100\n"
            "d.toml:6: fault.x.shaer: is not a field here; right would be: perhaps \"share\"\n"
            "d.toml:2: fault.x.causes: no finding is called \"weka\"; right would be: perhaps \"weak\"");
}

TEST(KnowledgeInput, EmptyFiles) {
  EXPECT_EQ(message({{"good.toml", kGood}, {"empty.toml", ""}, {"remarks.toml", "# nothing yet\n\n"}}),
            "no problem found");
  const Knowledge k = parse_knowledge({{"empty.toml", ""}});
  EXPECT_EQ(k.faults.size() + k.steps.size() + k.classes.size(), 0u);
}

TEST(KnowledgeInput, Folders) {
  const std::filesystem::path folder = std::filesystem::path(testing::TempDir()) / "crankwise_knowledge_input";
  std::filesystem::remove_all(folder);
  const auto load = [&]() -> std::string {
    try {
      return std::to_string(load_knowledge(folder).faults.size()) + " faults";
    } catch (const BadInput& e) {
      return e.what();
    }
  };
  const std::string where = folder.string();
  EXPECT_EQ(load(),
            where + ": cannot be read: No such file or directory; right would be: the folder with the knowledge files");
  std::filesystem::create_directory(folder);
  EXPECT_EQ(load(), where + ": holds no .toml file; right would be: the folder with the knowledge files");
  std::ofstream(folder / "notes.txt") << "not read";
  std::ofstream(folder / "b.toml") << kGood;
  std::ofstream(folder / "a.toml") << "source = 'x'\n[tool.pressure-gauge]\nname = 'first'\n";
  EXPECT_EQ(load(),
            where + "/b.toml:17: tool.pressure-gauge: is already in " + where +
                "/a.toml:2; right would be: another id, or one of the two");  // read in the order of their names
  std::filesystem::remove(folder / "a.toml");
  EXPECT_EQ(load(), "2 faults");
  std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace crankwise
