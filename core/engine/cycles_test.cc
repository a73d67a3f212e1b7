#include "core/engine/cycles.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>

namespace crankwise::engine {
namespace {

/// After how many cycles it settles, and over how many the mean is taken then; {0, 0} if never.
struct Settles {
  int after = 0, over = 0;
  double work_j = 0, uneven = 0;
};
Settles settles(const std::function<Totals<double>(int)>& cycle) {
  const RunOptions o;
  Cycles c;
  for (int n = 1; n <= o.most_cycles; ++n) {
    c.add(cycle(n), 0);
    if (const int over = c.settled(o); over > 0) return {n, over, c.mean(over).work_j, c.uneven(over)};
  }
  return {};
}
Totals<double> of(double work_j, double air_kg = 150e-6, double misfire = 0) {
  Totals<double> t;
  t.work_j = work_j;
  t.air_kg = air_kg;
  t.misfire = misfire;
  return t;
}

TEST(EngineCycles, AreDoneWhenTheyAreAlike) {
  EXPECT_EQ(settles([](int) { return of(100); }).after, 4);
  // What dies away by a fifth each cycle: four as one to 0.06 % of their mean once it is below a few thousandths.
  const Settles dying = settles([](int n) { return of(100 * (1 + std::pow(0.8, n))); });
  EXPECT_GT(dying.after, 20);
  EXPECT_NEAR(dying.work_j, 100, 1);
  // Two by turns never are as one, but their means over six are.
  const Settles turns = settles([](int n) { return of(n % 2 == 0 ? 80 : 120); });
  EXPECT_EQ(turns.after, 12);
  EXPECT_EQ(turns.over, kMeanOver);
  EXPECT_NEAR(turns.work_j, 100, 1e-9);
  EXPECT_NEAR(turns.uneven, 0.2, 1e-9);
  // Air must settle too.
  EXPECT_EQ(settles([](int n) { return of(100, 1e-6 * (100 + 2 * n)); }).over, 0);
}

TEST(EngineCycles, OfAnEngineThatHuntsHaveAMeanByBatches) {
  // A swing of 17 cycles, as lean engines hunt.
  const Settles hunts = settles([](int n) { return of(60 + 30 * std::sin(n * 2 * 3.14159265 / 17)); });
  EXPECT_GE(hunts.after, 60);
  EXPECT_GE(hunts.over, 40);
  EXPECT_NEAR(hunts.work_j, 60, 0.04 * 0.8e6 * 150e-6) << "within one standard error of what a sound engine works";
  EXPECT_NEAR(hunts.uneven, 30 / std::sqrt(2) / 60, 0.05);
  // A drift is no swing: it never settles.
  EXPECT_EQ(settles([](int n) { return of(20 + n); }).over, 0);
}

TEST(EngineCycles, OfAnEngineThatIsDraggedAlongNeedNoSettledMixture) {
  const auto drifting = [](double misfire) {
    return [misfire](int n) { return of(-3 - 0.01 * n, 1e-6 * (60 - 0.5 * n), misfire); };
  };
  EXPECT_EQ(settles(drifting(1)).after, 12);
  EXPECT_EQ(settles(drifting(0.5)).over, 0) << "one that fires now and then must settle";
}

TEST(EngineCycles, OfNoneThereIsNothing) {
  const Cycles none;
  EXPECT_EQ(none.mean(1).work_j, 0);
  EXPECT_EQ(none.settled({}), 0);
}

}  // namespace
}  // namespace crankwise::engine
