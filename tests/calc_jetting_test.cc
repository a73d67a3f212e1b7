// Jets for today's air by physics and by the trade, needle, screw and circuits.
#include "core/calc/jetting.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/calc_row.h"

namespace crankwise {
namespace {

constexpr double kFoot = 0.3048;
constexpr auto kFlow = JetNumbering::flow, kDiameter = JetNumbering::diameter;

double celsius(double t) { return t + 273.15; }
double fahrenheit(double t) { return (t + 459.67) / 1.8; }

/// Dry air of standard pressure at this height.
JetDay dry_day(double feet, double temperature_k) {
  return {feet * kFoot, air_from_humidity(standard_air(feet * kFoot).pressure_pa, temperature_k, 0)};
}
JetDay standard_day(double feet) { return dry_day(feet, standard_air(feet * kFoot).temperature_k); }

const JetDay kValley = dry_day(1000, fahrenheit(70)), kPass = dry_day(8000, fahrenheit(60));

TEST(CalcJetting, FromTheValleyToThePass) {
  const char* gas = "ISO 2533 pressure and gas law";
  const char* root = "square and fourth root of the density ratio";
  const char* table = "published jetting table and its worked example";
  const double ratio = kPass.air.density_kg_m3 / kValley.air.density_kg_m3;
  const JetAdvice flow = jet_for_today({200, kFlow, 10}, kValley, kPass);
  const JetAdvice diameter = jet_for_today({200, kDiameter, 5}, kValley, kPass);
  check({{"9.1", ratio, 0.78503, rel(1e-4), gas, kComputed},
         {"9.1", jet_area_factor(kValley.air, kPass.air), 0.88602, rel(1e-4), gas, kComputed},
         {"9.2", flow.physical.number, 177.2, rel(1e-3), root, kComputed},
         {"9.2", diameter.physical.number, 188.3, rel(1e-3), root, kComputed},
         {"9.3", flow.trade.number, 162, off(1e-9), table, kRead},
         {"9.3", flow.trade.nearest, 160, off(1e-9), table, kRead},
         // "small-number jets 1 size each": seven down for the height, one up for the cold.
         {"9.3", diameter.trade.number, 200 - 6 * 5, off(1e-9), table, kRead}});
}

TEST(CalcJetting, TrapTwoRulesStayTwo) {  // T3: the trade asks for 19 % less where density supports 11 %
  const JetAdvice a = jet_for_today({200, kFlow, 10}, kValley, kPass);
  EXPECT_NEAR(a.trade.fuel_ratio, 0.81, 1e-9);
  EXPECT_NEAR(a.physical.fuel_ratio, 0.886, 1e-3);
  EXPECT_EQ(a.physical.nearest, 180);
  EXPECT_EQ(a.trade.nearest, 160);
  EXPECT_TRUE(has(a.flags, CalcFlag::jet_rules_differ));
  EXPECT_TRUE(has(a.flags, CalcFlag::large_jet_change));
  EXPECT_FALSE(has(a.flags, CalcFlag::trade_rule_scaled));
  EXPECT_FALSE(has(jet_for_today({200, kFlow, 10}, kValley, kValley).flags, CalcFlag::jet_rules_differ));
}

TEST(CalcJetting, MixtureIfNothingIsChanged) {
  struct Row {
    double feet, richer_percent;
    Within tolerance;
    double flow_jet;
  };
  const char* root = "square root of density, ISO 2533";
  for (const Row& r :
       {Row{1000, 1.48, rel(1e-3), 0.9854}, {3000, 4.53, rounded_to(0.01), 0.9566}, {5000, 7.73, rel(1e-3), 0.9283}}) {
    const JetAdvice a = jet_for_today({400, kFlow, 10}, standard_day(0), standard_day(r.feet));
    check({{"9.4", 100 * a.richer_if_left, r.richer_percent, r.tolerance, root, kComputed},
           {"9.4", a.physical.number / 400, r.flow_jet, rel(1e-3), root, kComputed}});
  }
  const JetAdvice warm = jet_for_today({400, kFlow, 10}, dry_day(0, celsius(15)), dry_day(0, celsius(25)));
  check({{"9.5", 100 * warm.richer_if_left, 1.72, rel(1e-3), root, kComputed},
         {"9.5", warm.physical.number / 400, 0.9831, rel(1e-3), root, kComputed}});
}

TEST(CalcJetting, TrapNumberByFlowOrByDiameter) {  // T4
  const char* area = "area ratio";
  check({{"9.7", 100 * (fuel_ratio(170, 175, kDiameter) - 1), 5.97, rel(1e-3), area, kComputed},
         {"9.7", 100 * (fuel_ratio(400, 410, kFlow) - 1), 2.50, rel(1e-3), area, kComputed}});
  for (double number : {160.0, 175.0, 190.0}) {  // the same step reads twice as large by diameter
    EXPECT_NEAR((fuel_ratio(number, number * 1.025, kDiameter) - 1) / (fuel_ratio(number, number * 1.025, kFlow) - 1),
                2, 0.03);
  }
  // Taken for the other kind, the number would be changed too little or too much; so odd ones are asked about.
  EXPECT_TRUE(has(jet_for_today({400, kDiameter, 10}, kValley, kPass).flags, CalcFlag::jet_number_odd));
  EXPECT_TRUE(has(jet_for_today({10, kFlow, 1}, kValley, kPass).flags, CalcFlag::jet_number_odd));
  for (const Jet& jet : {Jet{400, kFlow, 10}, {175, kDiameter, 5}, {42, kDiameter, 2.5}})
    EXPECT_FALSE(has(jet_for_today(jet, kValley, kPass).flags, CalcFlag::jet_number_odd)) << jet.number;
}

TEST(CalcJetting, NumbersComeBack) {
  for (const auto numbering : {kFlow, kDiameter})
    for (double ratio : {0.7, 0.95, 1.0, 1.2})
      EXPECT_NEAR(fuel_ratio(170, number_for_fuel(170, ratio, numbering), numbering), ratio, 1e-12);
  // There and back again is the jet that was in.
  const JetAdvice there = jet_for_today({400, kFlow, 10}, kValley, kPass);
  EXPECT_NEAR(jet_for_today({there.physical.number, kFlow, 10}, kPass, kValley).physical.number, 400, 1e-9);
}

TEST(CalcJetting, ThinnerAirNeverAsksForABiggerJet) {
  double physical = 1e9, trade = 1e9;
  for (double feet = 0; feet <= 10000; feet += 1000) {
    const JetAdvice a = jet_for_today({180, kDiameter, 2.5}, standard_day(0), dry_day(feet, 288.15));
    EXPECT_LT(a.physical.number, physical);
    EXPECT_LT(a.trade.number, trade);
    EXPECT_LE(std::abs(a.physical.nearest - a.physical.number), 1.25 + 1e-9);
    EXPECT_NEAR(std::remainder(a.physical.nearest, 2.5), 0, 1e-9);
    physical = a.physical.number, trade = a.trade.number;
  }
}

TEST(CalcJetting, DampAirAsksForLess) {
  // By hand from row 1.20: 30 C, 0 to 100 %: oxygen x0.95819 against air x sqrt(0.98419).
  const MoistAir dry = air_from_humidity(101325, celsius(30), 0), wet = air_from_humidity(101325, celsius(30), 1);
  EXPECT_NEAR(jet_area_factor(dry, wet), 0.95819 / std::sqrt(0.98419), 1e-4);
}

TEST(CalcJetting, SaysWhereItDoesNotHold) {
  EXPECT_TRUE(has(jet_for_today({400, kFlow, 10}, kValley, kPass).flags, CalcFlag::trade_rule_scaled));
  EXPECT_TRUE(has(jet_for_today({200, kFlow, 10}, kValley, dry_day(12000, 270)).flags, CalcFlag::trade_rule_stretched));
  JetDay desert = kPass;
  desert.air = air_from_humidity(75000, celsius(62), 0.1);
  EXPECT_TRUE(has(jet_for_today({200, kFlow, 10}, kValley, desert).flags, CalcFlag::temperature_unusual));
}

TEST(CalcJetting, Needle) {
  const Needle n{.tube_m = 2.700e-3, .needle_m = 2.535e-3, .taper_rad = 2 * std::numbers::pi / 180, .groove_m = 0.9e-3};
  check({{"9.8", 100 * (ring_ratio(n, 2.525e-3) - 1), 5.86, rel(1e-3), "area ratio", kComputed}});

  // By hand: a groove thins the needle by 2 x 0.9 tan(1 deg) = 0.031419 mm; ring 0.863775 to 1.022076 mm2 (x 4 / pi).
  const ClipMove up = clip_for_fuel(n, 1.022076 / 0.863775);
  EXPECT_NEAR(up.grooves, 1, 1e-4);
  EXPECT_EQ(up.nearest, 1);
  EXPECT_NEAR(up.one_groove_up, 1.18327, 1e-5);
  EXPECT_TRUE(up.flags.empty());
  double before = -10;
  for (double wanted = 0.7; wanted < 1.4; wanted += 0.05) {
    const double grooves = clip_for_fuel(n, wanted).grooves;
    EXPECT_GT(grooves, before);
    EXPECT_EQ(grooves > 1e-9, wanted > 1 + 1e-9);
    before = grooves;
    // The thickness that so many grooves bring into the tube gives what was wanted.
    EXPECT_NEAR(ring_ratio(n, n.needle_m - grooves * 2 * n.groove_m * std::tan(n.taper_rad / 2)), wanted, 1e-9);
  }
  EXPECT_TRUE(has(clip_for_fuel(n, 1.6).flags, CalcFlag::beyond_the_clip));
  EXPECT_TRUE(has(clip_for_fuel(n, 9).flags, CalcFlag::needle_cannot_give_this));
}

TEST(CalcJetting, Screws) {  // common practice, from memory: the two kinds go opposite ways
  EXPECT_EQ(screw_for_fuel(ScrewKind::air, 0.95), ScrewTurn::out);
  EXPECT_EQ(screw_for_fuel(ScrewKind::air, 1.05), ScrewTurn::in);
  EXPECT_EQ(screw_for_fuel(ScrewKind::fuel, 0.95), ScrewTurn::in);
  EXPECT_EQ(screw_for_fuel(ScrewKind::fuel, 1.05), ScrewTurn::out);
  EXPECT_EQ(screw_for_fuel(ScrewKind::fuel, 1.005), ScrewTurn::leave);
  EXPECT_EQ(pilot_by_screw(ScrewKind::air, 0.5), PilotJet::fit_bigger);
  EXPECT_EQ(pilot_by_screw(ScrewKind::air, 3), PilotJet::fit_smaller);
  EXPECT_EQ(pilot_by_screw(ScrewKind::fuel, 0.5), PilotJet::fit_smaller);
  EXPECT_EQ(pilot_by_screw(ScrewKind::fuel, 3), PilotJet::fit_bigger);
  EXPECT_EQ(pilot_by_screw(ScrewKind::fuel, 2.5), PilotJet::right);
  EXPECT_EQ(pilot_by_screw(ScrewKind::air, 1), PilotJet::right);
}

TEST(CalcJetting, Circuits) {  // trade pages: pilot 0 to 1/8 and counting to 15-20 %; the rest common practice
  EXPECT_EQ(circuit_at(0).rules, Circuit::pilot);
  EXPECT_EQ(circuit_at(0.1).rules, Circuit::pilot);
  EXPECT_EQ(circuit_at(0.18).rules, Circuit::slide);
  EXPECT_EQ(circuit_at(0.18).counts_too, Circuit::pilot);
  EXPECT_EQ(circuit_at(0.22).rules, Circuit::slide);
  EXPECT_FALSE(circuit_at(0.22).counts_too.has_value());
  EXPECT_EQ(circuit_at(0.5).rules, Circuit::needle);
  EXPECT_EQ(circuit_at(0.8).rules, Circuit::main_jet);
  EXPECT_EQ(circuit_at(1).rules, Circuit::main_jet);
}

}  // namespace
}  // namespace crankwise
