#include "core/sound/octave.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/sound/track.h"

namespace crankwise::sound {
namespace {

const Engine kTwo{.cycle = Cycle::two_stroke, .rpm_min = 3000};

OctaveVerdict of(const OrderSigns& signs, double rpm) {
  return judge_octave(kTwo, std::vector<OrderSigns>(20, signs), 0.98 * rpm, 1.02 * rpm);
}

TEST(Octave, SettledWhereNothingStandsBetweenTheOrders) {
  const OctaveVerdict v = of({.repeats_more = {0.3F, 0.2F, -0.1F}, .half = -9, .third = -9, .quarter = -9}, 6000);
  EXPECT_EQ(v.factor, 1);
  EXPECT_FALSE(v.open);
}

TEST(Octave, OrdersBetweenAsHighAsTheWholeOnesAreOfASlowerEngine) {
  EXPECT_EQ(of({.half = -0.5F, .third = -9, .quarter = -10}, 8000).factor, 0.5);
  EXPECT_NEAR(of({.half = -4, .third = -0.5F, .quarter = -2}, 9000).factor, 2.0 / 3, 1e-12);
  EXPECT_EQ(of({.half = -0.5F, .third = -9, .quarter = -10}, 5000).factor, 1) << "2,500 rpm was never turned";
}

TEST(Octave, EverySecondOrderHigherIsAFasterEngineOrAnOpenQuestion) {
  const OctaveVerdict fast = of({.repeats_more = {6, 0, 0}, .half = -9, .third = -9, .quarter = -9}, 5000);
  EXPECT_EQ(fast.factor, 2);
  EXPECT_FALSE(fast.open);
  const OctaveVerdict open = of({.repeats_more = {2.4F, 0, 0}, .half = -9, .third = -9, .quarter = -9}, 5000);
  EXPECT_TRUE(open.open);
  EXPECT_EQ(open.factor, 2) << "the likelier of the two";
  EXPECT_EQ(open.other, 0.5);
  const OctaveVerdict torn = of({.repeats_more = {2.4F, 0, 0}, .half = -3, .third = -8, .quarter = -9}, 5000);
  EXPECT_TRUE(torn.open);
  EXPECT_EQ(torn.factor, 1) << "the half orders speak for a slower one";
}

}  // namespace
}  // namespace crankwise::sound
