// Readings brought to what figures hold for, against rows of tables and worked examples.
#include <gtest/gtest.h>

#include "app/diagnosis.h"
#include "tests/calc_row.h"
#include "tests/reading_case.h"

namespace crankwise {
namespace {

constexpr double kPsi = 6.894757293168;  // kPa, NIST SP 811

TEST(Appraise, CompressionAtHeightAndOnAHose) {
  // Trapped ratio 7.867 with 9.0 cm3 of clearance reads as 6.150 through 3 cm3 of hose.
  const char* const ideal = "ideal gauge, p (r^n - 1)";
  Bike bike = two_stroke();
  bike.facts = {{"clearance", "9 cm3"}, {"trapped-ratio", "7.8667 :1"}};
  const double bare = 101.325 / kPsi * (std::pow(7.8667, 1.25) - 1), hose = 101.325 / kPsi * (std::pow(6.15, 1.25) - 1);
  check({
      {"7.6", corrected("compression", two_stroke(), "160.5 psi height=1500 m"), 192.3, rel(1e-3), ideal, kComputed},
      {"7.6", corrected("compression", two_stroke(), "133.1 psi height=3000 m"), 192.3, rel(1e-3), ideal, kComputed},
      {"7.6", corrected("compression", two_stroke(), "100 psi height=1500 m"), 100 / 0.8345, rel(1e-4), ideal,
       kComputed},
      {"7.6", corrected("compression", two_stroke(), "100 psi air-pressure=84.556 kPa"), 100 / 0.8345, rel(1e-4), ideal,
       kComputed},
      {"7.7", corrected("compression", bike, "100 psi hose=3 cm3"), 100 * bare / hose, rel(1e-3), ideal, kComputed},
      // A slow kick (n 1.20) brought to a usual one (1.25), ratio 7.5: 150.2 to 167.7 psi.
      {"7.2",
       corrected(
           "compression",
           [&] {
             Bike b = two_stroke();
             b.facts = {{"clearance", "9 cm3"}, {"trapped-ratio", "7.5 :1"}};
             return b;
           }(),
           "150.2 psi kick=slow"),
       167.7, rel(1e-3), ideal, kComputed},
  });
}

TEST(Appraise, LeakDownOnAnyTester) {
  const char* const orifices = "leak and tester as two orifices";
  check({
      // The same leak: 16 of 22 psi, and 18.75 % at 100 psi through the same tester.
      {"7.14b", judged("leak-down", two_stroke(), "16 psi tester-pressure=22 psi").value, 27.27, off(0.01),
       "published worked example", kRead},
      {"7.14c", corrected("leak-down", two_stroke(), "18.75 % tester-pressure=100 psi orifice=1.016 mm"),
       corrected("leak-down", two_stroke(), "27.27 % tester-pressure=22 psi orifice=1.016 mm"), rel(5e-3), orifices,
       kComputed},
      {"7.12", corrected("leak-down", two_stroke(), "60 psi tester-pressure=80 psi orifice=1.016 mm"), 25, rel(1e-6),
       orifices, kComputed},
  });
  const Appraised a = judged("leak-down", two_stroke(), "60 psi tester-pressure=80 psi orifice=1.016 mm");
  EXPECT_EQ(a.notes.at(0), "like one hole of 1.05 mm");  // row 7.12: 1.0453 mm
  // A smaller orifice makes more per cent of the same leak, so the same per cent is a smaller leak.
  EXPECT_LT(corrected("leak-down", two_stroke(), "20 % orifice=0.8 mm"), 20);
}

TEST(Appraise, CaseLeakWithoutItsCooling) {
  // Row 7.15: 5 K take 0.353 psi from 6 psi at 293 K; a tight case that cooled so much has lost nothing.
  const Appraised cooled = judged("crankcase-loss", two_stroke(),
                                  "2.43 kPa/min start=6 psi from-temperature=19.85 degC to-temperature=14.85 degC");
  EXPECT_LT(cooled.corrected, 0.02);
  const Appraised leaks = judged("crankcase-loss", two_stroke(), "2.43 kPa/min start=6 psi");
  EXPECT_GT(leaks.corrected, 2.2);
  // Row 7.17: 1 psi a minute out of 0.7 L at 6 psi is a hole of 0.078 mm.
  Bike bike = two_stroke();
  bike.facts = {{"volume", "700 cm3"}};
  const Appraised hole = judged("crankcase-loss", bike, "1 psi/min start=6 psi");
  EXPECT_EQ(hole.notes.at(0).substr(0, 25), "like one hole of 0.08 mm,");
}

TEST(Appraise, WindingsAtTheirTemperature) {
  const char* const rule = "234.5 rule (IEC 60028)";
  check({
      {"3.4", corrected("source-resistance", two_stroke(), "1180 ohm temperature=80 degC leads=0 ohm"), 954.9,
       rel(1e-4), rule, kComputed},
      {"3.2", corrected("pick-up-resistance", two_stroke(), "111.79 ohm temperature=50 degC leads=0 ohm"), 100,
       rel(1e-4), "published worked example, 0.1 ohm and 0.11179 at 50 C", kRead},
      {"3.3", corrected("pick-up-resistance", two_stroke(), "92.141 ohm temperature=0 degC leads=0 ohm"), 100,
       rel(1e-5), rule, kComputed},
      {"3.3", corrected("pick-up-resistance", two_stroke(), "123.576 ohm temperature=80 degC leads=0 ohm"), 100,
       rel(1e-5), rule, kComputed},
  });
  // Row 3.7: 0.8 % and two digits of 0.1 ohm are 0.208 on 1.0 ohm; taken as two standard deviations.
  const Appraised one = judged("injector-ohm", injected(), "1 ohm leads=0 ohm temperature=20 degC");
  EXPECT_NEAR(one.spread.condition, std::hypot(0.208 / 2, 0.2 / 2), 1e-6);
  // Row 3.8: leads take 0.1 to 0.5 ohm; where they were not told a small winding proves nothing.
  const Appraised small = judged("coil-primary", four_stroke(), "0.3 ohm");
  EXPECT_GT(small.spread.condition, 0.5);
}

TEST(Appraise, SensorsByTheirTable) {
  const char* const table = "openly published service table, 10 k type";
  Bike bike = injected();
  bike.tables["air-sensor"] = {{273.15, 32650}, {283.15, 19900}, {293.15, 12490}, {298.15, 10000}, {303.15, 8057},
                               {313.15, 5327},  {323.15, 3603},  {333.15, 2488},  {343.15, 1752},  {353.15, 1258}};
  check({
      {"3.9", corrected("air-sensor", bike, "3603 ohm temperature=50 degC"), 12490, rel(1e-6), table, kRead},
      {"3.9", corrected("air-sensor", bike, "32.65 kohm temperature=0 degC"), 12490, rel(1e-6), table, kRead},
      {"3.9", corrected("air-sensor", bike, "1258 ohm temperature=80 degC"), 12490, rel(1e-6), table, kRead},
      {"3.15", corrected("throttle-sensor-closed", bike, "0.551 V supply=4.75 V"), 0.58, off(1e-3),
       "factory worked example", kRead},
      {"3.15", corrected("throttle-sensor-closed", bike, "0.589 V supply=4.75 V"), 0.62, off(1e-3),
       "factory worked example", kRead},
  });
  const Appraised a = judged("air-sensor", bike, "3603 ohm temperature=50 degC");
  ASSERT_TRUE(a.held_against);
  EXPECT_EQ(a.held_against->words, "its own table");
  EXPECT_LT(a.weights.at(0).ratio(), 1);
  // Row 3.13 (factory): about 2.58 kohm at 20 C on an injected 250; well within the class table.
  EXPECT_LT(ratio_for(judged("coolant-sensor", injected(), "2.58 kohm temperature=20 degC"), "coolant-sensor-off"), 1);
  // No table: away from 20 C it can hardly say anything, and says why.
  const Appraised blind = judged("air-sensor", injected(), "3603 ohm temperature=50 degC");
  EXPECT_GT(blind.spread.condition, 1);
}

TEST(Appraise, FlowAgainstWhatTheEngineBurns) {
  Bike bike = two_stroke();
  bike.facts = {{"power", "30 kW"}};
  // Row 8.1 has 335.6 mL/min with 0.50 kg/kWh; here 0.55, the middle of what racing two-strokes burn (from memory).
  const Appraised a = judged("tap-flow", bike, "600 mL/min");
  ASSERT_TRUE(a.held_against);
  EXPECT_EQ(a.held_against->from, FigureFrom::worked);
  EXPECT_NEAR(a.held_against->low, 1.5 * 335.6 * 0.55 / 0.50, 1);
  check({
      // Row 8.4: flow goes with the root of the head, 504 mL/min at 0.20 m are 356 at 0.10 m.
      {"8.4",
       [] {
         Bike b = two_stroke();
         b.facts = {{"least-head", "100 mm"}, {"power", "30 kW"}};
         return corrected("tap-flow", b, "504 mL/min head=200 mm");
       }(),
       356, rel(2e-3), "Cd A sqrt(2 g h)", kComputed},
      {"8.3", corrected("pump-delivery", injected(), "89 mL seconds=10 s outlet=under-pressure"), 89, rel(1e-9),
       "factory service data: mL in 10 s", kRead},
  });
  // Row 8.7: a shut tank with 2 L of air stops after 29.3 mL under 0.20 m of fuel.
  const Appraised vent = judged("vent-draw", two_stroke(), "31 mL air-space=2 L head=200 mm");
  ASSERT_TRUE(vent.held_against);
  EXPECT_EQ(vent.held_against->words, "a shut tank would stop after 29 mL");
  EXPECT_GT(ratio_for(vent, "flow-fades-cap-shut"), 3);
}

TEST(Appraise, TimingInDegrees) {
  // 2 mm before top dead centre on 54.5 mm of stroke and 105 mm of rod: plain geometry (core/calc/geometry.h has it
  // from a published table); here only that degrees and millimetres are one.
  Bike bike = two_stroke();
  bike.facts = {{"stroke", "54.5 mm"}, {"rod", "105 mm"}};
  bike.figures["timing-btdc"] = {2, 2, "mm", false};
  const Appraised mm = judged("timing-btdc", bike, "2 mm");
  ASSERT_FALSE(mm.notes.empty());
  const double degrees = std::stod(mm.notes[0].substr(mm.notes[0].find(" is ") + 4));
  EXPECT_NEAR(judged("timing-btdc", bike, std::to_string(degrees) + " deg").value, 2, 0.01);
  EXPECT_THROW(judged("timing-btdc", two_stroke(), "18 deg"), BadInput);
}

TEST(Appraise, JetsByTheAirTheyRanRightIn) {
  // Between sea level and 3000 m the area of every jet falls by the root of the density: 0.9093/1.2250 (ISO 2533).
  Bike bike = two_stroke();
  bike.figures["main-jet-size"] = {175, 175, "number", true, {{"height", "0 m"}, {"temperature", "15 degC"}}};
  const double today = 175 * std::pow(0.9093 / 1.2250, 0.25);  // a hole's number goes with the root of its area
  const Appraised a =
      judged("main-jet-size", bike, std::to_string(today) + " number height=3000 m temperature=-4.5 degC");
  EXPECT_NEAR(a.corrected, 175, 0.05);
  EXPECT_LT(ratio_for(a, "main-jet-large"), 0.3);
  // The jet of the coast left in up there is too large.
  EXPECT_GT(
      ratio_for(judged("main-jet-size", bike, "175 number height=3000 m temperature=-4.5 degC"), "main-jet-large"), 3);
}

TEST(Appraise, AValveThatClosesUpAgain) {
  // More than 0.10 mm in all, or closing again after a shim: the face is going; common practice.
  const auto before = [](const char* mm, double hours) {
    return PastReading{took_from_words("valve-clearance-inlet", mm), hours, false};
  };
  const Appraised fresh = judged("valve-clearance-inlet", four_stroke(), "0.11 mm", {before("0.12 mm", 20)});
  EXPECT_LT(ratio_for(fresh, "inlet-shims-moved-far"), 1);
  const Appraised gone = judged("valve-clearance-inlet", four_stroke(), "0.06 mm",
                                {before("0.13 mm", 20), before("0.07 mm", 31), before("0.13 mm", 31)});
  EXPECT_GT(ratio_for(gone, "inlet-shims-moved-far"), 3);
  EXPECT_EQ(gone.notes.at(0), "0.13 (20 h), 0.07 (31 h), 0.13 (31 h), 0.06 now mm: it has closed up 0.13 mm in all");
  EXPECT_EQ(gone.notes.at(1), "so much means that face or seat is going: do not shim again");
  // A feeler's slip is no trend, and a warm engine's clearance no part of it.
  EXPECT_LT(ratio_for(judged("valve-clearance-inlet", four_stroke(), "0.12 mm", {before("0.13 mm", 20)}),
                      "inlet-shims-moved-far"),
            1);
  EXPECT_EQ(
      judged("valve-clearance-inlet", four_stroke(), "0.03 mm engine=warm", {before("0.13 mm", 20)}).weights.size(),
      2u);
}

TEST(Appraise, OilThatLiftsTheCompression) {
  const PastReading dry{took_from_words("compression", "110 psi"), -1, true};
  const char* const finding = "compression-rises-with-oil";
  const Appraised rises = judged("compression", two_stroke(), "140 psi oil=wet", {dry});
  EXPECT_GT(ratio_for(rises, finding), 5);
  EXPECT_EQ(rises.weights.size(), 1u);  // the wet one says nothing of the compression itself
  EXPECT_LT(ratio_for(judged("compression", two_stroke(), "112 psi oil=wet", {dry}), finding), 0.3);
  EXPECT_TRUE(judged("compression", two_stroke(), "140 psi oil=wet").weights.empty());
  const PastReading last_year{took_from_words("compression", "110 psi"), 12, false};
  EXPECT_TRUE(judged("compression", two_stroke(), "140 psi oil=wet", {last_year}).weights.empty());
}

TEST(Appraise, TheAgeOfFuelCountsOnce) {
  const auto stale = [](const std::vector<Entry>& entries) {
    const Diagnosis d = judge(real_knowledge(), two_stroke(), entries, {});
    return d.belief.still_there()[static_cast<size_t>(d.bike().fault("fuel-stale"))];
  };
  const Entry old = took_from_words("fuel-age", "90 days"), told = WasSo{"fuel-over-a-month", true};
  EXPECT_GT(stale({old}), 1.3 * stale({}));
  EXPECT_EQ(stale({told, old}), stale({told}));
}

TEST(Appraise, BatteriesByTheirSort) {
  Bike bike = injected();
  EXPECT_LT(ratio_for(judged("battery-rest", bike, "12.5 V"), "battery-rest-low"), 1);
  bike.facts = {{"battery", "lithium"}};
  EXPECT_GT(ratio_for(judged("battery-rest", bike, "12.5 V"), "battery-rest-low"), 2);
}

TEST(Appraise, ADecompressorChangesWhatIsUsual) {
  const Appraised at_work = judged("compression", four_stroke(), "80 psi");
  EXPECT_LT(ratio_for(at_work, "compression-low"), 1);
  EXPECT_GT(ratio_for(judged("compression", four_stroke(), "80 psi decompressor=out"), "compression-low"), 3);
}

TEST(Appraise, TheMixAndHowToPutItRight) {
  Bike bike = two_stroke();
  bike.figures["mix-ratio"] = {32, 32, ":1", false};
  const Appraised a = judged("mix-ratio", bike, "50 :1 can=5 L");
  // 5 L of 50:1 hold 98.0 mL of oil and 4902 mL of petrol, which wants 153.2 mL: 55 more (by hand).
  EXPECT_EQ(a.notes.at(0), "5 L of it comes to 32:1 with 55 mL of oil more");
}

TEST(Appraise, WhatSaysLessDoesNotPutOutWhatSaidMore) {
  const Knowledge& k = real_knowledge();
  const auto chance = [&](const Bike& bike, const std::vector<Entry>& entries, const char* fault) {
    const Diagnosis d = judge(k, bike, entries, {});
    return d.belief.still_there()[static_cast<size_t>(d.bike().fault(fault))];
  };
  const auto took = [](const char* id, const char* words) { return Entry{took_from_words(id, words)}; };
  const Entry hangs = SaidSo{"idle-hangs", Answer::yes}, idles = took("idle-speed", "1500 rpm");
  EXPECT_GT(chance(two_stroke(), {hangs, idles}, "crank-seal-ignition"),
            0.9 * chance(two_stroke(), {hangs}, "crank-seal-ignition"));
  const Entry tight = took("valve-clearance-inlet", "0.02 mm"),
              warm = took("valve-clearance-inlet", "0.13 mm engine=warm");
  EXPECT_GT(chance(four_stroke(), {tight, warm}, "inlet-clearance-tight"),
            0.9 * chance(four_stroke(), {tight}, "inlet-clearance-tight"));
  // The same reading taken anew counts instead, also where it says little either way.
  const Entry low = took("compression", "90 psi"), doubtful = took("compression", "128 psi");
  EXPECT_LT(chance(two_stroke(), {low, doubtful}, "rings-worn"), 0.7 * chance(two_stroke(), {low}, "rings-worn"));
  const Entry anew = took("valve-clearance-inlet", "0.13 mm");
  EXPECT_LT(chance(four_stroke(), {tight, anew}, "inlet-clearance-tight"),
            0.5 * chance(four_stroke(), {tight}, "inlet-clearance-tight"));
}

TEST(Appraise, FiguresTakenAnotherWayAreNotComparedWith) {
  Bike bike = four_stroke();
  bike.baselines["compression"] = {200, 200, "psi", true, {{"decompressor", "out"}}};
  const Appraised a = judged("compression", bike, "85 psi");
  EXPECT_FALSE(a.held_against);
  EXPECT_TRUE(a.weights.empty());
  EXPECT_EQ(a.not_compared, "its own figure was taken with another decompressor");
  // A baseline that nothing was told of was taken as the reading is.
  Bike leaky = two_stroke();
  leaky.baselines["leak-down"] = {8, 8, "%", true};
  EXPECT_NEAR(
      std::log(ratio_for(judged("leak-down", leaky, "8 % orifice=2 mm tester-pressure=100 psi"), "leak-down-high")),
      std::log(ratio_for(judged("leak-down", leaky, "8 %"), "leak-down-high")), 0.7);
}

TEST(Appraise, BaselineBeforeItsTableBeforeTheHandbook) {
  Bike bike = injected();
  bike.figures["coolant-sensor"] = {2.4, 2.6, "kohm", false};
  EXPECT_EQ(own_yardstick(reading("coolant-sensor"), bike)->words, "handbook");
  bike.tables["coolant-sensor"] = {{293.15, 2450}, {353.15, 320}};
  EXPECT_EQ(own_yardstick(reading("coolant-sensor"), bike)->words, "its own table");
  bike.baselines["coolant-sensor"] = {2.9, 2.9, "kohm", true};
  EXPECT_EQ(own_yardstick(reading("coolant-sensor"), bike)->words, "own baseline");
}

TEST(Appraise, WideRangesConvictOnlyBeyondTheirEnds) {
  for (const auto& [id, inside, beyond, finding] :
       {std::tuple("crankcase-loss", "5.9 kPa/min", "40 kPa/min", "crankcase-leaks"),
        {"source-resistance", "1 ohm leads=0 ohm", "50 kohm", "source-resistance-off"},
        {"source-resistance", "1000 ohm", "0 ohm leads=0 ohm", "source-resistance-off"},
        {"fuel-age", "25 days", "300 days", "fuel-old"},
        {"reed-gap", "0.25 mm", "3 mm", "reed-gap-wide"}}) {
    EXPECT_LT(ratio_for(judged(id, two_stroke(), inside), finding), 1.1) << id << " " << inside;
    EXPECT_GT(ratio_for(judged(id, two_stroke(), beyond), finding), 2.5) << id << " " << beyond;
  }
}

}  // namespace
}  // namespace crankwise
