// Power corrected to standard air.
#include "core/calc/power_correction.h"

#include <gtest/gtest.h>

#include "tests/calc_row.h"

namespace crankwise {
namespace {

constexpr double kInHg = 3386.389;
constexpr auto kFour = Cycle::four_stroke;

double celsius(double t) { return t + 273.15; }
double fahrenheit(double t) { return (t + 459.67) / 1.8; }
double factor(PowerRule rule, const MoistAir& air) { return power_correction(rule, air, kFour).factor; }

TEST(CalcPower, PublishedAndByFormula) {
  const char* example = "published worked example of J607";
  const char* definition = "reference conditions of the rule";
  const MoistAir summer = air_from_humidity(28.85 * kInHg, fahrenheit(85), 0.85);
  const MoistAir spring = air_from_humidity(30.10 * kInHg, fahrenheit(55), 0.35);
  const MoistAir reference = air_from_humidity(99e3, celsius(25), 0);
  check({{"2.1", factor(PowerRule::j607, summer), 1.1005, rel(1e-3), example, kRead},
         {"2.1", factor(PowerRule::j607, summer), 1.1011, off(1e-4), "the same with a good vapour formula", kComputed},
         {"2.2", factor(PowerRule::j607, spring), 0.994, off(5e-4), example, kRead},
         {"2.3", factor(PowerRule::j1349, reference), 1, off(1e-6), definition, kRead},
         {"2.3", factor(PowerRule::iso1585, reference), 1, off(1e-6), definition, kRead},
         {"2.4", factor(PowerRule::din70020, air_from_humidity(101325, celsius(20), 0.6)), 1, off(1e-6), definition,
          kRead},
         {"2.5", factor(PowerRule::din70020, reference), 1.0322, off(2e-4), "formula of DIN 70020", kComputed},
         {"2.5", factor(PowerRule::j607, reference), 1.0401, off(2e-4), "formula of J607", kComputed}});
}

TEST(CalcPower, FourRulesSideBySide) {
  struct Row {
    const char* id;
    double celsius, pressure, humidity, dry_kpa, j1349, iso, din, j607;
  };
  const Row rows[] = {
      {"2.6", 35, 90000, 0.5, 87.19, 1.1821, 1.1879, 1.1543, 1.2006},
      {"2.7", 10, 101325, 0.5, 100.71, 0.9504, 0.9498, 0.9828, 0.9964},
      {"2.8", 30, 89875, 0.4, 88.18, 1.1558, 1.1605, 1.1465, 1.1775},
  };
  const char* formula = "formula of the rule";
  for (const Row& r : rows) {
    const MoistAir air = air_from_humidity(r.pressure, celsius(r.celsius), r.humidity);
    check({{r.id, air.dry_pressure_pa() / 1000, r.dry_kpa, off(0.006), formula, kComputed},
           {r.id, factor(PowerRule::j1349, air), r.j1349, off(1e-3), formula, kComputed},
           {r.id, factor(PowerRule::iso1585, air), r.iso, off(1e-3), formula, kComputed},
           {r.id, factor(PowerRule::din70020, air), r.din, off(1e-3), formula, kComputed},
           {r.id, factor(PowerRule::j607, air), r.j607, off(1e-3), formula, kComputed}});
  }
}

TEST(CalcPower, FlagsButDoesNotClampOutsideTheRule) {  // row 2.9: 0.93 to 1.07, both standards, from memory
  for (const PowerRule rule : {PowerRule::j1349, PowerRule::iso1585}) {
    for (double pressure = 85e3; pressure < 112e3; pressure += 1e3) {
      const PowerCorrection c = power_correction(rule, air_from_humidity(pressure, celsius(25), 0), kFour);
      EXPECT_EQ(has(c.flags, CalcFlag::outside_power_rule), pressure < 93.5e3 || pressure > 105.5e3) << pressure;
    }
  }
  const MoistAir thin = air_from_humidity(70e3, celsius(25), 0);
  EXPECT_NEAR(factor(PowerRule::j1349, thin), 1.18 * 99 / 70 - 0.18, 1e-12);
  EXPECT_TRUE(has(power_correction(PowerRule::din70020, thin, kFour).flags, CalcFlag::large_power_correction));
  EXPECT_FALSE(has(power_correction(PowerRule::din70020, thin, kFour).flags, CalcFlag::outside_power_rule));
}

TEST(CalcPower, TwoStrokesAreToldThatTheRuleIsNotTheirs) {
  const MoistAir air = air_from_humidity(101325, celsius(20), 0.5);
  for (const PowerRule rule : {PowerRule::j1349, PowerRule::iso1585, PowerRule::din70020, PowerRule::j607}) {
    EXPECT_TRUE(has(power_correction(rule, air, Cycle::two_stroke).flags, CalcFlag::rule_for_four_strokes))
        << name(rule);
    EXPECT_FALSE(has(power_correction(rule, air, kFour).flags, CalcFlag::rule_for_four_strokes)) << name(rule);
  }
  EXPECT_TRUE(power_correction(PowerRule::density, air, Cycle::two_stroke).flags.empty());
  // By hand: e = 1169.4 Pa of 101 325 (ASHRAE), so (101 325 - e) / (287.053 x 293.15) = 1.19021; 1.225 / 1.19021.
  EXPECT_NEAR(factor(PowerRule::density, air), 1.02923, 2e-5);
}

TEST(CalcPower, ThinnerWarmerDamperAirAsksForMore) {
  for (const PowerRule rule :
       {PowerRule::j1349, PowerRule::iso1585, PowerRule::din70020, PowerRule::j607, PowerRule::density}) {
    const double base = factor(rule, air_from_humidity(98e3, celsius(25), 0.5));
    EXPECT_GT(factor(rule, air_from_humidity(97e3, celsius(25), 0.5)), base) << name(rule);
    EXPECT_GT(factor(rule, air_from_humidity(98e3, celsius(27), 0.5)), base) << name(rule);
    EXPECT_GE(factor(rule, air_from_humidity(98e3, celsius(25), 0.9)), base) << name(rule);  // DIN knows no humidity
  }
}

TEST(CalcPower, LostWithHeight) {
  const PowerAtHeight first = power_at_height(304.8);
  check({{"9.6", 1 - first.by_trade_rule, 0.03, rel(1e-9), "trade page", kRead},
         {"9.6", 1 - first.by_density, 0.029, off(5e-4), "ISO 2533 density", kComputed}});
  EXPECT_TRUE(first.flags.empty());
  EXPECT_TRUE(has(power_at_height(3500).flags, CalcFlag::height_rule_unchecked));
  EXPECT_GT(power_at_height(2500).by_density - power_at_height(2500).by_trade_rule, 0.02);  // kept apart, and they part
}

}  // namespace
}  // namespace crankwise
