// Engines as text: what comes out in SI, overlays, and every message in full.
#include "edge/engine_file.h"

#include <gtest/gtest.h>

#include <toml++/toml.h>
#include <algorithm>
#include <filesystem>
#include <numbers>

#include "tests/real_knowledge.h"
#include "tests/refusal.h"
#include "tests/temporary_folder.h"

namespace crankwise {
namespace {

constexpr double kDeg = std::numbers::pi / 180;

std::string file_of(const std::string& id) { return CRANKWISE_SOURCE_DIR "/knowledge/engines/" + id + ".toml"; }

std::string text_of(const std::string& id) { return test::read_file(file_of(id)); }

/// The 125, or the 250 four-stroke, under a short name, with these fields laid over from `mine.toml`.
EngineFile with(const std::string& over, const std::string& id = "motocross-125-two-stroke") {
  return parse_engine({"base.toml", text_of(id)}, {"mine.toml", over});
}
std::string refused(const std::string& over) {
  return test::refusal([&] { with(over); });
}
std::string refused_four(const std::string& over) {
  return test::refusal([&] { with(over, "motocross-250-four-stroke-injection"); });
}

TEST(EngineFile, FiguresComeInSi) {
  const EngineFile e = with(R"(
engine.class = ["motocross-125-two-stroke", "mini-85-two-stroke"]
crank.bore = "2.126 in"
air-box.volume = "8000 cc"
burn.spark = [["3000 rpm", "24 deg"], ["12000 rpm", "-3 deg"]]
reed.lift_at_10_kpa = "7 mm"
walls.head = "200 degC"
friction.at_10_m_s = "0.5 bar"
friction.squared_at_10_m_s = "4 kPa"
carburettor.main_jet = "2 mm"
carburettor.discharge = 0.5
throttle.open = "50 %"
fuel.supply = "600 mL/min"
fuel.density = "750 kg/m3"
)");
  EXPECT_EQ(e.classes, (std::vector<std::string>{"motocross-125-two-stroke", "mini-85-two-stroke"}));
  const engine::Design& d = e.design;
  EXPECT_NEAR(d.train.bore_m, 0.054, 1e-5);
  EXPECT_NEAR(d.box.volume_m3, 0.008, 1e-12);
  EXPECT_NEAR(d.burn.spark_rad.at(12000), -3 * kDeg, 1e-12);
  EXPECT_NEAR(d.burn.spark_rad.at(7500), 10.5 * kDeg, 1e-12);  // halfway
  EXPECT_NEAR(d.two.reed.lift_m_pa, 0.7e-6, 1e-15);
  EXPECT_NEAR(d.walls.head_k, 473.15, 1e-9);
  EXPECT_NEAR(d.friction.by_speed_pa_s_m * 10, 50e3, 1e-6);
  EXPECT_NEAR(d.friction.by_speed2_pa_s2_m2 * 100, 4e3, 1e-6);
  EXPECT_NEAR(d.mixture.jets.main_m2, 0.5 * std::numbers::pi / 4 * 4e-6, 1e-15);
  EXPECT_NEAR(d.throttle.open, 0.5, 1e-12);
  EXPECT_NEAR(d.mixture.supply_kg_s, 0.0075, 1e-12);  // 10 mL/s
}

TEST(EngineFile, ARatioIsOfTheWholeStrokeOrOfWhatIsTrapped) {
  const auto clearance = [](const std::string& head) { return with("[head]\n" + head).design; };
  const engine::Design full = clearance("ratio = 11\nratio_of = \"full\"");
  EXPECT_NEAR(full.clearance_m3, displacement_m3(full.train.bore_m, full.train.stroke_m) / 10, 1e-12);
  const engine::Design trapped = clearance("ratio = 8\nratio_of = \"trapped\"");
  EXPECT_NEAR(compression_ratios(trapped.train, trapped.clearance_m3, trapped.two.exhaust_port.opens_rad).trapped, 8,
              1e-9);
}

TEST(EngineFile, AnOverlayReplacesWhatItNamesAndNothingElse) {
  const engine::Design plain = with("").design;
  const engine::Design longer = with("exhaust.2.length = \"310 mm\"").design;
  ASSERT_EQ(longer.exhaust.size(), plain.exhaust.size());
  for (size_t i = 0; i < plain.exhaust.size(); ++i) {
    EXPECT_EQ(longer.exhaust[i].length_m, i == 1 ? 0.310 : plain.exhaust[i].length_m);
    EXPECT_EQ(longer.exhaust[i].from_m, plain.exhaust[i].from_m);
  }
  EXPECT_EQ(longer.two.reed.window_m2, plain.two.reed.window_m2);
  const engine::Design straight = with(R"(
[[exhaust]]
length = "0.6 m"
from = "38 mm"
to = "40 mm"
wall = "300 degC"
[walls]
case = "90 degC"
)")
                                      .design;
  EXPECT_EQ(straight.exhaust.size(), 1U);
  EXPECT_NEAR(straight.walls.case_k, 363.15, 1e-9);
  EXPECT_EQ(straight.walls.head_k, engine::Walls{}.head_k);
}

using EngineFileOnDisk = test::TemporaryFolder;

TEST_F(EngineFileOnDisk, IsReadWithItsOverlay) {
  const std::filesystem::path over = dir_ / "mine.toml";
  test::write_file(over, "crank.rod = \"110 mm\"\n");
  const std::string base = file_of("motocross-125-two-stroke");
  EXPECT_EQ(load_engine(base, over).train.rod_m, 0.110);
  EXPECT_EQ(load_engine(base).train.rod_m, 0.105);
  EXPECT_NE(test::refusal([&] { load_engine(dir_ / "none.toml"); }).find("none.toml: "), std::string::npos);
}

TEST(EngineFile, MessagesOfSingleFields) {
  EXPECT_EQ(refused("crank.bore = \"-54 mm\""),
            "mine.toml:1: crank.bore: \"-54 mm\" is out of range; right would be: from 20 mm to 200 mm, in quotes");
  EXPECT_EQ(
      refused("crank.bore = 54"),
      "mine.toml:1: crank.bore: is not a text with number and unit; right would be: from 20 mm to 200 mm, in quotes");
  EXPECT_EQ(
      refused("\ncrank.bore = \"54\""),
      "mine.toml:2: crank.bore: \"54\" is not a number with a unit; right would be: from 20 mm to 200 mm, in quotes");
  EXPECT_EQ(
      refused("exhaust-port.opens = \"30 mm\""),
      "mine.toml:1: exhaust-port.opens: \"30 mm\" does not go with deg; right would be: from -360 deg to 360 deg, in "
      "quotes");
  EXPECT_EQ(refused("exhaust.3.length = \"0 mm\""),
            "mine.toml:1: exhaust.3.length: \"0 mm\" is out of range; right would be: from 2 mm to 3000 mm, in quotes");
  EXPECT_EQ(
      refused("crankcase.volume = \"-1 mL\""),
      "mine.toml:1: crankcase.volume: \"-1 mL\" is out of range; right would be: from 20 mL to 3000 mL, in quotes");
  EXPECT_EQ(refused("exhaust.12.length = \"20 mm\""),
            "mine.toml:1: exhaust.12: is not a stretch of this engine; right would be: exhaust.1 to exhaust.8");
  EXPECT_EQ(refused("exhaust.2.lenght = \"310 mm\""),
            "mine.toml:1: exhaust.2.lenght: is not a field here; right would be: perhaps \"length\"");
  EXPECT_EQ(refused("exhasut-port.opens = \"80 deg\""),
            "mine.toml:1: exhasut-port: is not a table here; right would be: perhaps \"exhaust-port\"");
  EXPECT_EQ(refused("inlet-valves.lift = \"9 mm\""),
            "mine.toml:1: inlet-valves: is not a table here; right would be: not of this engine: leave it out");
  EXPECT_EQ(refused("engine.cycle = \"five-stroke\""),
            "mine.toml:1: engine.cycle: \"five-stroke\" is not known; right would be: one of two-stroke, four-stroke");
  EXPECT_EQ(refused("crank = 3"), "mine.toml:1: crank: is not a table; right would be: [crank]");
  EXPECT_EQ(
      refused("burn.spark = [[\"3000 rpm\", \"24 deg\"]]"),
      "mine.toml:1: burn.spark: is not a list of two points or more; right would be: [[\"... rpm\", \"... deg\"], "
      "[\"... rpm\", \"... deg\"]], by rising rpm");
  EXPECT_EQ(
      refused("burn.spark = [[\"3000 rpm\", \"24 deg\"],\n[\"2000 rpm\", \"20 deg\"]]"),
      "mine.toml:2: burn.spark: does not rise in rpm; right would be: [[\"... rpm\", \"... deg\"], [\"... rpm\", \"... "
      "deg\"]], by rising rpm");
  EXPECT_EQ(refused("crank.bore = "),
            "mine.toml:1: Error while parsing key-value pair: encountered end-of-file; right would be: valid TOML");
}

TEST(EngineFile, WhatIsMissing) {
  EXPECT_EQ(test::refusal([] {
              parse_engine({"base.toml",
                            "[engine]\nname = \"x\"\nclass = \"y\"\ncycle = \"four-stroke\"\n"
                            "fuelling = \"ideal\"\nsource = \"invented\"\n[crank]\nbore = \"96 mm\"\n"
                            "stroke = \"62 mm\"\n"});
            }),
            "base.toml:7: crank.rod: is missing; right would be: from 5 mm to 400 mm, in quotes\n"
            "base.toml: air-box: is missing; right would be: [air-box]\n"
            "base.toml: runner: is missing; right would be: [[runner]], one for each stretch\n"
            "base.toml: throttle: is missing; right would be: [throttle]\n"
            "base.toml: throttle-body: is missing; right would be: [throttle-body]\n"
            "base.toml: inlet-port: is missing; right would be: [[inlet-port]], one for each stretch\n"
            "base.toml: inlet-valves: is missing; right would be: [inlet-valves]\n"
            "base.toml: exhaust-valves: is missing; right would be: [exhaust-valves]\n"
            "base.toml: head: is missing; right would be: [head]\n"
            "base.toml: exhaust: is missing; right would be: [[exhaust]], one for each stretch\n"
            "base.toml: burn: is missing; right would be: [burn]");
}

TEST(EngineFile, AllProblemsOfBothFilesAreTold) {
  EXPECT_EQ(
      refused("crank.bore = \"5 mm\"\nreed.stop = \"9 deg\"\ntransfer-port.opens = \"70 deg\"\n"
              "exhaust-port.opens = \"86 deg\""),
      "mine.toml:1: crank.bore: \"5 mm\" is out of range; right would be: from 20 mm to 200 mm, in quotes\n"
      "mine.toml:2: reed.stop: \"9 deg\" does not go with mm; right would be: from 0.5 mm to 40 mm, in quotes\n"
      "mine.toml:3: transfer-port.opens: is not later than the exhaust port; right would be: more than 86 deg after "
      "top dead centre");
}

TEST(EngineFile, WhatCannotBeInMetal) {
  EXPECT_EQ(refused("crank.rod = \"27 mm\""),
            "mine.toml:1: crank.rod: is not longer than half the stroke; right would be: more than 27.25 mm, between "
            "centres");
  EXPECT_EQ(refused("exhaust-port.opens = \"0 deg\""),
            "mine.toml:1: exhaust-port.opens: 0 deg is above the deck; right would be: after top dead centre, above 0 "
            "deg and "
            "below 180 deg");
  EXPECT_EQ(
      refused("transfer-port.opens = \"181 deg\""),
      "mine.toml:1: transfer-port.opens: 181 deg is below bottom dead centre; right would be: after top dead centre, "
      "above 0 deg and below 180 deg");
  EXPECT_EQ(refused("exhaust-valve.low_opens = \"80 deg\"\nexhaust-port.opens = \"86 deg\""),
            "mine.toml:1: exhaust-valve.low_opens: is not later than the port with the valve up; right would be: more "
            "than 86 "
            "deg after top dead centre");
  EXPECT_EQ(
      refused("exhaust-valve.up = \"6500 rpm\""),
      "mine.toml:1: exhaust-valve.up: is not faster than where it begins to rise; right would be: more than 6656 rpm");
  EXPECT_EQ(refused("burn.spark = [[\"3000 rpm\", \"24 deg\"], [\"12000 rpm\", \"-21 deg\"]]"),
            "mine.toml:1: burn.spark: comes 21 deg after top dead centre at 12000 rpm; right would be: before top dead "
            "centre, "
            "or 20 deg after it at most (-20 deg)");
  EXPECT_EQ(refused("exhaust.2.from = \"85 mm\""),
            "mine.toml:1: exhaust.2.from: does not meet the 35.36 mm of the stretch before; right would be: a step of "
            "4 in area "
            "at most: from 17.7 mm to 70.7 mm");
  EXPECT_EQ(refused("head.ratio = 8\nhead.clearance = \"9 mL\""),
            "mine.toml:2: head.clearance: and ratio are both there; right would be: one of the two\n"
            "mine.toml:1: head.ratio: is told without ratio_of; right would be: \"full\" (of the whole stroke) or "
            "\"trapped\" "
            "(from the closing of the exhaust port)");
  EXPECT_EQ(refused_four("head.ratio = 1"),
            "mine.toml:1: head.ratio: 1 is no compression; right would be: above 1; 6 to 9 trapped, 9 to 14 full");
  EXPECT_EQ(refused_four("inlet-valves.opens = \"160 deg\""),
            "mine.toml:1: inlet-valves.opens: 160 deg is at the wrong dead centre; right would be: before top dead "
            "centre, from "
            "-90 deg to 90 deg");
  EXPECT_EQ(refused_four("exhaust-valves.closes = \"-120 deg\""),
            "mine.toml:1: exhaust-valves.closes: -120 deg is at the wrong dead centre; right would be: after top dead "
            "centre, "
            "from -90 deg to 90 deg");
  EXPECT_EQ(refused_four("inlet-valves.opens = \"-60 deg\"\ninlet-valves.closes = \"-40 deg\""),
            "mine.toml:2: inlet-valves.closes: leaves the valve open for less than 90 deg; right would be: later");
  EXPECT_EQ(refused_four("inlet-valves.head = \"60 mm\""),
            "mine.toml:1: inlet-valves.head: is too large for the bore; right would be: 49 mm at most, for 2 valves in "
            "this bore");
}

TEST(EngineFile, EachOfTheKnowledgeFitsItsClass) {
  int files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(CRANKWISE_SOURCE_DIR "/knowledge/engines")) {
    const EngineFile e = read_engine(entry.path());
    ++files;
    EXPECT_EQ(e.classes, std::vector<std::string>{entry.path().stem().string()});
    for (const std::string& id : e.classes) {
      const BikeClass* of = real_knowledge().classes.find(id);
      ASSERT_NE(of, nullptr) << id;
      const auto has = [&](const char* trait) {
        return std::find(of->traits.begin(), of->traits.end(), trait) != of->traits.end();
      };
      const engine::Design& d = e.design;
      EXPECT_EQ(d.cycle == Cycle::two_stroke, has("two-stroke"));
      EXPECT_EQ(d.mixture.by == engine::Fuelling::carburettor, has("carburettor"));
      EXPECT_EQ(d.two.exhaust_valve.fitted, has("exhaust-valve"));
      EXPECT_NEAR(displacement_m3(d.train.bore_m, d.train.stroke_m) * 1e6, of->displacement_cc, 1) << id;
    }
  }
  EXPECT_EQ(files, 4);
}

TEST(EngineFile, TheFormatPageNamesWhatTheFilesUse) {
  const std::string page = test::read_file(CRANKWISE_SOURCE_DIR "/docs/engine-format.md");
  const auto named = [&](std::string_view word) {
    return page.find("`" + std::string(word) + "`") != std::string::npos;
  };
  for (const auto& entry : std::filesystem::directory_iterator(CRANKWISE_SOURCE_DIR "/knowledge/engines")) {
    const toml::table top = toml::parse_file(entry.path().string());
    for (const auto& [name, node] : top) {
      const bool list = node.is_array();
      EXPECT_TRUE(named(list ? "[[" + std::string(name.str()) + "]]" : "[" + std::string(name.str()) + "]")) << name;
      const toml::table& fields = list ? *node.as_array()->get(0)->as_table() : *node.as_table();
      for (const auto& [field, value] : fields) EXPECT_TRUE(named(field.str())) << name << "." << field;
    }
  }
}

}  // namespace
}  // namespace crankwise
