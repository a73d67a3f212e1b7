// Whole jobs on virtual bikes: every policy comes to an end, and the tables depend on nothing but the seed.
#include <gtest/gtest.h>

#include "bench/virtual/disturb.h"
#include "bench/virtual/list.h"
#include "bench/virtual/table.h"
#include "tests/small_knowledge.h"

namespace crankwise::bench {
namespace {

/// The tables without the times.
std::string tables(const Plan& plan) {
  Campaign c = run_campaign(test::small_knowledge(), "mini-two-stroke", plan);
  for (JobResult& j : c.jobs) {
    for (Played& p : j.by_policy) p.advice_ms.clear(), p.judging_ms.clear();
  }
  return class_table(c) + complaint_table({&c, 1}, 1) + calibration_table({&c, 1});
}

TEST(VirtualCampaign, SameSeedSameTableWhateverTheThreads) {
  Plan plan;
  plan.jobs = 24;
  plan.sigma = 0.3;
  plan.threads = 1;
  const std::string once = tables(plan);
  EXPECT_EQ(tables(plan), once);
  plan.threads = 3;
  EXPECT_EQ(tables(plan), once);
  plan.seed = 2;
  EXPECT_NE(tables(plan), once);
}

TEST(VirtualCampaign, EveryJobEndsAndNoneBeatsKnowingTheFault) {
  Plan plan;
  plan.jobs = 100;
  const Campaign c = run_campaign(test::small_knowledge(), "mini-two-stroke", plan);
  std::vector<double> spent(plan.policies.size(), 0);
  double known = 0;
  for (const JobResult& j : c.jobs) {
    known += j.if_known.joined(c.minutes_per_money);
    for (size_t p = 0; p < plan.policies.size(); ++p) {
      const Bill& b = j.by_policy[p].bill;
      spent[p] += b.spent.joined(c.minutes_per_money);
      EXPECT_FALSE(b.stalled) << text(plan.policies[p]);
      EXPECT_GT(b.steps, 0);
      EXPECT_FALSE(b.given_up && b.faulty);
    }
  }
  for (size_t p = 0; p < plan.policies.size(); ++p) EXPECT_GT(spent[p], known) << text(plan.policies[p]);
}

/// Proposes the same look for ever.
class Stuck : public Policy {
 public:
  explicit Stuck(int step) : step_(step) {}
  void note(const std::vector<Entry>&) override {}
  std::optional<int> next() override { return step_; }

 private:
  int step_;
};

TEST(VirtualCampaign, PolicyThatGoesRoundInCirclesGivesUp) {
  Bike bike;
  bike.traits = test::small_knowledge().classes.find("mini-two-stroke")->traits;
  const BikeModel real = fit(test::small_knowledge(), bike, {}, {});
  const Job job = draw_job(real, 1, 0);
  for (const char* step : {"look-at-plug", "ride", "clean-jet"}) {
    Stuck stuck(real.step(step));
    const Played played = play(stuck, real, job);
    EXPECT_TRUE(played.bill.given_up && played.bill.stalled) << step;
    EXPECT_GE(played.bill.spent.minutes, 300) << step;
  }
}

TEST(VirtualCampaign, DisturbedKnowledgeHasTheSameShape) {
  const Knowledge& k = test::small_knowledge();
  Bike bike;
  bike.traits = k.classes.find("mini-two-stroke")->traits;
  const Knowledge wrong = disturbed(k, Dice(1, 1), 1.0), right = disturbed(k, Dice(1, 1), 0);
  const BikeModel a = fit(k, bike, {}, {}), b = fit(wrong, bike, {}, {}), c = fit(right, bike, {}, {});
  ASSERT_EQ(a.plan.steps.size(), b.plan.steps.size());
  ASSERT_EQ(a.faults.size(), b.faults.size());
  for (size_t f = 0; f < a.findings.size(); ++f) {
    ASSERT_EQ(a.model.findings[f].links.size(), b.model.findings[f].links.size());
    for (size_t l = 0; l < a.model.findings[f].links.size(); ++l) {
      const double strength = b.model.findings[f].links[l].strength;
      EXPECT_NE(strength, a.model.findings[f].links[l].strength);
      EXPECT_TRUE(strength > 0 && strength < 1);
    }
  }
  EXPECT_NE(a.plan.steps[0].minutes, b.plan.steps[0].minutes);
  EXPECT_EQ(a.plan.steps[0].minutes, c.plan.steps[0].minutes);
  EXPECT_EQ(a.model.faults[0].odds, c.model.faults[0].odds);
}

TEST(VirtualCampaign, ListNamesRealSteps) {
  const Knowledge k = load_knowledge(CRANKWISE_SOURCE_DIR "/knowledge");
  std::set<std::string> once;
  for (const std::string& id : cheap_first_list()) {
    EXPECT_NE(k.steps.find(id), nullptr) << id;
    EXPECT_TRUE(once.insert(id).second) << id << " twice";
  }
}

}  // namespace
}  // namespace crankwise::bench
