#include "core/engine/scavenge.h"

#include <gtest/gtest.h>

namespace crankwise::engine {
namespace {

constexpr ScavengeRule kBensonBrandham{.displaces_to = 0.4, .short_circuit = 0.1};

TEST(EngineScavenge, ClosedForms) {
  struct Row {
    double ratio, efficiency, trapping;  // Benson, Blair, Heywood: 1 - exp(-SR)
  };
  for (const Row& r : {Row{0.25, 0.22120, 0.88480},
                       {0.5, 0.39347, 0.78694},
                       {1, 0.63212, 0.63212},
                       {1.5, 0.77687, 0.51791},
                       {2, 0.86466, 0.43233}}) {
    EXPECT_NEAR(scavenging_efficiency(kPerfectMixing, r.ratio), r.efficiency, 1e-5);
    EXPECT_NEAR(trapping_efficiency(kPerfectMixing, r.ratio), r.trapping, 1e-5);
  }
  EXPECT_EQ(scavenging_efficiency(kPerfectDisplacement, 0.5), 0.5);
  EXPECT_EQ(scavenging_efficiency(kPerfectDisplacement, 1), 1);
  EXPECT_EQ(scavenging_efficiency(kPerfectDisplacement, 1.5), 1);
  EXPECT_EQ(trapping_efficiency(kPerfectDisplacement, 0.5), 1);
  EXPECT_NEAR(trapping_efficiency(kPerfectDisplacement, 1.5), 0.6667, 1e-4);
  // Benson and Brandham, from the statement of the model.
  EXPECT_NEAR(scavenging_efficiency(kBensonBrandham, 0.25), 0.22500, 1e-5);
  EXPECT_NEAR(scavenging_efficiency(kBensonBrandham, 0.5), 0.42926, 1e-5);
  EXPECT_NEAR(scavenging_efficiency(kBensonBrandham, 1), 0.63608, 1e-5);
  EXPECT_NEAR(scavenging_efficiency(kBensonBrandham, 1.5), 0.76796, 1e-5);
}

TEST(EngineScavenge, StepByStepGivesTheClosedForms) {
  for (const ScavengeRule& rule : {kPerfectMixing, kPerfectDisplacement, kBensonBrandham, ScavengeRule{0.7, 0.3}}) {
    double fresh = 0, left = 0;
    const int steps = 4000;
    for (int i = 1; i <= 2 * steps; ++i) {  // to a ratio of 2
      const double step = 1.0 / steps, out = fresh_leaving(rule, fresh, 1.0);
      fresh += step * (1 - out);
      left += step * out;
      if (i % (steps / 4) != 0) continue;
      const double ratio = i * step;
      EXPECT_NEAR(fresh, scavenging_efficiency(rule, ratio), 1e-3) << rule.displaces_to << " " << ratio;
      EXPECT_NEAR(fresh + left, ratio, 1e-9);
      EXPECT_LE(fresh, 1);
    }
  }
}

TEST(EngineScavenge, WhatLeaves) {
  for (double fresh = 0; fresh <= 1; fresh += 0.1) {
    const LeavingGas<double> gas = leaving_gas(kBensonBrandham, fresh, 1.0);
    EXPECT_NEAR(gas.entering + gas.mixed + gas.old, 1, 1e-12);
    EXPECT_NEAR(gas.entering, 0.1, 1e-12);
    EXPECT_EQ(gas.old > 0.5, fresh < 0.39) << fresh;
    EXPECT_EQ(leaving_gas(kBensonBrandham, fresh, 0.0).entering, 0);  // transfers closed
  }
  EXPECT_NEAR(leaving_gas(kBensonBrandham, 0.5, 50.0).entering, 1, 1e-12);  // hardly anything leaves
  EXPECT_NEAR(fresh_leaving(kBensonBrandham, 0.5, 0.0), 0.5, 1e-12);
}

TEST(EngineScavenge, TextbookPetrolEngine) {
  // A worked two-stroke example: exhaust at 1.07 bar, 310 K, 1100 cm3 at 2800 rpm, 4 kg/min of air, SE 0.5, fuel to air
  // 0.068, 45 MJ/kg, indicated efficiency 0.25.
  const double air = 4 / 60.0, ratio = scavenge_ratio(air, 1.07e5 / (287 * 310), 1100e-6, 2800 / 60.0);
  EXPECT_NEAR(ratio / 1.0799, 1, 1e-3);
  const double trapped = 0.5 / ratio;
  EXPECT_NEAR(trapped / 0.4630, 1, 1e-3);
  const double fuel = 0.068 * air, power_w = fuel * trapped * 45e6 * 0.25;
  EXPECT_NEAR(power_w / 23614, 1, 1e-3);
  EXPECT_NEAR(fuel * 3.6e6 / power_w / 0.6911, 1, 1e-3);     // kg/kWh
  EXPECT_NEAR(fuel * (1 - trapped) * 3600 / 8.76, 1, 1e-3);  // kg/h lost
}

TEST(EngineScavenge, TextbookDieselEngine) {
  // A worked two-stroke example: bore 250 mm, strokes 2 x 300 mm, ratio 16, 400 rpm, 15 kg/h of fuel; what was trapped
  // had fuel to air 0.03499 by its exhaust; 1.05 bar, 308 K. The whole cylinder is filled.
  const double swept = 3.14159265 / 4 * 0.25 * 0.25 * 0.6, trapped_kg_s = 15 / 3600.0 / 0.03499;
  EXPECT_NEAR(trapped_kg_s * 60 / 7.144, 1, 1e-3);
  EXPECT_NEAR(scavenge_ratio(trapped_kg_s, 1.05e5 / (287 * 308), swept * 16 / 15, 400 / 60.0) / 0.4786, 1, 1e-3);
}

}  // namespace
}  // namespace crankwise::engine
