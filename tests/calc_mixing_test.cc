// Premix: oil for fuel, the share of oil, putting a can right.
#include "core/calc/mixing.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/calc_row.h"

namespace crankwise {
namespace {

constexpr double kLitre = 1e-3, kMillilitre = 1e-6;
constexpr double kGallon = 3.785411784e-3, kFluidOunce = kGallon / 128;  // US

TEST(CalcMixing, PremixTable) {
  struct Row {
    double ratio, millilitres, ounces;
    const char *ml_standing, *oz_standing;
  };
  const Row rows[] = {
      {20, 50.00, 6.40, kComputed, kComputed}, {24, 41.67, 5.33, kComputed, kComputed},
      {25, 40.00, 5.12, kComputed, kComputed}, {30, 33.33, 4.27, kComputed, kComputed},
      {32, 31.25, 4.00, kRead, kRead},         {40, 25.00, 3.20, kRead, kRead},
      {50, 20.00, 2.56, kRead, kRead},         {60, 16.67, 2.13, kComputed, kComputed},
      {80, 12.50, 1.60, kComputed, kComputed}, {100, 10.00, 1.28, kComputed, kComputed},
  };
  for (const Row& r : rows) {
    check({{"9.9", oil_for_fuel(kLitre, r.ratio) / kMillilitre, r.millilitres, rel(2e-3), "printed premix table",
            r.ml_standing},
           {"9.9", oil_for_fuel(kGallon, r.ratio) / kFluidOunce, r.ounces, rel(2e-3), "printed premix table",
            r.oz_standing}});
  }
}

TEST(CalcMixing, ShareOfOil) {
  const char* definition = "1 / (k + 1)";
  check({{"9.10", 100 * oil_share(32), 3.030, off(1e-3), definition, kComputed},
         {"9.10", 100 * oil_share(40), 2.439, off(1e-3), definition, kComputed},
         {"9.10", 100 * oil_share(50), 1.961, off(1e-3), definition, kComputed}});
}

TEST(CalcMixing, TrapPartsToOneAreNotAShare) {  // T6: the oil of 32:1 is 1 / 33 of the mix, not 1 / 32
  EXPECT_NEAR(oil_share(32), 1.0 / 33, 1e-15);
  const Can can = split_mix(33 * kLitre, 32);
  EXPECT_NEAR(can.oil_m3, kLitre, 1e-15);
  EXPECT_NEAR(can.fuel_m3, 32 * kLitre, 1e-15);
  // T6 too: a page takes 12.8 US fl oz for 100 mL; they are a tenth of a gallon, 378.5 mL.
  EXPECT_NEAR(oil_for_fuel(kGallon, 10) / kFluidOunce, 12.8, 1e-9);
  EXPECT_NEAR(oil_for_fuel(kGallon, 10) / kMillilitre, 378.5, 0.05);
}

TEST(CalcMixing, EffectOnTheMixture) {
  const char* model = "oil displaces petrol, viscosity ignored";
  check({{"9.11", 100 * (mixture_after(32, 50).petrol_factor - 1), 1.10, off(0.02), model, kComputed},
         {"9.11", 100 * (mixture_after(50, 32).petrol_factor - 1), -1.1, off(0.02), model, kComputed}});
  EXPECT_TRUE(mixture_after(32, 50).flags.empty());
  EXPECT_TRUE(has(mixture_after(20, 50).flags, CalcFlag::viscosity_left_out));
}

TEST(CalcMixing, PutsACanRight) {
  const Can thin = split_mix(5 * kLitre, 50);
  const CanCorrection oil = correct_can(thin, 32);
  check({{"9.12", oil.add_oil_m3 / kMillilitre, 55.15, off(0.05), "fuel part / 32 - oil part", kComputed}});
  EXPECT_EQ(oil.add_fuel_m3, 0);
  // By hand: 5 L at 32:1 hold 5000 / 33 = 151.515 mL of oil, enough for 7575.76 mL at 50:1; 4848.48 mL are there.
  const CanCorrection fuel = correct_can(split_mix(5 * kLitre, 32), 50);
  EXPECT_NEAR(fuel.add_fuel_m3 / kMillilitre, 2727.27, 0.01);
  EXPECT_EQ(fuel.add_oil_m3, 0);
  // Petrol without oil: all of it is to be added.
  EXPECT_DOUBLE_EQ(correct_can({kLitre, 0}, 40).add_oil_m3, oil_for_fuel(kLitre, 40));
}

TEST(CalcMixing, EveryCanEndsAtTheRatioWanted) {
  for (double is : {10.0, 20.0, 32.0, 50.0, 100.0}) {
    EXPECT_NEAR(ratio_of_share(oil_share(is)), is, 1e-9);
    EXPECT_NEAR(ratio_of(split_mix(7 * kLitre, is)), is, 1e-9);
    for (double wanted : {20.0, 32.0, 40.0, 60.0}) {
      const CanCorrection c = correct_can(split_mix(7 * kLitre, is), wanted);
      EXPECT_NEAR(ratio_of(c.after), wanted, 1e-9);
      EXPECT_EQ(c.add_oil_m3 > 0 && c.add_fuel_m3 > 0, false);
      EXPECT_NEAR(mixture_after(is, wanted).petrol_factor * mixture_after(wanted, is).petrol_factor, 1, 1e-12);
      EXPECT_EQ(mixture_after(is, wanted).petrol_factor > 1, wanted > is);  // less oil is richer
    }
  }
  EXPECT_TRUE(std::isinf(ratio_of({kLitre, 0})));
}

TEST(CalcMixing, AsksAgainAtUnusualRatios) {  // common practice: trade pages, 25:1 to 60:1; 20:1 to 25:1 running in
  EXPECT_TRUE(ratio_flags(25).empty());
  EXPECT_TRUE(ratio_flags(32).empty());
  EXPECT_TRUE(ratio_flags(60).empty());
  EXPECT_TRUE(has(ratio_flags(80), CalcFlag::little_oil));
  EXPECT_TRUE(has(ratio_flags(20), CalcFlag::running_in_oil));
  EXPECT_TRUE(has(ratio_flags(12), CalcFlag::much_oil));
  EXPECT_TRUE(has(correct_can({kLitre, 0}, 100).flags, CalcFlag::little_oil));
  EXPECT_TRUE(has(mixture_after(32, 100).flags, CalcFlag::little_oil));
}

}  // namespace
}  // namespace crankwise
