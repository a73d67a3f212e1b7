#include "app/case_file.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <random>

#include "app/shop.h"
#include "tests/small_knowledge.h"

namespace crankwise {
namespace {

using test::small_knowledge;

Case parse(const std::string& text) { return parse_case(small_knowledge(), text, "case.json"); }

/// What the BadInput says that parsing throws, one line a problem; "" if it throws none.
std::string refusal(const Knowledge& k, const std::string& text) {
  try {
    parse_case(k, text, "case.json");
  } catch (const BadInput& e) {
    return e.what();
  }
  return "";
}
std::string refusal(const std::string& text) { return refusal(small_knowledge(), text); }

/// The entries as the event log would hold them, one a line.
std::string in_log(const std::vector<Entry>& entries) {
  std::string out;
  for (const Entry& e : entries) out += entry_kind(e) + " " + entry_data(e).dump() + "\n";
  return out;
}

Diagnosis judge(const Knowledge& k, const Case& c) { return diagnose(k, c.bike, c.entries, c.shop); }
Diagnosis judge(const std::string& text) { return judge(small_knowledge(), parse(text)); }

/// A case on the small two-stroke with `more` fields.
std::string two_stroke(const std::string& more) {
  return "{\"crankwise_case\": 1,\n\"bike\": {\"class\": \"mini-two-stroke\"}" + (more.empty() ? "" : ",\n" + more) +
         "}";
}
/// The same with a bike that has `fields` besides.
std::string two_stroke_with(const std::string& fields, const std::string& more = "") {
  return "{\"crankwise_case\": 1,\n\"bike\": {\"class\": \"mini-two-stroke\",\n" + fields + "}" +
         (more.empty() ? "" : ",\n" + more) + "}";
}

constexpr const char* kEverything = R"({
  "crankwise_case": 1,
  "bike": {
    "class": "mini-four-stroke", "name": "Blue 110",
    "without": ["injection"], "with": ["carburettor", "kick-start"],
    "displacement_cc": 124.5, "hours": 88.5,
    "renewed_h": {"plug": 80, "piston": 12.5},
    "figures": {
      "compression": {"low": 6.2, "high": 7.6, "unit": "bar"},
      "coil": {"value": 11, "unit": "kohm", "baseline": true}
    },
    "access_min": {"tank": {"off": 9, "on": 11.5}}
  },
  "complaint": "bogs up top, \"never\" when cold",
  "shop": {"money_per_hour": 48, "currency": "crowns", "lacks": ["gauge"]},
  "context": {"stood": true, "new-plug": false},
  "findings": {"only-hot": "no", "bogs-up-top": "yes", "breaks-up": "unsure"},
  "readings": {"compression": "6.9 bar", "coil": "open"},
  "steps": [
    {"step": "look-at-plug", "findings": {"plug-looks-bad": "no"}},
    {"step": "swap-plug", "run": "same", "put_back": true},
    {"skip": "test-spark", "why": "no tester"},
    {"skip": "wont-start"},
    {"step": "measure-coil", "readings": {"coil": "10.6 kohm"}},
    {"off": ["tank", "seat"], "note": "hose looks fine"},
    {"off": []},
    {"step": "clean-jet", "put_back": false},
    {"run": "better"},
    {"run": "gone"}
  ]
})";

// ---- Good case files

TEST(CaseFile, ReadsEveryFeature) {
  const Case c = parse(kEverything);
  EXPECT_EQ(c.bike.name, "Blue 110");
  EXPECT_EQ(c.bike.bike_class, "mini-four-stroke");
  EXPECT_EQ(Traits(c.bike.traits).ids(), (std::vector<std::string>{"carburettor", "four-stroke", "kick-start"}));
  EXPECT_EQ(c.bike.displacement_cc, 124.5);
  EXPECT_TRUE(c.bike.hours_known);
  EXPECT_EQ(c.bike.hours, 88.5);
  EXPECT_EQ(c.bike.renewed_h, (std::map<std::string, double>{{"piston", 12.5}, {"plug", 80}}));
  ASSERT_EQ(c.bike.figures.size(), 2U);
  const Figure compression = c.bike.figures.at("compression"), coil = c.bike.figures.at("coil");
  EXPECT_EQ(compression.low, 6.2);
  EXPECT_EQ(compression.high, 7.6);
  EXPECT_EQ(compression.unit, "bar");
  EXPECT_FALSE(compression.baseline);
  EXPECT_EQ(coil.low, 11);
  EXPECT_EQ(coil.high, 11);
  EXPECT_TRUE(coil.baseline);
  EXPECT_EQ(c.bike.access_min, (std::map<std::string, std::pair<double, double>>{{"tank", {9, 11.5}}}));
  EXPECT_EQ(c.complaint, "bogs up top, \"never\" when cold");
  EXPECT_EQ(c.shop.money_per_hour, 48);
  EXPECT_EQ(c.shop.currency, "crowns");
  EXPECT_EQ(c.shop.lacks, std::set<std::string>{"gauge"});
  EXPECT_EQ(in_log(c.entries), R"(context {"context":"new-plug","so":false}
context {"context":"stood","so":true}
answered {"answer":"yes","finding":"bogs-up-top"}
answered {"answer":"unsure","finding":"breaks-up"}
answered {"answer":"no","finding":"only-hot"}
measured {"open":true,"reading":"coil"}
measured {"reading":"compression","unit":"bar","value":6.9}
did {"step":"look-at-plug"}
answered {"answer":"no","finding":"plug-looks-bad"}
did {"step":"swap-plug"}
ran {"result":"same","step":""}
put-back {"step":"swap-plug"}
skipped {"step":"test-spark","why":"no tester"}
skipped {"step":"wont-start","why":""}
did {"step":"measure-coil"}
measured {"reading":"coil","unit":"kohm","value":10.6}
parts-off {"off":["tank","seat"]}
noted {"text":"hose looks fine"}
parts-off {"off":[]}
did {"step":"clean-jet"}
ran {"result":"better","step":""}
ran {"result":"gone","step":""}
)");
  const Diagnosis d = judge(small_knowledge(), c);
  EXPECT_TRUE(d.left_out.empty());
  EXPECT_EQ(d.contexts, std::set<std::string>{"stood"});
  EXPECT_EQ(d.state.off, 0U);
  EXPECT_TRUE(d.state.last_run_clean);
}

TEST(CaseFile, NeedsOnlyABike) {
  const Case c = parse(two_stroke(""));
  EXPECT_EQ(c.bike.name, "the bike");
  EXPECT_EQ(c.bike.traits, small_knowledge().classes.find("mini-two-stroke")->traits);
  EXPECT_EQ(c.bike.displacement_cc, 85);
  EXPECT_FALSE(c.bike.hours_known);
  EXPECT_TRUE(c.entries.empty());
  EXPECT_EQ(c.shop.money_per_hour, ShopSettings().money_per_hour);
  EXPECT_EQ(judge(small_knowledge(), c).belief.contradiction, false);
}

TEST(CaseFile, ABikeMayBeGivenByEquipmentAlone) {
  const Case c = parse(R"({"crankwise_case": 1, "bike": {"with": ["two-stroke", "carburettor"]}})");
  EXPECT_EQ(c.bike.bike_class, "");
  EXPECT_EQ(c.bike.traits, (std::vector<std::string>{"two-stroke", "carburettor"}));
}

TEST(CaseFile, TakesUnitsAsPeopleWriteThem) {
  const char* const same[] = {"138 psi", "138psi", "138 PSI", "951.477 kPa", "9.51477 bar", "1.38e2 psi"};
  const double first = judge(two_stroke(R"("readings": {"compression": "138 psi"})")).verdicts.at(0).value;
  EXPECT_DOUBLE_EQ(first, 138);
  for (const char* words : same) {
    const Diagnosis d = judge(two_stroke(fmt::format(R"("readings": {{"compression": "{}"}})", words)));
    ASSERT_EQ(d.verdicts.size(), 1U) << words;
    EXPECT_NEAR(d.verdicts[0].value, 138, 1e-4) << words;
    EXPECT_EQ(d.verdicts[0].finding, "compression-low");
  }
}

TEST(CaseFile, OpenCircuitIsNotAValue) {
  const Diagnosis open = judge(two_stroke(R"("readings": {"coil": "open"})"));
  ASSERT_EQ(open.verdicts.size(), 1U);
  EXPECT_TRUE(open.verdicts[0].open);
  EXPECT_EQ(open.verdicts[0].finding, "coil-is-open");
  EXPECT_GT(open.verdicts[0].ratio, 10);
  const Diagnosis whole = judge(two_stroke(R"("readings": {"coil": "0.1 kohm"})"));
  EXPECT_LT(whole.verdicts.at(0).ratio, 0.1);
}

TEST(CaseFile, TheBikesOwnFigureIsTheYardstick) {
  const auto words = [](const std::string& figures) {
    return judge(two_stroke_with(figures, R"("readings": {"compression": "100 psi"})")).verdicts.at(0);
  };
  EXPECT_EQ(words("\"hours\": 3").yardstick, "usual for its kind (common practice)");
  const auto handbook = words(R"("figures": {"compression": {"low": 95, "high": 105, "unit": "psi"}})");
  EXPECT_EQ(handbook.yardstick, "handbook");
  EXPECT_LT(handbook.ratio, 0.5);
  const auto baseline = words(R"("figures": {"compression": {"value": 170, "unit": "psi", "baseline": true}})");
  EXPECT_EQ(baseline.yardstick, "own baseline");
  EXPECT_GT(baseline.ratio, 5);
}

TEST(CaseFile, HoursAndRenewalsMoveThePriors) {
  const auto worn = [](const std::string& fields) {
    const Diagnosis d = judge(two_stroke_with(fields));
    return d.belief.there_at_start()[static_cast<size_t>(d.bike().fault("plug-worn"))];
  };
  const double unknown = worn("\"name\": \"x\"");
  const double fresh = worn(R"("hours": 60, "renewed_h": {"plug": 60})");
  const double old = worn(R"("hours": 60, "renewed_h": {"plug": 0})");
  EXPECT_LT(fresh, unknown);
  EXPECT_GT(old, unknown);
}

/// Entries whose order in the file is free, in a random order.
std::string shuffled(const std::vector<std::string>& members, std::mt19937& random) {
  std::vector<std::string> order = members;
  std::shuffle(order.begin(), order.end(), random);
  return fmt::format("{{{}}}", fmt::join(order, ", "));
}

TEST(CaseFile, OrderInTheFileDoesNotMatter) {
  std::mt19937 random(1);
  std::vector<double> first;
  for (int round = 0; round < 20; ++round) {
    const std::string findings =
        shuffled({R"("bogs-up-top": "yes")", R"("only-hot": "unsure")", R"("plug-looks-bad": "no")",
                  R"("breaks-up": "no")", R"("spark-weak": "no")", R"("reed-chip-seen": "yes")"},
                 random);
    const std::string readings =
        shuffled({R"("compression": "131 psi")", R"("reed-gap": "0.5 mm")", R"("coil": "open")"}, random);
    const std::string context = shuffled({R"("stood": true)", R"("new-plug": true)"}, random);
    const std::string text =
        shuffled({R"("crankwise_case": 1)", R"("bike": {"class": "mini-two-stroke"})", "\"findings\": " + findings,
                  "\"readings\": " + readings, "\"context\": " + context},
                 random);
    const std::vector<double> now = judge(text).belief.still_there();
    if (first.empty()) first = now;
    EXPECT_EQ(now, first) << text;
  }
}

TEST(CaseFile, OrderOfAnswersBetweenStepsDoesNotMatter) {
  std::vector<std::string> steps{
      R"({"findings": {"bogs-up-top": "yes"}})",
      R"({"step": "look-at-plug", "findings": {"plug-looks-bad": "no"}})",
      R"({"readings": {"compression": "131 psi"}})",
      R"({"findings": {"breaks-up": "unsure"}})",
      R"({"step": "look-at-reeds", "readings": {"reed-gap": "0.5 mm"}, "findings": {"reed-chip-seen": "no"}})",
      R"({"note": "nothing"})"};
  std::mt19937 random(2);
  std::vector<double> first;
  for (int round = 0; round < 20; ++round) {
    std::shuffle(steps.begin(), steps.end(), random);
    const std::vector<double> now =
        judge(two_stroke(fmt::format("\"steps\": [{}]", fmt::join(steps, ", ")))).belief.still_there();
    if (first.empty()) first = now;
    for (size_t f = 0; f < now.size(); ++f) ASSERT_NEAR(now[f], first[f], 1e-7);  // the table is of floats
  }
}

TEST(CaseFile, ARepairIsRemembered) {
  // The order of a repair and a look does matter: the jet was dirty before it was cleaned.
  const auto jet = [](const std::string& steps) {
    const Diagnosis d = judge(two_stroke("\"findings\": {\"bogs-up-top\": \"yes\"},\n\"steps\": [" + steps + "]"));
    return d.belief.still_there()[static_cast<size_t>(d.bike().fault("main-jet-blocked"))];
  };
  const double dirty = jet(R"({"findings": {"jet-dirty": "yes"}})");
  const double cleaned = jet(R"({"findings": {"jet-dirty": "yes"}}, {"step": "clean-jet"})");
  const double failed = jet(R"({"findings": {"jet-dirty": "yes"}}, {"step": "clean-jet", "run": "same"})");
  const double dirty_again = jet(R"({"step": "clean-jet"}, {"findings": {"jet-dirty": "yes"}})");
  EXPECT_GT(dirty, 0.8);
  EXPECT_LT(cleaned, 0.2);
  EXPECT_GT(failed, cleaned);
  EXPECT_GT(dirty_again, cleaned);
}

// ---- A job in a shop is judged like a case

class Ticking {
 public:
  std::string operator()() {
    ++count_;
    return fmt::format("2026-03-01T08:{:02}:{:02}.000Z", count_ / 60 % 60, count_ % 60);
  }

 private:
  int count_ = 0;
};

void expect_same(const Diagnosis& a, const Diagnosis& b) {
  EXPECT_EQ(a.belief.still_there(), b.belief.still_there());
  EXPECT_EQ(a.belief.there_at_start(), b.belief.there_at_start());
  EXPECT_EQ(a.belief.left_out(), b.belief.left_out());
  EXPECT_EQ(a.advice.doubt, b.advice.doubt);
  EXPECT_EQ(a.advice.proven, b.advice.proven);
  EXPECT_EQ(a.state.off, b.state.off);
  ASSERT_EQ(a.advice.options.size(), b.advice.options.size());
  for (size_t i = 0; i < a.advice.options.size(); ++i) {
    EXPECT_EQ(a.advice.options[i].step, b.advice.options[i].step);
    EXPECT_EQ(a.advice.options[i].value, b.advice.options[i].value);
  }
}

/// The case entered into a new shop in a few acts.
Diagnosis in_a_shop(const Knowledge& k, const Case& c) {
  Shop shop(k, Store::in_memory(), Ticking());
  shop.set(c.shop);
  const int job = shop.take_in(shop.add_bike(c.bike), c.complaint.empty() ? "it does not run right" : c.complaint);
  for (size_t from = 0; from < c.entries.size(); from += 3) {
    const auto at = c.entries.begin() + static_cast<std::ptrdiff_t>(from);
    shop.write(job, {at, at + std::min<std::ptrdiff_t>(3, c.entries.end() - at)});
  }
  return shop.diagnosis(job);
}

TEST(CaseFile, IsJudgedLikeTheSameJobInAShop) {
  for (const std::string& text :
       {std::string(kEverything), two_stroke(""),
        two_stroke(R"("findings": {"bogs-up-top": "yes"}, "steps": [{"step": "swap-plug", "run": "gone"}])")}) {
    const Case c = parse(text);
    expect_same(judge(small_knowledge(), c), in_a_shop(small_knowledge(), c));
  }
}

const Knowledge& real_knowledge() {
  static const Knowledge kKnowledge = load_knowledge(CRANKWISE_SOURCE_DIR "/knowledge");
  return kKnowledge;
}

/// A random case on a class of the real knowledge: all kinds of entries that apply to the bike.
Json random_case(const BikeClass& c, std::mt19937& random) {
  const Knowledge& k = real_knowledge();
  const Traits traits(c.traits);
  const auto chance = [&](double p) { return std::bernoulli_distribution(p)(random); };
  const auto some = [&](const auto& shelf, size_t count) {
    std::vector<std::string> ids;
    for (const auto& x : shelf) {
      if (x.applies.holds(traits)) ids.push_back(x.id);
    }
    std::shuffle(ids.begin(), ids.end(), random);
    ids.resize(std::min(ids.size(), count));
    return ids;
  };
  const char* const answers[] = {"yes", "no", "no", "unsure"};
  Json j{{"crankwise_case", 1}, {"bike", {{"class", c.id}, {"hours", 40 + static_cast<int>(random() % 100)}}}};
  for (const Context& x : k.contexts) {
    if (chance(0.15)) j["context"][x.id] = chance(0.7);
  }
  for (const auto& id : some(k.findings, 6)) j["findings"][id] = answers[random() % 4];
  for (const auto& id : some(k.readings, 2)) {
    const Reading& r = *k.readings.find(id);
    const double middle = r.ranges.empty() ? 1 : (r.ranges[0].low + r.ranges[0].high) / 2;
    j["readings"][id] =
        chance(0.2) ? "open"
                    : fmt::format("{:.3f} {}", middle * std::uniform_real_distribution(0.4, 1.6)(random), r.unit);
  }
  j["steps"] = Json::array();
  for (const auto& id : some(k.steps, 5)) {
    const Step& s = *k.steps.find(id);
    if (s.kind == StepKind::run || s.last_resort) continue;
    Json step{{"step", id}};
    for (const auto& f : s.answers) {
      if (k.findings.find(f)->applies.holds(traits) && chance(0.8)) step["findings"][f] = answers[random() % 4];
    }
    if (!s.cures.empty() && chance(0.8)) step["run"] = chance(0.7) ? "same" : chance(0.5) ? "better" : "gone";
    if (s.kind == StepKind::swap && chance(0.5)) step["put_back"] = true;
    j["steps"].push_back(std::move(step));
    if (chance(0.2)) j["steps"].push_back({{"skip", some(k.steps, 1).at(0)}, {"why", "no tool"}});
    if (chance(0.2)) j["steps"].push_back({{"off", some(k.parts, 3)}});
  }
  return j;
}

TEST(CaseFile, EveryKindOfBikeIsJudgedLikeTheSameJobInAShop) {
  std::mt19937 random(7);
  for (const BikeClass& c : real_knowledge().classes) {
    const std::string text = random_case(c, random).dump(1);
    SCOPED_TRACE(text);
    const Case read = parse_case(real_knowledge(), text, "case.json");
    const Diagnosis d = judge(real_knowledge(), read);
    EXPECT_TRUE(d.left_out.empty());
    double most = 0;
    for (double p : d.belief.still_there()) {
      EXPECT_TRUE(p >= 0 && p <= 1) << p;
      most = std::max(most, p);
    }
    EXPECT_GT(most, 0);
    expect_same(d, in_a_shop(real_knowledge(), read));
  }
}

// ---- Bad case files

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
    says = refusal(GetParam().text);
  } catch (const std::exception& e) {
    FAIL() << "not a BadInput: " << e.what() << "\nfor\n" << GetParam().text;
  }
  EXPECT_EQ(says, GetParam().says) << "for\n" << GetParam().text;
}

const std::string kFields = "crankwise_case, bike, complaint, context, findings, readings, steps, shop";

const Bad kBad[] = {
    // Not a case file at all
    {"Empty", "",
     "case.json:1: is not JSON: syntax error while parsing value - unexpected end of input; expected '[', '{', or a "
     "literal; right would be: valid JSON"},
    {"CutShort", "{\"crankwise_case\": 1,\n\"bike\": {\"class\": \"mini-two-stroke\"\n",
     "case.json:3: is not JSON: syntax error while parsing object - unexpected end of input; expected '}'; right would "
     "be: valid JSON"},
    {"NotJson", "{\"crankwise_case\": 1,\n\"bike\": mini}",
     "case.json:2: is not JSON: syntax error while parsing value - invalid literal; last read: '\"bike\": m'; right "
     "would "
     "be: valid JSON"},
    {"LineBreakInText", "{\"crankwise_case\": 1,\n\"complaint\": \"bogs\nup top\"}",
     "case.json:2: is not JSON: syntax error while parsing value - invalid string: control character U+000A (LF) must "
     "be "
     "escaped to \\u000A or \\n; last read: '\"bogs<U+000A>'; right would be: valid JSON"},
    {"NotUtf8", "{\"crankwise_case\": 1,\n\"complaint\": \"h\xe4ngt\"}",
     "case.json:2: is not JSON: syntax error while parsing value - invalid string: ill-formed UTF-8 byte; last read: "
     "'\"h\xe4n'; right would be: valid JSON"},
    {"TrailingComma", "{\"crankwise_case\": 1,\n\"findings\": {\"bogs-up-top\": \"yes\",\n}}",
     "case.json:3: is not JSON: syntax error while parsing object key - unexpected '}'; expected string literal; right "
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
  const std::string says = refusal(GetParam().text);
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
    ASSERT_NO_THROW(says = refusal(text)) << text;
    EXPECT_NE(says.find("case.json:"), std::string::npos) << text;
  }
}

TEST(CaseFile, NothingMayFollowAZeroByte) {
  EXPECT_EQ(refusal(std::string("{}\n\0{\"\x9e\": 1}", 12)),
            "case.json:2: is not JSON: it holds a zero byte; right would be: valid JSON");
}

TEST(CaseFile, DeepNestingIsRefusedNotFollowed) {
  const std::string deep(200000, '['), shut(200000, ']');
  EXPECT_NE(refusal(deep).find("is not JSON"), std::string::npos);
  EXPECT_EQ(refusal(deep + shut), "case.json: is not an object; right would be: { ... }");
  EXPECT_EQ(refusal(two_stroke("\"complaint\": " + deep + shut)),
            "case.json:3: complaint: is not a text; right would be: a text in quotes");
  std::string objects, ends;
  for (int i = 0; i < 100000; ++i) objects += "{\"step\":", ends += "}";
  EXPECT_EQ(refusal(two_stroke("\"steps\": [" + objects + "1" + ends + "]")),
            "case.json:3: steps[1].step: is not a text; right would be: a text in quotes\n"
            "case.json:3: steps[1].step: no step is called \"\"; right would be: crankwise list steps");
}

TEST(CaseFile, TheSameStepTwiceIsNotAMistake) {
  EXPECT_EQ(refusal(two_stroke(
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
  EXPECT_EQ(refusal(real_knowledge(), R"({"crankwise_case": 1, "bike": {"class": "motocross-125-twostroke"}})"),
            "case.json:1: bike.class: no class is called \"motocross-125-twostroke\"; right would be: perhaps "
            "\"motocross-125-two-stroke\"");
}

}  // namespace
}  // namespace crankwise
