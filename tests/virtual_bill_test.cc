// What the virtual hands charge, added up by hand from tests/small_knowledge.cc: plug 2 min off, 3 on; reed cage 6 and
// 8; seat 2 and 2; tank 5 and 6; swap-plug 2 min and 8 money; look-at-plug 2 min; ride 8 min; send-out 300 and 300.
#include <gtest/gtest.h>

#include "bench/virtual/hands.h"
#include "tests/small_knowledge.h"

namespace crankwise::bench {
namespace {

class VirtualBill : public testing::Test {
 protected:
  VirtualBill() {
    bike_.traits = test::small_knowledge().classes.find("mini-two-stroke")->traits;
    real_ = fit(test::small_knowledge(), bike_, {}, {});
  }
  Job job(const std::string& fault, int number = 0) const {
    return {
        Dice(1, static_cast<std::uint64_t>(number)), {real_.fault(fault)}, {real_.finding("bogs-up-top")}, 0, false};
  }
  /// The first job on which this step and the ride after it come out so.
  Job job_with(const std::string& fault, const std::string& step, RunResult result) const {
    for (int n = 0;; ++n) {
      Job j = job(fault, n);
      Hands hands(real_, j);
      hands.perform(real_.step(step));
      const auto entries = hands.perform(real_.step("ride"));
      if (std::get<RanIt>(entries.front()).result == result) return j;
    }
  }
  static void expect_bill(const Bill& b, double minutes, double money, int parts_off) {
    EXPECT_DOUBLE_EQ(b.spent.minutes, minutes);
    EXPECT_DOUBLE_EQ(b.spent.money, money);
    EXPECT_EQ(b.parts_off, parts_off);
  }

  Bike bike_;
  BikeModel real_;
};

TEST_F(VirtualBill, LooksShareTheOpenBike) {
  const Job j = job("rings-worn");
  Hands hands(real_, j);
  hands.take_in();
  expect_bill(hands.bill(), 0, 0, 0);
  hands.perform(real_.step("look-at-plug"));
  expect_bill(hands.bill(), 2 + 2, 0, 1);
  hands.perform(real_.step("measure-compression"));  // 5 min, the plug is out
  expect_bill(hands.bill(), 4 + 5, 0, 1);
  EXPECT_FALSE(hands.idle(real_.step("test-spark")));
  EXPECT_TRUE(hands.idle(real_.step("look-at-plug")));
  hands.close();
  expect_bill(hands.bill(), 9 + 3, 0, 1);
  EXPECT_TRUE(hands.bill().faulty);
}

// Half a minute, and a third of that more for every question answered before.
TEST_F(VirtualBill, QuestionsGrowDearer) {
  const Job j = job("rings-worn");
  Hands hands(real_, j);
  hands.take_in();  // one complaint told
  const auto ask = [&](const std::string& finding) {
    for (size_t s = 0; s < real_.question.size(); ++s) {
      if (real_.question[s] == real_.finding(finding)) hands.perform(static_cast<int>(s));
    }
  };
  ask("only-hot");
  EXPECT_NEAR(hands.bill().spent.minutes, 0.5 * 4 / 3, 1e-12);
  ask("breaks-up");
  EXPECT_NEAR(hands.bill().spent.minutes, 0.5 * 4 / 3 + 0.5 * 5 / 3, 1e-12);
}

TEST_F(VirtualBill, PartThatHelpsIsPaid) {
  const Job j = job_with("plug-worn", "swap-plug", RunResult::gone);
  Hands hands(real_, j);
  hands.perform(real_.step("swap-plug"));
  expect_bill(hands.bill(), 2 + 2, 0, 1);
  EXPECT_TRUE(hands.there().empty());
  hands.perform(real_.step("ride"));
  expect_bill(hands.bill(), 4 + 3 + 8, 8, 1);
  hands.close();
  expect_bill(hands.bill(), 15, 8, 1);
  EXPECT_FALSE(hands.bill().faulty);
  EXPECT_EQ(hands.bill().bought_in_vain, 0);
}

TEST_F(VirtualBill, KnownGoodPartThatDoesNotHelpGoesBack) {
  const Job j = job_with("rings-worn", "swap-plug", RunResult::same);
  Hands hands(real_, j);
  hands.perform(real_.step("swap-plug"));
  const auto entries = hands.perform(real_.step("ride"));
  ASSERT_EQ(entries.size(), 2u);
  EXPECT_EQ(std::get<WentBack>(entries.back()).step, "swap-plug");
  expect_bill(hands.bill(), 4 + 3 + 8 + 2 + 2, 0, 2);
  EXPECT_EQ(hands.bill().bought_in_vain, 0);
  EXPECT_EQ(hands.there(), std::vector<int>{real_.fault("rings-worn")});
}

TEST_F(VirtualBill, NewPartIsPaidAtOnceInVainOrNot) {
  const Job j = job("rings-worn");
  Hands hands(real_, j);
  hands.perform(real_.step("new-reeds"));  // reed cage 6 off, 8 min, 50 money
  expect_bill(hands.bill(), 6 + 8, 50, 1);
  EXPECT_EQ(hands.bill().bought_in_vain, 1);
  EXPECT_DOUBLE_EQ(hands.bill().money_in_vain, 50);
  hands.perform(real_.plan.last_resort);
  expect_bill(hands.bill(), 14 + 300, 50 + 300, 1);
  EXPECT_TRUE(hands.ended());
}

TEST_F(VirtualBill, KnownFaultsTakeTheirRepairsAndOneRun) {
  const Effort jet = cost_if_known(real_, job("main-jet-blocked"));  // clean-jet 8, ride 8
  EXPECT_DOUBLE_EQ(jet.minutes, 8 + 8);
  EXPECT_DOUBLE_EQ(jet.money, 0);
  Job two = job("plug-worn");
  two.faults.push_back(real_.fault("reed-chipped"));
  const Effort both = cost_if_known(real_, two);  // plug 2 + 2 + 3, reeds 6 + 8 + 8, ride 8
  EXPECT_DOUBLE_EQ(both.minutes, 7 + 22 + 8);
  EXPECT_DOUBLE_EQ(both.money, 8 + 50);
  const Effort unknown = cost_if_known(real_, job("not-in-list"));
  EXPECT_DOUBLE_EQ(unknown.minutes, 300);
}

}  // namespace
}  // namespace crankwise::bench
