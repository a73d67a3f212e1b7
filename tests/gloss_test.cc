// Words of the trade explained, and whether all of them are.
#include "app/gloss.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/real_knowledge.h"
#include "tests/refusal.h"
#include "tests/small_knowledge.h"

namespace crankwise {
namespace {

using namespace test;

Knowledge with_terms() {
  return parse_knowledge({{"g.toml", R"(
source = "from memory"
jargon = ["jet", "tap", "stator"]
[term.jet]
name = "jet"
plain = "small nozzle"
[term.pilot-jet]
name = "pilot jet"
plain = "nozzle for idling"
[term.tap]
name = "tap"
forms = ["fuel cock"]
not_in = ["tap and shake"]
plain = "turns the fuel on"
[term.stator]
name = "stator"
plain = "fixed coils"
)"}});
}

TEST(Gloss, ExplainsATermWhereItFirstComesUp) {
  const Knowledge k = with_terms();
  Gloss gloss(k);
  EXPECT_EQ(gloss("Clear the Jets and jet holders"), "Clear the Jets (small nozzle) and jet holders");
  EXPECT_EQ(gloss("the longer pilot jet is another"), "the longer pilot jet (nozzle for idling) is another");
  EXPECT_EQ(gloss("another pilot jet, another jet"), "another pilot jet, another jet");
  EXPECT_EQ(gloss("a fuel cock or tap"), "a fuel cock (turns the fuel on) or tap");
}

TEST(Gloss, LeavesOtherWordsAlone) {
  const Knowledge k = with_terms();
  Gloss gloss(k);
  for (const char* text : {"jetsam", "stop-jet", "jet-black", "Tap and shake it", "übertap", "", "stator (the coils)"})
    EXPECT_EQ(gloss(text), text);
  EXPECT_EQ(Gloss(k)("tap"), "tap (turns the fuel on)");
}

TEST(Gloss, SaysWhichJargonIsNotExplained) {
  const Knowledge k = with_terms();
  EXPECT_EQ(unexplained(k, "pilot jets, taps and the stator"), std::vector<std::string>{});
  EXPECT_EQ(unexplained(k, "tap and shake"), std::vector<std::string>{});
  const Knowledge less = parse_knowledge({{"g.toml", R"(
source = "from memory"
jargon = ["jet"]
[term.pilot-jet]
name = "pilot jet"
plain = "nozzle for idling"
)"}});
  EXPECT_EQ(unexplained(less, "Clear the Jets, the pilot jet too"), std::vector<std::string>{"jet"});
}

TEST(Gloss, TheLoaderRefusesWhatCannotBe) {
  const std::string said = refusal([] {
    parse_knowledge({{"g.toml", R"(
source = "from memory"
jargon = ["jet", "reed"]
[term.jet]
name = "jet"
forms = ["nozzle"]
plain = "small nozzle"
[term.nozzle]
name = "Nozzle"
plain = "this gloss goes on and on and on, far beyond what anybody would read in brackets within a line"
[term.empty]
name = "empty"
)"}});
  });
  EXPECT_NE(said.find("\"nozzle\" is in jet already"), std::string::npos) << said;
  EXPECT_NE(said.find("no term explains \"reed\""), std::string::npos) << said;
  EXPECT_NE(said.find("term.nozzle.plain: is too long"), std::string::npos) << said;
  EXPECT_NE(said.find("term.empty.plain: is missing"), std::string::npos) << said;
}

TEST(Gloss, EveryNameOnASheetIsExplained) {
  const Knowledge& k = real_knowledge();
  ASSERT_GT(k.jargon.size(), 50u);
  std::string lacking;
  const auto look = [&](const auto& shelf, const char* kind) {
    for (const auto& thing : shelf) {
      for (const auto& word : unexplained(k, thing.name))
        lacking += fmt::format("{} {}: \"{}\" in \"{}\"\n", kind, thing.id, word, thing.name);
    }
  };
  look(k.faults, "fault");
  look(k.steps, "step");
  look(k.readings, "reading");
  look(k.findings, "finding");
  look(k.parts, "part");
  EXPECT_EQ(lacking, "") << "a [term.ID] in knowledge/glossary.toml is missing, or a form of it";
}

TEST(Gloss, NoWordThatTheNamesUseMeansNothing) {
  // A term that no name uses is one that nobody will ever read: a slip of the pen.
  const Knowledge& k = real_knowledge();
  std::string all;
  const auto gather = [&](const auto& shelf) {
    for (const auto& thing : shelf) all += Gloss(k)(thing.name) + "\n";
  };
  gather(k.faults), gather(k.steps), gather(k.readings), gather(k.findings), gather(k.parts);
  std::string unused;
  for (const Term& t : k.terms) {
    if (all.find("(" + t.plain + ")") == std::string::npos) unused += t.id + "\n";
  }
  EXPECT_EQ(unused, "");
}

}  // namespace
}  // namespace crankwise
