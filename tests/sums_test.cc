// Bench sums from the mechanic's side: units in, units out, what is asked for, what cannot be. The arithmetic itself is
// checked in the calc tests; here one line of each sum is worked by hand or taken from a source named beside it.
#include "app/sums/sum.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "app/places.h"
#include "edge/knowledge.h"
#include "edge/problem.h"
#include "edge/units.h"

namespace crankwise {
namespace {

using Pairs = std::vector<std::string>;

SumAnswer work(const std::string& id, const Pairs& pairs) {
  const Sum* s = find_sum(id);
  if (s == nullptr) throw std::runtime_error("no sum " + id);
  return s->work(read_sum_inputs(*s, pairs));
}

std::string refused(const std::string& id, const Pairs& pairs) {
  try {
    work(id, pairs);
  } catch (const BadInput& e) {
    std::string all;
    for (const Problem& p : e.problems()) all += p.field + ": " + p.wrong + "; " + p.right + "\n";
    return all;
  }
  return "";
}

struct Row {
  const char* sum;
  Pairs pairs;
  const char* value;  // its name
  double expected, within;
  const char* source;
};

const Row kRows[] = {
    {"oil-for-fuel", {"fuel=20 L", "ratio=40:1"}, "oil", 500, 1e-9, "by hand: 20 L / 40"},
    {"oil-for-fuel", {"fuel=1 gal", "ratio=32:1"}, "oil", 118.29, 0.01, "by hand: 3785.41 mL / 32"},
    {"put-can-right",
     {"can=5 L", "mixed=50:1", "ratio=32:1"},
     "add oil",
     55.147,
     0.001,
     "by hand: 5000 * 50/51 / 32 - 5000 / 51"},
    {"put-can-right", {"can=5 L", "ratio=40:1"}, "add oil", 125, 1e-9, "by hand: plain petrol"},
    {"other-mix", {"from=50:1", "to=25:1"}, "leaner by", 1.923, 0.001, "by hand: 1 - (25/26) / (50/51)"},
    {"jet-change", {"from=100", "to=105", "numbered-by=diameter"}, "more fuel", 10.25, 1e-9, "by hand: 1.05^2"},
    {"jet-change", {"from=100", "to=105", "numbered-by=flow"}, "more fuel", 5, 1e-9, "by hand"},
    {"power-at-height", {"height=5000 ft"}, "left by the density of the air", 86.17, 0.02, "ISO 2533: 1.05555 / 1.225"},
    {"degrees-to-mm",
     {"stroke=54.5 mm", "rod=105 mm", "angle=90 deg"},
     "piston below top dead centre",
     30.848,
     0.001,
     "by hand: r + l - sqrt(l^2 - r^2)"},
    {"mm-to-degrees",
     {"stroke=54.5 mm", "rod=105 mm", "drop=30.8476 mm"},
     "crank from top dead centre",
     90,
     0.01,
     "the row above turned round"},
    {"piston-speed",
     {"stroke=54.5 mm", "rod=105 mm", "speed=11000 rpm"},
     "mean",
     19.983,
     0.001,
     "by hand: 2 * 0.0545 * 11000 / 60"},
    {"compression-ratio",
     {"bore=54 mm", "stroke=54.5 mm", "rod=105 mm", "clearance=9 cm3"},
     "displacement",
     124.8,
     0.05,
     "by hand: pi / 4 * 5.4^2 * 5.45"},
    {"leak-down", {"pressure=80 psi", "held=60 psi"}, "lost", 25, 1e-6, "by hand"},
    {"crankcase-leak", {"start=40 kPa", "end=36 kPa", "time=2 min"}, "lost a minute", 2, 1e-9, "by hand"},
    {"copper-at",
     {"resistance=100 ohm", "temperature=20 degC", "at=60 degC"},
     "at 60 degC",
     115.72,
     0.01,
     "IEC 60028: (234.5 + 60) / (234.5 + 20)"},
    {"wire-drop",
     {"length=29 m", "area=1 mm2", "current=1 A"},
     "lost on the way",
     0.5,
     0.001,
     "IEC 60028: 1/58 ohm mm2/m"},
    {"key-slip", {"slip=1 mm", "diameter=20 mm"}, "timing moves by", 5.7296, 0.0001, "by hand: 0.1 rad"},
    {"road-speed",
     {"primary=3:1", "gear=1:1", "front=13", "rear=52", "circumference=2000 mm", "speed=6000 rpm"},
     "speed",
     60,
     1e-6,
     "by hand: 6000 / 12 * 2 m * 60 / 1000"},
    {"engine-speed",
     {"primary=3:1", "gear=1:1", "front=13", "rear=52", "circumference=2000 mm", "road=60 km/h"},
     "engine",
     6000,
     1e-6,
     "the row above turned round"},
    {"tap-flow", {"volume=300 mL", "time=30 s", "power=20 kW"}, "flows", 600, 1e-6, "by hand"},
    {"fuel-demand",
     {"power=10 kW", "engine=two-stroke"},
     "at full load",
     123.04,
     0.01,
     "by hand: 10 * 0.55 kg/h / 745 kg/m3 / 60"},
};

TEST(Sums, WorkedByHand) {
  for (const Row& r : kRows) {
    SCOPED_TRACE(std::string(r.sum) + ", " + r.source);
    const SumAnswer a = work(r.sum, r.pairs);
    const auto found = std::find_if(a.values.begin(), a.values.end(), [&](const auto& v) { return v.name == r.value; });
    ASSERT_NE(found, a.values.end());
    EXPECT_NEAR(found->value, r.expected, r.within);
  }
}

// ISO 2533 at 1000 m: 281.65 K is 8.5 degC, density 1.11164.
TEST(Sums, AirOfTheStandard) {
  const SumAnswer a = work("air-today", {"height=1000 m", "temperature=8.5 degC"});
  EXPECT_NEAR(a.values[0].value, 1.11164, 2e-5);
  EXPECT_NEAR(a.values[3].value, 1000, 1) << "its density altitude is its height";
}

TEST(Sums, EachSaysWhatItIs) {
  std::vector<std::string> ids;
  for (const Sum& s : sums()) {
    SCOPED_TRACE(s.id);
    ids.push_back(s.id);
    EXPECT_FALSE(s.name.empty());
    EXPECT_FALSE(s.formula.empty());
    EXPECT_FALSE(s.source.empty());
    for (const Input& in : s.inputs) {
      SCOPED_TRACE(in.id);
      EXPECT_FALSE(in.ask.empty());
      if (!in.choices.empty()) continue;
      EXPECT_TRUE(find_unit(in.unit).has_value()) << in.unit;
      EXPECT_LT(in.low, in.high);
      if (in.usual) {
        EXPECT_GE(*in.usual, in.low);
        EXPECT_LE(*in.usual, in.high);
      }
    }
  }
  EXPECT_GT(ids.size(), 30U);
  std::sort(ids.begin(), ids.end());
  EXPECT_EQ(std::unique(ids.begin(), ids.end()), ids.end());
}

/// A value in the middle of what is asked for, for all that must be told: every sum answers with its worked line and
/// finite numbers, or says what does not fit together.
TEST(Sums, EachAnswersInTheMiddle) {
  for (const Sum& s : sums()) {
    SCOPED_TRACE(s.id);
    Pairs pairs;
    for (const Input& in : s.inputs) {
      if (!in.choices.empty() || in.usual || in.may_lack) continue;
      const double middle = in.low > 0 ? std::sqrt(in.low * in.high) : (in.low + in.high) / 2;
      pairs.push_back(in.id + "=" + std::to_string(middle) + " " + in.unit);
    }
    const SumAnswer a = s.work(read_sum_inputs(s, pairs));
    EXPECT_TRUE(!a.worked.empty() || !a.notes.empty());
    for (const SumValue& v : a.values) EXPECT_TRUE(std::isfinite(v.value)) << v.name;
  }
}

TEST(Sums, WhatCannotBeIsNamed) {
  EXPECT_EQ(refused("oil-for-fuel", {"fuel=20 L"}),
            "ratio: is missing; ratio=VALUE :1: parts of petrol to one of oil\n");
  EXPECT_EQ(refused("oil-for-fuel", {"fuel=20", "ratio=40:1"}),
            "fuel: \"20\" is not a value with its unit; a number and its unit, such as 1 L\n");
  EXPECT_EQ(refused("oil-for-fuel", {"fuel=20 psi", "ratio=40:1"}), "fuel: psi does not measure it; a unit like L\n");
  EXPECT_EQ(refused("oil-for-fuel", {"feul=20 L", "ratio=40:1"}),
            "feul: is not asked for by this sum; perhaps \"fuel\"\nfuel: is missing; fuel=VALUE L: petrol that the oil "
            "goes into\n");
  EXPECT_NE(refused("oil-for-fuel", {"fuel=-2 L", "ratio=40:1"}).find("fuel: -2 L cannot be"), std::string::npos);
  EXPECT_NE(refused("oil-for-fuel", {"fuel=1 L", "fuel=2 L", "ratio=40:1"}).find("is told twice"), std::string::npos);
  EXPECT_NE(refused("fuel-demand", {"power=10 kW", "engine=rotary"}).find("\"rotary\" is not a choice; two-stroke"),
            std::string::npos);
  // The likely mistake: 550 told in psi where kPa were meant.
  EXPECT_NE(refused("leak-down", {"pressure=550 psi", "held=60 psi"}).find("550 kPa perhaps"), std::string::npos);
}

TEST(Sums, WhatDoesNotFitTogetherIsSaid) {
  EXPECT_TRUE(work("leak-down", {"pressure=60 psi", "held=80 psi"}).values.empty());
  EXPECT_FALSE(work("leak-down", {"pressure=60 psi", "held=80 psi"}).notes.empty());
  EXPECT_FALSE(work("mm-to-degrees", {"stroke=50 mm", "rod=100 mm", "drop=60 mm"}).notes.empty());
  EXPECT_FALSE(work("degrees-to-mm", {"stroke=120 mm", "rod=50 mm", "angle=60 deg"}).notes.empty());
}

TEST(Sums, WhatCanHurtCarriesItsCaution) {
  static const Knowledge kKnowledge = load_knowledge(usual_knowledge_folder());
  for (const Sum& s : sums()) {
    for (const std::string& id : s.cautions) EXPECT_NE(kKnowledge.cautions.find(id), nullptr) << s.id << ": " << id;
  }
  for (const auto& [sum, caution] : {std::pair{"oil-for-fuel", "petrol-vapour"},
                                     {"tap-flow", "petrol-vapour"},
                                     {"pump-flow", "fuel-under-pressure"},
                                     {"leak-down", "compressed-air"},
                                     {"crankcase-leak", "crankcase-pressure"},
                                     {"spark-volts", "ignition-voltage"}}) {
    const auto& all = find_sum(sum)->cautions;
    EXPECT_NE(std::find(all.begin(), all.end(), caution), all.end()) << sum;
  }
}

TEST(Sums, InWords) {
  EXPECT_EQ(in_words(SumValue{"", 12.345, "mm", 2}), "12.35 mm");
  EXPECT_EQ(in_words(SumValue{"", 0.00123, "s/cm", 1}), "0.00123 s/cm");
  EXPECT_EQ(in_words(SumValue{"", 7.14, ":1", 1}), "7.1:1");
  EXPECT_EQ(in_words(SumValue{"", 0, "mL", 0}), "0 mL");
}

}  // namespace
}  // namespace crankwise
