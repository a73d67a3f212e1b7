// Weibull lives, alone and with a spread between bikes.
#include "core/wear/wear.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

namespace crankwise {
namespace {

constexpr double kClose = 1e-7;

TEST(Wear, WeibullAsInTheHandbook) {
  // NIST/SEMATECH e-Handbook of Statistical Methods, section 8.1.6.2 (from memory): shape 1.5, characteristic life
  // 5000, at 1000: density 0.000123, distribution 0.08556. More digits: scipy.stats.weibull_min of SciPy 1.10.1.
  const Life life{5000, 1.5, 0};
  EXPECT_NEAR(1 - survival(life, 1000), 0.08556, 5e-6);
  EXPECT_NEAR(hazard(life, 1000) * survival(life, 1000), 0.000123, 5e-7);
  EXPECT_NEAR(1 - survival(life, 1000), 0.08555935639278299, 1e-15);
  EXPECT_NEAR(hazard(life, 1000) * survival(life, 1000), 0.00012268508642966373, 1e-18);
}

TEST(Wear, WeibullAsInSciPy) {
  // scipy.stats.weibull_min of SciPy 1.10.1: sf, pdf / sf, mean, ppf(0.1), ppf(0.5).
  struct Row {
    double shape, scale, age, alive, rate, mean, tenth, half;
  };
  const Row rows[] = {
      {2.5, 30, 24, 0.5641509608372549, 0.0596284793999944, 26.617914525092257, 12.195297794185949, 25.909047018071245},
      {1, 40, 10, 0.7788007830714049, 0.025, 40, 4.214420626313053, 27.725887222397812},
      {3, 45, 60, 0.0934461101976254, 0.1185185185185185, 40.184078020616205, 21.253892335634834, 39.8248670025233},
      {2, 14, 5, 0.8802485040505603, 0.0510204081632653, 12.407176956338612, 4.544299843643018, 11.655764556207767},
  };
  for (const Row& r : rows) {
    const Life life{r.scale, r.shape, 0};
    EXPECT_NEAR(survival(life, r.age), r.alive, 1e-14);
    EXPECT_NEAR(hazard(life, r.age), r.rate, 1e-14);
    EXPECT_NEAR(mean_life(life), r.mean, 1e-12);
    EXPECT_NEAR(age_at_share(life, 0.1), r.tenth, 1e-12);
    EXPECT_NEAR(age_at_share(life, 0.5), r.half, 1e-12);
  }
}

TEST(Wear, LivesThatDifferBetweenBikes) {
  // scipy.integrate.quad over the normal density of z times the Weibull distribution of scale * exp(spread * z), and
  // scipy.optimize.brentq for the age, of SciPy 1.10.1.
  struct Row {
    double shape, scale, spread, age, more, alive, rate, within, mean, tenth;
  };
  const Row rows[] = {
      {2.5, 30, 0.4, 24, 5, 0.5273435676512495, 0.050723296644398, 0.23428737732969251, 28.834842573509,
       10.315321537618683},
      {3, 45, 0.4, 60, 10, 0.20410798744346684, 0.04463871649701273, 0.3642875242855199, 43.530892046175,
       17.49576543654242},
      {2, 14, 0.6, 5, 3, 0.8136544488874402, 0.06896077945673548, 0.20439738958335363, 14.8540876794534,
       3.3939753699631883},
      {6, 100, 0.5, 110, 10, 0.3651525006402039, 0.017411667181259468, 0.161594871408424, 105.12437277830661,
       45.18587675446443},
      {1, 40, 0.4, 10, 5, 0.767394134872146, 0.025896499417801578, 0.12026068748552865, 43.331482706998344,
       3.925925534433014},
  };
  for (const Row& r : rows) {
    const Life life{r.scale, r.shape, r.spread};
    EXPECT_NEAR(survival(life, r.age), r.alive, kClose);
    EXPECT_NEAR(hazard(life, r.age), r.rate, kClose);
    EXPECT_NEAR(chance_within(life, r.age, r.more), r.within, kClose);
    EXPECT_NEAR(mean_life(life), r.mean, 1e-10);
    EXPECT_NEAR(age_at_share(life, 0.1), r.tenth, 1e-5);
  }
}

/// Lives of all sorts, the same at every run.
std::vector<Life> many_lives() {
  std::mt19937 random(7);
  const auto from = [&](double low, double high) { return low + (high - low) * (random() / 4294967296.0); };
  std::vector<Life> lives;
  for (int k = 0; k < 200; ++k) lives.push_back({from(1, 500), from(0.5, 6), k % 3 == 0 ? 0 : from(0.01, 0.8)});
  return lives;
}

TEST(Wear, ChancesHangTogether) {
  for (const Life& life : many_lives()) {
    EXPECT_NEAR(survival(life, 0), 1, 1e-7);
    EXPECT_EQ(chance_within(life, life.scale, 0), 0);
    double before = 1;
    for (double x : {0.1, 0.3, 0.7, 1.0, 1.5, 3.0}) {
      const double age = x * life.scale, more = 0.2 * life.scale;
      EXPECT_LE(survival(life, age), before);
      before = survival(life, age);
      const double within = chance_within(life, age, more);
      EXPECT_GT(within, 0);
      EXPECT_LE(within, 1);
      // The chance of trouble is what is missing of the survivors, wherever there are enough to tell.
      if (before > 1e-6) {
        EXPECT_NEAR(within, 1 - survival(life, age + more) / before, 1e-6);
      }
      // The hazard is the chance of a short while over its length.
      EXPECT_NEAR(chance_within(life, age, 1e-7 * life.scale) / (1e-7 * life.scale) / hazard(life, age), 1, 1e-4);
      EXPECT_LE(within, chance_within(life, age, 2 * more));
    }
    EXPECT_NEAR(1 - survival(life, age_at_share(life, 0.3)), 0.3, 1e-9);
  }
}

TEST(Wear, WhatWearsGetsWorseWithAgeAndChanceDoesNot) {
  for (Life life : many_lives()) {
    life.spread = 0;
    const auto within = [&](double x) { return chance_within(life, x * life.scale, 0.1 * life.scale); };
    life.shape = 1 + life.shape;  // wear
    EXPECT_LT(within(0), within(0.3));
    EXPECT_LT(within(0.3), within(0.9));
    life.shape = 1;  // pure chance has no memory
    EXPECT_NEAR(within(0), within(0.9), 1e-14);
    EXPECT_NEAR(within(0), 1 - std::exp(-0.1), 1e-14);
  }
}

TEST(Wear, SpreadBringsEarlyTroubleAndSparesTheOld) {
  for (Life life : many_lives()) {
    life.shape = 2 + life.shape / 3;
    life.spread = 0.1;
    Life wide = life;
    wide.spread = 0.6;
    EXPECT_GT(chance_within(wide, 0, 0.2 * life.scale), chance_within(life, 0, 0.2 * life.scale));
    EXPECT_LT(hazard(wide, 2 * life.scale), hazard(life, 2 * life.scale));
  }
}

TEST(Wear, AGreatAgeIsStillAnswered) {
  for (const Life& life : {Life{10, 5, 0}, Life{10, 5, 0.4}, Life{10, 2.5, 0.8}, Life{10, 1, 0}}) {
    const double chance = chance_within(life, 10000, 5);
    EXPECT_GT(chance, 0);
    EXPECT_LE(chance, 1);
    EXPECT_TRUE(std::isfinite(hazard(life, 10000)));
  }
}

TEST(Wear, AnUnknownAgeLiesBetween) {
  for (const Life& life : many_lives()) {
    if (life.shape <= 1 || life.spread > 0) continue;
    const double more = 0.1 * life.scale, oldest = 0.8 * life.scale;
    const double unknown = chance_within_unknown_age(life, oldest, more);
    EXPECT_GT(unknown, chance_within(life, 0, more));
    EXPECT_LT(unknown, chance_within(life, oldest, more));
    EXPECT_NEAR(chance_within_unknown_age(life, 0, more), chance_within(life, 0, more), 1e-15);
  }
  EXPECT_NEAR(chance_within_unknown_age({40, 1, 0}, 100, 4), 1 - std::exp(-0.1), 1e-14);
}

TEST(Wear, FactorIsTheHazardOverItsMean) {
  // By hand: shape (age / scale)^(shape - 1), held between 0.1 and 8.
  EXPECT_NEAR(wear_factor({30, 2.5, 0}, 24), 2.5 * std::pow(0.8, 1.5), 1e-12);
  EXPECT_NEAR(wear_factor({40, 1, 0}, 70), 1, 1e-12);
  EXPECT_EQ(wear_factor({30, 2.5, 0}, 0), 0.1);
  EXPECT_EQ(wear_factor({10, 3, 0}, 100), 8);
  EXPECT_EQ(wear_factor({10, 0.5, 0}, 0), 8);
  double mean = 0;  // over one characteristic life the factor is one on average
  for (int k = 0; k < 10000; ++k) mean += wear_factor({10000, 1.5, 0}, k + 0.5) / 10000;
  EXPECT_NEAR(mean, 1, 1e-3);
  // With a spread: SciPy's hazard and survival above, over the mean hazard -ln S(30) / 30; the ratio at 24 h.
  const Life life{30, 2.5, 0.4};
  EXPECT_NEAR(wear_factor(life, 24) / wear_factor(life, 30), hazard(life, 24) / hazard(life, 30), 1e-12);
  double sum = 0;  // its mean up to the characteristic life is 1
  for (int k = 0; k < 3000; ++k) sum += hazard(life, (k + 0.5) / 100) / 100;
  EXPECT_NEAR(sum, -std::log(survival(life, 30)), 1e-5);
  EXPECT_LT(wear_factor(life, 60), wear_factor({30, 2.5, 0}, 60));
}

}  // namespace
}  // namespace crankwise
