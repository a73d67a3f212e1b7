// Case files that are refused: what is wrong, where, and what would be right.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/case_file_case.h"
#include "tests/real_knowledge.h"

namespace crankwise {
namespace {

using namespace test;

struct Bad {
  const char* what;
  std::string text;
  std::string says;  // all of it
};
void PrintTo(const Bad& bad, std::ostream* out) { *out << bad.what; }

class BadCaseFile : public testing::TestWithParam<Bad> {};

TEST_P(BadCaseFile, SaysWhatIsWrongAndWhatWouldBeRight) {
  std::string says;
  try {
    says = refusal_of(GetParam().text);
  } catch (const std::exception& e) {
    FAIL() << "not a BadInput: " << e.what() << "\nfor\n" << GetParam().text;
  }
  EXPECT_EQ(says, GetParam().says) << "for\n" << GetParam().text;
}

const std::string kFields = "crankwise_case, bike, complaint, context, findings, readings, steps, shop";

const Bad kBad[] = {
    // Not a case file at all
    {"Empty", "",
     "case.json:1: is not JSON (column 1): syntax error while parsing value - unexpected end of input; expected '[', "
     "'{', or a "
     "literal; right would be: valid JSON"},
    {"CutShort", "{\"crankwise_case\": 1,\n\"bike\": {\"class\": \"mini-two-stroke\"\n",
     "case.json:3: is not JSON (column 1): syntax error while parsing object - unexpected end of input; expected '}'; "
     "right would "
     "be: valid JSON"},
    {"NotJson", "{\"crankwise_case\": 1,\n\"bike\": mini}",
     "case.json:2: is not JSON (column 9): syntax error while parsing value - invalid literal; last read: '\"bike\": "
     "m'; right "
     "would "
     "be: valid JSON"},
    {"LineBreakInText", "{\"crankwise_case\": 1,\n\"complaint\": \"bogs\nup top\"}",
     "case.json:2: is not JSON (column 19): syntax error while parsing value - invalid string: control character "
     "U+000A (LF) must "
     "be "
     "escaped to \\u000A or \\n; last read: '\"bogs<U+000A>'; right would be: valid JSON"},
    {"NotUtf8", "{\"crankwise_case\": 1,\n\"complaint\": \"h\xe4ngt\"}",
     "case.json:2: is not JSON (column 17): syntax error while parsing value - invalid string: ill-formed UTF-8 byte; "
     "last read: "
     "'\"h\xe4n'; right would be: valid JSON"},
    {"TrailingComma", "{\"crankwise_case\": 1,\n\"findings\": {\"bogs-up-top\": \"yes\",\n}}",
     "case.json:3: is not JSON (column 1): syntax error while parsing object key - unexpected '}'; expected string "
     "literal; right "
     "would be: valid JSON"},
    {"AList", "[1, 2]", "case.json: is not an object; right would be: { ... }"},
    {"ANumber", "7", "case.json: is not an object; right would be: { ... }"},
    {"Null", "null", "case.json: is not an object; right would be: { ... }"},
    {"NoVersion", R"({"bike": {"class": "mini-two-stroke"}})",
     "case.json: crankwise_case: is missing; right would be: 1"},
    {"NewerVersion", "{\n\n\"crankwise_case\": 2, \"bike\": {\"class\": \"mini-two-stroke\"}}",
     "case.json:3: crankwise_case: is not a version that this program reads; right would be: 1"},
    {"VersionAsText", R"({"crankwise_case": "1", "bike": {"class": "mini-two-stroke"}})",
     "case.json:1: crankwise_case: is not a version that this program reads; right would be: 1"},
    {"NoBike", R"({"crankwise_case": 1})",
     "case.json: bike: is missing; right would be: { \"class\": \"motocross-125-two-stroke\" } or another (crankwise "
     "list "
     "classes)"},
    {"UnknownField", two_stroke("\"findngs\": {}"),
     "case.json:3: findngs: is not a field here; right would be: perhaps \"findings\""},
    {"UnknownFieldUnlikeAny", two_stroke("\"weather\": \"wet\""),
     "case.json:3: weather: is not a field here; right would be: one of " + kFields},

    // The bike
    {"UnknownClass", "{\"crankwise_case\": 1,\n\"bike\": {\n\"class\": \"mini-two-strok\"}}",
     "case.json:3: bike.class: no class is called \"mini-two-strok\"; right would be: perhaps \"mini-two-stroke\""},
    {"ClassUnlikeAny", R"({"crankwise_case": 1, "bike": {"class": "tractor"}})",
     "case.json:1: bike.class: no class is called \"tractor\"; right would be: crankwise list classes"},
    {"BikeIsText", "{\"crankwise_case\": 1,\n\"bike\": \"red\"}",
     "case.json:2: bike: is not an object; right would be: { ... }"},
    {"BikeUnknownField", two_stroke_with("\"hour\": 3"),
     "case.json:3: bike.hour: is not a field here; right would be: perhaps \"hours\""},
    {"UnknownTrait", two_stroke_with("\"with\": [\"kick-strat\"]"),
     "case.json:2: bike: no trait is called \"kick-strat\"; right would be: perhaps \"kick-start\""},
    {"WithIsText", two_stroke_with("\"with\": \"kick-start\""),
     "case.json:3: bike.with: is not a list; right would be: [\"...\"]"},
    {"WithANumber", two_stroke_with("\"with\": [3]"),
     "case.json:3: bike.with: is not a text; right would be: a text in quotes\n"
     "case.json:2: bike: no trait is called \"\"; right would be: crankwise list traits"},
    {"TwoCycles", two_stroke_with("\"with\": [\"four-stroke\"]"),
     "case.json:2: bike.traits: more than one of cycle; right would be: one of four-stroke, two-stroke"},
    {"NoFuelling", two_stroke_with("\"without\": [\"carburettor\"]"),
     "case.json:2: bike.traits: nothing of fuelling; right would be: one of carburettor, injection"},
    {"NothingAtAll", R"({"crankwise_case": 1, "bike": {}})",
     "case.json:1: bike.traits: nothing of cycle; right would be: one of four-stroke, two-stroke\n"
     "case.json:1: bike.traits: nothing of fuelling; right would be: one of carburettor, injection"},
    {"EmptyName", two_stroke_with("\"name\": \"\""),
     "case.json:3: bike.name: is empty; right would be: a name for the bike"},
    {"NegativeHours", two_stroke_with("\"hours\": -1"),
     "case.json:3: bike.hours: is out of range; right would be: a number from 0 to 100000"},
    {"HoursAsText", two_stroke_with("\"hours\": \"ten\""),
     "case.json:3: bike.hours: is not a number; right would be: a number from 0 to 100000"},
    {"HugeHours", two_stroke_with("\"hours\": 1e300"),
     "case.json:3: bike.hours: is out of range; right would be: a number from 0 to 100000"},
    {"TinyEngine", two_stroke_with("\"displacement_cc\": 3"),
     "case.json:3: bike.displacement_cc: is out of range; right would be: a number from 20 to 1500"},
    {"HoursBackwards", two_stroke_with("\"hours\": 10,\n\"renewed_h\": {\"plug\": 12.5}"),
     "case.json:4: bike.renewed_h.plug: at 12.5 h, but the engine has 10 h; right would be: 0 to the engine's hours"},
    {"RenewedBelowZero", two_stroke_with("\"hours\": 10,\n\"renewed_h\": {\"plug\": -2}"),
     "case.json:4: bike.renewed_h.plug: is out of range; right would be: a number from 0 to 100000"},
    {"RenewedIsAList", two_stroke_with("\"renewed_h\": [2]"),
     "case.json:3: bike.renewed_h: is not an object; right would be: { ... }"},
    {"FigureOfNoReading", two_stroke_with("\"figures\": {\n\"compresion\": {\"value\": 170, \"unit\": \"psi\"}}"),
     "case.json:4: bike.figures.compresion: no reading has this id; right would be: perhaps \"compression\""},
    {"FigureUnlikeAny", two_stroke_with("\"figures\": {\"tyre\": {\"value\": 1, \"unit\": \"bar\"}}"),
     "case.json:3: bike.figures.tyre: no reading has this id; right would be: crankwise list readings"},
    {"FigureWrongUnit", two_stroke_with("\"figures\": {\"compression\": {\"value\": 170, \"unit\": \"mm\"}}"),
     "case.json:3: bike.figures.compression: \"mm\" is not a unit for it; right would be: a unit like psi"},
    {"FigureNoUnit", two_stroke_with("\"figures\": {\"compression\": {\"value\": 170}}"),
     "case.json:3: bike.figures.compression: \"\" is not a unit for it; right would be: a unit like psi"},
    {"FigureUpsideDown",
     two_stroke_with("\"figures\": {\"compression\": {\"low\": 170, \"high\": 120, \"unit\": \"psi\"}}"),
     "case.json:3: bike.figures.compression: is not a range above 0; right would be: one value, or the lower and the "
     "upper one"},
    {"FigureZero", two_stroke_with("\"figures\": {\"compression\": {\"value\": 0, \"unit\": \"psi\"}}"),
     "case.json:3: bike.figures.compression: is not a range above 0; right would be: one value, or the lower and the "
     "upper one"},
    {"FigureNegative", two_stroke_with("\"figures\": {\"compression\":\n{\"value\": -3, \"unit\": \"psi\"}}"),
     "case.json:4: bike.figures.compression.value: is out of range; right would be: a number from 0 to 1e+09\n"
     "case.json:3: bike.figures.compression: is not a range above 0; right would be: one value, or the lower and the "
     "upper one"},
    {"FigureUnknownField", two_stroke_with("\"figures\": {\"compression\": {\"vaule\": 170, \"unit\": \"psi\"}}"),
     "case.json:3: bike.figures.compression.vaule: is not a field here; right would be: perhaps \"value\"\n"
     "case.json:3: bike.figures.compression: is not a range above 0; right would be: one value, or the lower and the "
     "upper one"},
    {"AccessUnknownPart", two_stroke_with("\"access_min\": {\"tnak\": {\"off\": 1, \"on\": 1}}"),
     "case.json:2: bike: no part is called \"tnak\"; right would be: perhaps \"tank\""},
    {"AccessNegative", two_stroke_with("\"access_min\": {\"tank\": {\"off\": -1, \"on\": 1}}"),
     "case.json:3: bike.access_min.tank.off: is out of range; right would be: a number from 0 to 10000"},

    // The shop
    {"UnknownTool", two_stroke("\"shop\": {\"lacks\": [\"gage\"]}"),
     "case.json:3: shop.lacks: no tool is called \"gage\"; right would be: perhaps \"gauge\""},
    {"FreeHours", two_stroke("\"shop\": {\"money_per_hour\": 0}"),
     "case.json:3: shop.money_per_hour: is out of range; right would be: a number from 0.01 to 1e+06"},
    {"ShopUnknownField", two_stroke("\"shop\": {\"lack\": []}"),
     "case.json:3: shop.lack: is not a field here; right would be: perhaps \"lacks\""},

    // What was said and measured
    {"ComplaintIsAList", two_stroke("\"complaint\": [\"bogs\"]"),
     "case.json:3: complaint: is not a text; right would be: a text in quotes"},
    {"UnknownContext", two_stroke("\"context\": {\"stod\": true}"),
     "case.json:3: context.stod: no context is called \"stod\"; right would be: perhaps \"stood\""},
    {"ContextAsText", two_stroke("\"context\": {\"stood\": \"yes\"}"),
     "case.json:3: context.stood: is not true or false; right would be: true or false"},
    {"ContextIsAList", two_stroke("\"context\": [\"stood\"]"),
     "case.json:3: context: is not an object; right would be: { ... }"},
    {"UnknownFinding", two_stroke("\"findings\": {\n\"bogs-uptop\": \"yes\"}"),
     "case.json:4: findings.bogs-uptop: no finding is called \"bogs-uptop\"; right would be: perhaps \"bogs-up-top\""},
    {"FindingUnlikeAny", two_stroke("\"findings\": {\"purple\": \"yes\"}"),
     "case.json:3: findings.purple: no finding is called \"purple\"; right would be: crankwise list findings"},
    {"WrongAnswer", two_stroke("\"findings\": {\"bogs-up-top\": \"maybe\"}"),
     "case.json:3: findings.bogs-up-top: is not an answer; right would be: \"yes\", \"no\" or \"unsure\""},
    {"AnswerAsTruth", two_stroke("\"findings\": {\"bogs-up-top\": true}"),
     "case.json:3: findings.bogs-up-top: is not an answer; right would be: \"yes\", \"no\" or \"unsure\""},
    {"FindingsAreAList", two_stroke("\"findings\": [\"bogs-up-top\"]"),
     "case.json:3: findings: is not an object; right would be: { ... }"},
    {"FindingOfAnotherBike",
     R"({"crankwise_case": 1, "bike": {"class": "mini-four-stroke"}, "findings": {"reed-chip-seen": "yes"}})",
     "case.json:1: findings.reed-chip-seen: \"reed-chip-seen\" does not apply to this bike; right would be: a finding "
     "of its "
     "equipment"},
    {"UnknownReading", two_stroke("\"readings\": {\"compresion\": \"138 psi\"}"),
     "case.json:3: readings.compresion: no reading is called \"compresion\"; right would be: perhaps \"compression\""},
    {"ReadingOfAnotherBike", two_stroke("\"readings\": {\"fuel-pressure\": \"300 kPa\"}"),
     "case.json:3: readings.fuel-pressure: \"fuel-pressure\" does not apply to this bike; right would be: a reading of "
     "its "
     "equipment"},
    {"NoUnit", two_stroke("\"readings\": {\"compression\": \"138\"}"),
     "case.json:3: readings.compression: is not a value with its unit; right would be: a text like \"138 psi\", or "
     "\"open\""},
    {"ValueAsNumber", two_stroke("\"readings\": {\"compression\": 138}"),
     "case.json:3: readings.compression: is not a value with its unit; right would be: a text like \"138 psi\", or "
     "\"open\""},
    {"UnknownUnit", two_stroke("\"readings\": {\"compression\": \"138 psx\"}"),
     "case.json:3: readings.compression: is not a value with its unit; right would be: a text like \"138 psi\", or "
     "\"open\""},
    {"WrongUnit", two_stroke("\"readings\": {\"compression\": \"138 kohm\"}"),
     "case.json:3: readings.compression: kohm does not measure it; right would be: a unit like psi"},
    {"NegativeReading", two_stroke("\"readings\": {\"compression\": \"-138 psi\"}"),
     "case.json:3: readings.compression: -138 psi cannot be; right would be: a value of 0 or more"},
    {"InfiniteReading", two_stroke("\"readings\": {\"compression\": \"1e999 psi\"}"),
     "case.json:3: readings.compression: is not a value with its unit; right would be: a text like \"138 psi\", or "
     "\"open\""},
    {"NotANumberReading", two_stroke("\"readings\": {\"compression\": \"nan psi\"}"),
     "case.json:3: readings.compression: is not a value with its unit; right would be: a text like \"138 psi\", or "
     "\"open\""},

    // The steps
    {"StepsAreAnObject", two_stroke("\"steps\": {}"),
     "case.json:3: steps: is not a list; right would be: [ { \"step\": ... }, ... ]"},
    {"StepIsText", two_stroke("\"steps\": [\"look-at-plug\"]"),
     "case.json:3: steps[1]: is not an object; right would be: { ... }"},
    {"UnknownStep", two_stroke("\"steps\": [{\"step\": \"look-at-plugs\"}]"),
     "case.json:3: steps[1].step: no step is called \"look-at-plugs\"; right would be: perhaps \"look-at-plug\""},
    {"StepOfAnotherBike", two_stroke("\"steps\": [{\"step\": \"new-pump\"}]"),
     "case.json:3: steps[1].step: \"new-pump\" does not apply to this bike; right would be: a step of its equipment"},
    {"StepUnknownField", two_stroke("\"steps\": [{\"stpe\": \"clean-jet\"}]"),
     "case.json:3: steps[1].stpe: is not a field here; right would be: perhaps \"step\""},
    {"StepFinding", two_stroke("\"steps\": [{\"findings\": {\"jet-dirt\": \"yes\"}}]"),
     "case.json:3: steps[1].findings.jet-dirt: no finding is called \"jet-dirt\"; right would be: perhaps "
     "\"jet-dirty\""},
    {"WrongRun", two_stroke("\"steps\": [{\"run\": \"fine\"}]"),
     "case.json:3: steps[1].run: is not a result; right would be: \"gone\", \"better\" or \"same\""},
    {"PutBackNothing", two_stroke("\"steps\": [{\"put_back\": true}]"),
     "case.json:3: steps[1].put_back: has no step; right would be: \"step\": the swap that was taken out again"},
    {"PutBackALook", two_stroke("\"steps\": [{\"step\": \"look-at-plug\", \"put_back\": true}]"),
     "case.json:3: steps[1].put_back: \"look-at-plug\" puts no part in that could go back out; right would be: a step "
     "of "
     "kind swap or replace"},
    {"SkipUnknown", two_stroke("\"steps\": [{\"skip\": \"test-sprak\"}]"),
     "case.json:3: steps[1].skip: no step is called \"test-sprak\"; right would be: perhaps \"test-spark\""},
    {"UnknownPartOff", two_stroke("\"steps\": [{\"off\": [\"tank\", \"plugg\"]}]"),
     "case.json:3: steps[1].off: no part is called \"plugg\"; right would be: perhaps \"plug\""},
    {"PartOfAnotherBike",
     R"({"crankwise_case": 1, "bike": {"class": "mini-four-stroke"}, "steps": [{"off": ["reed-cage"]}]})",
     "case.json:1: steps[1].off: \"reed-cage\" does not apply to this bike; right would be: a part of its equipment"},
    {"NoteIsANumber", two_stroke("\"steps\": [{\"note\": 3}]"),
     "case.json:3: steps[1].note: is not a text; right would be: a text in quotes"},
    {"LineOfTheRightStep", two_stroke("\"steps\": [\n{\"run\": \"same\"},\n{\"run\": \"same\"},\n{\"run\": \"fine\"}]"),
     "case.json:6: steps[3].run: is not a result; right would be: \"gone\", \"better\" or \"same\""},
    {"LineNotOfAText", two_stroke("\"complaint\": \"says \\\"run\\\"\",\n\"steps\": [\n{\"run\": \"fine\"}]"),
     "case.json:5: steps[1].run: is not a result; right would be: \"gone\", \"better\" or \"same\""},
    {"LineNotOfAValue", two_stroke("\"complaint\": \"run\",\n\"steps\": [\n{\"run\": \"fine\"}]"),
     "case.json:5: steps[1].run: is not a result; right would be: \"gone\", \"better\" or \"same\""},

    // All at once
    {"Several",
     two_stroke("\"context\": {\"stod\": true},\n\"findings\": {\"bogs-up-top\": \"often\",\n\"jet-dirt\": "
                "\"yes\"},\n\"readings\": "
                "{\"compression\": \"3 mm\"},\n\"steps\": [{\"run\": \"fine\"}, {\"step\": \"clean-jets\"}]"),
     "case.json:3: context.stod: no context is called \"stod\"; right would be: perhaps \"stood\"\n"
     "case.json:4: findings.bogs-up-top: is not an answer; right would be: \"yes\", \"no\" or \"unsure\"\n"
     "case.json:5: findings.jet-dirt: no finding is called \"jet-dirt\"; right would be: perhaps \"jet-dirty\"\n"
     "case.json:6: readings.compression: mm does not measure it; right would be: a unit like psi\n"
     "case.json:7: steps[1].run: is not a result; right would be: \"gone\", \"better\" or \"same\"\n"
     "case.json:7: steps[2].step: no step is called \"clean-jets\"; right would be: perhaps \"clean-jet\""},
};

INSTANTIATE_TEST_SUITE_P(All, BadCaseFile, testing::ValuesIn(kBad),
                         [](const auto& bad) { return std::string(bad.param.what); });

/// Read without a word these would lose what somebody meant.
struct Silent {
  const char* what;
  std::string text;
  std::vector<std::string> says;  // these parts at least
};
void PrintTo(const Silent& silent, std::ostream* out) { *out << silent.what; }

class SilentCaseFile : public testing::TestWithParam<Silent> {};

TEST_P(SilentCaseFile, IsRefused) {
  const std::string says = refusal_of(GetParam().text);
  for (const auto& part : GetParam().says)
    EXPECT_NE(says.find(part), std::string::npos) << "said: " << says << "\nfor\n" << GetParam().text;
}

const Silent kSilent[] = {
    {"UnknownTraitWithout",
     two_stroke_with("\"without\": [\"reed-vlave\"]"),
     {"bike", "\"reed-vlave\"", "perhaps \"reed-valve\""}},
    {"RenewedUnknownPart",
     two_stroke_with("\"hours\": 10,\n\"renewed_h\": {\"pistn\": 2}"),
     {"case.json:4: bike.renewed", "pistn", "perhaps \"piston\""}},
    {"BaselineAsText",
     two_stroke_with("\"figures\": {\"coil\": {\"value\": 5, \"unit\": \"kohm\",\n\"baseline\": \"yes\"}}"),
     {"case.json:4: bike.figures.coil.baseline: ", "true or false"}},
    {"AccessHalf", two_stroke_with("\"access_min\": {\"tank\": {\"off\": 5}}"), {"case.json:3: bike.access_min.tank"}},
    {"PutBackACleaning",
     two_stroke("\"steps\": [{\"step\": \"clean-jet\", \"put_back\": true}]"),
     {"case.json:3: steps[1].put_back: ", "swap or replace"}},
    {"PutBackAsText",
     two_stroke("\"steps\": [{\"step\": \"swap-plug\", \"put_back\": \"yes\"}]"),
     {"case.json:3: steps[1].put_back: ", "true or false"}},
    {"SkipOfAnotherBike",
     two_stroke("\"steps\": [{\"skip\": \"new-pump\"}]"),
     {"case.json:3: steps[1].skip: ", "does not apply to this bike"}},
    {"WhyWithoutSkip",
     two_stroke("\"steps\": [{\"step\": \"clean-jet\", \"why\": \"no jet\"}]"),
     {"case.json:3: steps[1]"}},
    {"FindingTwice",
     two_stroke("\"findings\": {\"bogs-up-top\": \"yes\",\n\"bogs-up-top\": \"no\"}"),
     {"case.json:4: ", "bogs-up-top"}},
    {"FindingsTwice",
     two_stroke("\"findings\": {\"bogs-up-top\": \"yes\"},\n\"findings\": {\"breaks-up\": \"no\"}"),
     {"case.json:4: ", "findings"}},
    {"ReadingTwice",
     two_stroke("\"readings\": {\"compression\": \"100 psi\",\n\"compression\": \"180 psi\"}"),
     {"case.json:4: ", "compression"}},
    {"StepTwice",
     two_stroke("\"steps\": [{\"step\": \"clean-jet\",\n\"step\": \"swap-plug\"}]"),
     {"case.json:4: ", "step"}},
};

INSTANTIATE_TEST_SUITE_P(All, SilentCaseFile, testing::ValuesIn(kSilent),
                         [](const auto& silent) { return std::string(silent.param.what); });

TEST(CaseFile, ANumberTooBigForAnyMachineIsRefused) {
  for (const std::string& text : {two_stroke_with("\"hours\": 1e999"), two_stroke_with("\"hours\": -1e999"),
                                  two_stroke("\"steps\": [{\"note\": 1" + std::string(400, '0') + "}]")}) {
    std::string says;
    ASSERT_NO_THROW(says = refusal_of(text)) << text;
    EXPECT_NE(says.find("case.json:"), std::string::npos) << text;
  }
}

TEST(CaseFile, NothingMayFollowAZeroByte) {
  EXPECT_EQ(refusal_of(std::string("{}\n\0{\"\x9e\": 1}", 12)),
            "case.json:2: is not JSON: it holds a zero byte; right would be: valid JSON");
}

TEST(CaseFile, DeepNestingIsRefusedNotFollowed) {
  const std::string deep(200000, '['), shut(200000, ']');
  EXPECT_NE(refusal_of(deep).find("is not JSON"), std::string::npos);
  EXPECT_EQ(refusal_of(deep + shut), "case.json: is not an object; right would be: { ... }");
  EXPECT_EQ(refusal_of(two_stroke("\"complaint\": " + deep + shut)),
            "case.json:3: complaint: is not a text; right would be: a text in quotes");
  std::string objects, ends;
  for (int i = 0; i < 100000; ++i) objects += "{\"step\":", ends += "}";
  EXPECT_EQ(refusal_of(two_stroke("\"steps\": [" + objects + "1" + ends + "]")),
            "case.json:3: steps[1].step: is not a text; right would be: a text in quotes\n"
            "case.json:3: steps[1].step: no step is called \"\"; right would be: crankwise list steps");
}

TEST(CaseFile, TheSameStepTwiceIsNotAMistake) {
  EXPECT_EQ(refusal_of(two_stroke(
                R"("steps": [{"step": "clean-jet"}, {"run": "same"}, {"step": "clean-jet"}, {"run": "same"}])")),
            "");
}

TEST(CaseFile, NothingIsKeptOfAnEntryThatIsRefused) {
  try {
    parse(two_stroke(R"("findings": {"bogs-up-top": "yes", "jet-dirt": "yes"})"));
    FAIL() << "accepted";
  } catch (const BadInput& e) {
    ASSERT_EQ(e.problems().size(), 1U);
    EXPECT_EQ(e.problems()[0].file, "case.json");
    EXPECT_EQ(e.problems()[0].line, 3);
    EXPECT_EQ(e.problems()[0].field, "findings.jet-dirt");
    EXPECT_EQ(e.problems()[0].right, "perhaps \"jet-dirty\"");
  }
}

TEST(CaseFile, NamesTheRealKnowledgeToo) {
  EXPECT_EQ(refusal_of(real_knowledge(), R"({"crankwise_case": 1, "bike": {"class": "motocross-125-twostroke"}})"),
            "case.json:1: bike.class: no class is called \"motocross-125-twostroke\"; right would be: perhaps "
            "\"motocross-125-two-stroke\"");
}

}  // namespace
}  // namespace crankwise
