// Readings as people tell them, and what is said to those that cannot be meant.
#include "app/readings/told.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/real_knowledge.h"

namespace crankwise {
namespace {

const Reading& reading(const std::string& id) { return *real_knowledge().readings.find(id); }

Bike bike_of(const char* bike_class) {
  Bike b;
  b.traits = real_knowledge().classes.find(bike_class)->traits;
  b.displacement_cc = 125;
  return b;
}

TEST(Told, ValueThenConditions) {
  const Took t = took_from_words("compression", "138 psi height=1400 m kick=brisk hose=3cm3");
  EXPECT_EQ(t.value, 138);
  EXPECT_EQ(t.unit, "psi");
  EXPECT_EQ(t.at, (Conditions{{"height", "1400 m"}, {"kick", "brisk"}, {"hose", "3cm3"}}));
  const Took open = took_from_words("source-resistance", "open temperature=80 degC");
  EXPECT_TRUE(open.open);
  EXPECT_EQ(open.at, (Conditions{{"temperature", "80 degC"}}));
  EXPECT_TRUE(took_from_words("source-resistance", "OL").open);
}

TEST(Told, ABareNumberIsInTheReadingsUnit) {
  const Reading& r = reading("compression");
  EXPECT_EQ(with_unit_of(r, "138"), "138 psi");
  EXPECT_EQ(with_unit_of(r, "138 height=1400 m"), "138 psi height=1400 m");
  EXPECT_EQ(with_unit_of(r, "9.5 bar"), "9.5 bar");
  EXPECT_EQ(with_unit_of(r, "open"), "open");
  EXPECT_EQ(with_unit_of(r, ""), "");
  EXPECT_EQ(with_unit_of(r, "height=1400 m"), "height=1400 m");
}

struct Wrong {
  const char *name, *reading, *words, *says;
};

/// What is said of it: when it is parsed, when it is checked, and as a doubt; "" if nothing.
std::string said(const Wrong& w, const Bike& bike) {
  const Reading& r = reading(w.reading);
  try {
    const Took t = took_from_words(w.reading, w.words);
    std::vector<Problem> problems;
    check_took(r, t, &bike, "", problems);
    if (!problems.empty()) throw BadInput(problems);
    if (auto doubt = doubt_about(r, t, bike)) throw BadInput(*doubt);
  } catch (const BadInput& bad) {
    return bad.what();
  }
  return "";
}

const Wrong kWrong[] = {
    {"NoUnit", "compression", "138", "compression: \"138\" is not a value with its unit"},
    {"NoValue", "compression", "height=3 m", "compression: \"\" is not a value with its unit"},
    {"Twice", "compression", "138 psi height=3 m height=4 m", "height: is told twice"},
    {"OtherKind", "compression", "138 ohm", "compression: ohm does not measure it; right would be: a unit like psi"},
    {"Negative", "tap-flow", "-20 mL/min", "tap-flow: -20 mL/min cannot be; right would be: a value of 0 or more"},
    {"LeadsTheWrongWayRound", "supply-volts", "-12 V",
     "supply-volts: -12 V cannot be; right would be: 12 V, if the leads were the wrong way round"},
    {"KilopascalAsPsi", "compression", "950 psi",
     "compression: 950 psi cannot be; right would be: 0 to 400 psi; perhaps 950 kPa was meant"},
    {"PsiAsKilopascal", "compression", "138 kPa",
     "compression: 138 kPa would be 20 psi, far from the 140 to 225 psi that one would expect; right would be: perhaps "
     "138 psi"},
    {"BarAsPsi", "compression", "11 psi", "perhaps 11 bar"},
    {"KilohmAsOhm", "cap-resistance", "5 ohm", "perhaps 5 kohm"},
    {"MillimetresAsInches", "plug-gap", "0.6 in",
     "plug-gap: 0.6 in cannot be; right would be: 0 to 3 mm; perhaps 0.6 mm"},
    {"ThouAsMillimetres", "plug-gap", "24 mm", "perhaps 24 thou was meant"},
    {"PerCentOverAHundred", "leak-down", "140 %", "leak-down: 140 % cannot be; right would be: 0 to 100 %"},
    {"HeldMoreThanWasGiven", "leak-down", "90 psi tester-pressure=80 psi", "leak-down: psi does not measure it"},
    {"HeldWithoutWhatWasGiven", "leak-down", "60 psi",
     "right would be: a unit like %, or a pressure that it held, up to the tester-pressure told"},
    {"FeetAsMetres", "compression", "138 psi height=9000 m",
     "compression.height: 9000 m cannot be; right would be: 9000 ft perhaps"},
    {"UnknownCondition", "compression", "138 psi hight=1400 m",
     "compression.hight: is not asked for by this reading; right would be: perhaps \"height\""},
    {"ConditionOfAnother", "plug-gap", "0.6 mm height=3 m", "plug-gap.height: is not asked for by this reading"},
    {"NoSuchChoice", "compression", "138 psi kick=hard",
     "compression.kick: \"hard\" is not a choice; right would be: usual, slow, brisk"},
    {"DegreesWithoutTheCrank", "timing-btdc", "18 deg",
     "right would be: a unit like mm, or degrees up to 57, with stroke and rod of the bike told"},
    {"OpenThatCannotBe", "compression", "open", "compression: cannot be open; right would be: a value in psi"},
    {"RateAndSeconds", "tap-flow", "350 mL/min seconds=30 s", "tap-flow: is told in mL/min and with seconds"},
    {"NothingToTell", "fuel-pressure", "300 kPa took=5 min", "right would be: nothing but its value"},
    {"ConditionWithoutUnit", "tap-flow", "200 mL seconds=30", "tap-flow.seconds: \"30\" is not a value with its unit"},
};

class BadReading : public testing::TestWithParam<Wrong> {};
TEST_P(BadReading, IsRefusedWithTheLikelyMistake) {
  const std::string what = said(GetParam(), bike_of("motocross-125-two-stroke"));
  EXPECT_NE(what.find(GetParam().says), std::string::npos) << what;
}
INSTANTIATE_TEST_SUITE_P(All, BadReading, testing::ValuesIn(kWrong), [](const auto& row) { return row.param.name; });

TEST(Told, WhatIsOnlyBadIsNotDoubted) {
  const Bike bike = bike_of("motocross-125-two-stroke");
  for (const auto& [id, words] : {std::pair("compression", "60 psi"),
                                  {"compression", "300 psi"},
                                  {"plug-gap", "1.4 mm"},
                                  {"tap-flow", "20 mL/min"},
                                  {"source-resistance", "0 ohm"},
                                  {"leak-down", "80 %"},
                                  {"coil-secondary", "100 ohm"},
                                  {"supply-volts", "4 V"},
                                  {"mix-ratio", "100 :1"}}) {
    EXPECT_EQ(said({"", id, words, ""}, bike), "") << id << " " << words;
  }
}

TEST(Told, UsualConditionsOfTheShopGoWhereTheyAreAskedFor) {
  const Conditions usual{{"height", "1400 m"}, {"leads", "0.2 ohm"}};
  EXPECT_EQ(with_usual(reading("compression"), {{"kick", "brisk"}}, usual),
            (Conditions{{"height", "1400 m"}, {"kick", "brisk"}}));
  EXPECT_EQ(with_usual(reading("compression"), {{"height", "3 m"}}, usual), (Conditions{{"height", "3 m"}}));
  EXPECT_EQ(with_usual(reading("coil-primary"), {}, usual), (Conditions{{"leads", "0.2 ohm"}}));
  EXPECT_EQ(with_usual(reading("plug-gap"), {}, usual), Conditions{});
}

TEST(Told, LastingConditionsAreCheckedWhenTheyAreTold) {
  const auto wrong = [](AskedCondition::Of of, const char* id, const char* told) {
    std::vector<Problem> problems;
    check_lasting(of, id, told, "field", problems);
    return problems.empty() ? "" : problems[0].wrong + "; " + problems[0].right;
  };
  using Of = AskedCondition::Of;
  EXPECT_EQ(wrong(Of::shop, "height", "1400 m"), "");
  EXPECT_EQ(wrong(Of::shop, "hight", "1400 m"), "\"hight\" is not known of a shop; perhaps \"height\"");
  EXPECT_EQ(wrong(Of::shop, "stroke", "54 mm").substr(0, 33), "\"stroke\" is not known of a shop; ");
  EXPECT_EQ(wrong(Of::bike, "stroke", "54.5 mm"), "");
  EXPECT_EQ(wrong(Of::bike, "stroke", "54.5 m"), "54.5 m cannot be; 20 to 130 mm");
  EXPECT_EQ(wrong(Of::bike, "battery", "lead"), "\"lead\" is not a choice; any, flooded, sealed, mat, lithium");
}

TEST(Told, RowsOfASensorsTable) {
  const auto row = table_row("80 degC", "0.32 kohm");
  ASSERT_TRUE(row);
  EXPECT_NEAR(row->first, 353.15, 1e-9);
  EXPECT_NEAR(row->second, 320, 1e-9);
  EXPECT_NEAR(table_row("68 degF", "2450 ohm")->first, 293.15, 1e-9);
  EXPECT_FALSE(table_row("80", "0.32 kohm"));
  EXPECT_FALSE(table_row("80 degC", "0.32 V"));
}

}  // namespace
}  // namespace crankwise
