#include "core/flow/lanes.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace crankwise::flow {
namespace {

using Four = Lanes<float, 4, Isa::any>;
using Eight = Lanes<float, 8, Isa::any>;

// The judge is the library's function in double.
TEST(FlowLanes, LogOverAllNormalNumbers) {
  double worst = 0;
  for (int exponent = -126; exponent <= 127; ++exponent) {
    for (int i = 0; i < 2000; ++i) {
      const float x = std::ldexp(1.0F + static_cast<float>(i) / 2000.0F, exponent);
      const double want = std::log(static_cast<double>(x));
      const double got = lane(log(Four(x)), i % 4);
      worst = std::max(worst, std::abs(got - want) / std::max(std::abs(want), 1e-30));
    }
  }
  EXPECT_LT(worst, 2e-7);
}

TEST(FlowLanes, LogBesideOne) {
  double worst = 0;
  for (float x = 1; x < 1.01F; x = std::nextafter(x, 2.0F)) {
    const double want = std::log(static_cast<double>(x));
    worst = std::max(worst, std::abs(lane(log(Four(x)), 0) - want) / std::max(want, 1e-30));
  }
  EXPECT_LT(worst, 2e-7);
}

TEST(FlowLanes, ExpOverItsRange) {
  double worst = 0;
  for (int i = -87000; i <= 88000; ++i) {
    const float x = static_cast<float>(i) / 1000.0F;
    worst = std::max(worst, std::abs(lane(exp(Eight(x)), i & 7) / std::exp(static_cast<double>(x)) - 1));
  }
  EXPECT_LT(worst, 2e-7);
  EXPECT_EQ(lane(exp(Four(1000)), 0), lane(exp(Four(88)), 0));
  EXPECT_EQ(lane(exp(Four(-1000)), 0), lane(exp(Four(-87)), 0));
}

// The error of ln x is multiplied by the exponent and by ln x: for the flow, x of 1/50 to 50 to at most 7.
TEST(FlowLanes, Powers) {
  double worst = 0;
  for (int i = 0; i < 4000; ++i) {
    const float x = 0.02F + static_cast<float>(i) * 0.0125F;
    for (const float e : {-3.5F, -1.0F, 0.2857F, 0.714F, 1.0F, 3.5F, 7.0F}) {
      const double want = std::pow(static_cast<double>(x), static_cast<double>(e));
      const double exponent = 1 + std::abs(std::log(want));
      worst = std::max(worst, std::abs(lane(pow(Four(x), Four(e)), 2) / want - 1) / exponent);
    }
  }
  EXPECT_LT(worst, 2.5e-7);
}

TEST(FlowLanes, LanesAreChosenOneByOne) {
  Four a, b;
  const double as[] = {1, -2, 3, -4}, bs[] = {0.5, -1, 4, -4};
  for (int i = 0; i < 4; ++i) a.set(i, as[i]), b.set(i, bs[i]);
  const Four low = min(a, b), high = max(a, b), size = abs(a), picked = select(a > b, a, Four(7)), root = sqrt(abs(a));
  for (int i = 0; i < 4; ++i) {
    EXPECT_EQ(low[i], std::min(as[i], bs[i]));
    EXPECT_EQ(high[i], std::max(as[i], bs[i]));
    EXPECT_EQ(size[i], std::abs(as[i]));
    EXPECT_EQ(with_sign(Four(3), b)[i], std::copysign(3, bs[i]));
    EXPECT_EQ(picked[i], as[i] > bs[i] ? as[i] : 7);
    EXPECT_EQ(root[i], std::sqrt(static_cast<float>(std::abs(as[i]))));
  }
  EXPECT_TRUE(any(a < b));
  EXPECT_FALSE(any(a < Four(-4)));
  EXPECT_EQ(lanes_of<double>(), 1);
  EXPECT_EQ(lanes_of<Eight>(), 8);
}

}  // namespace
}  // namespace crankwise::flow
