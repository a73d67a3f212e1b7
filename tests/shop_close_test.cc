// How jobs end, and what they leave for the next ones.
#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

// ---- Closing

TEST(Shop, ProvenNeedsACleanRun) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, SaidSo{"jet-dirty", Answer::yes}});
  const auto prove = [&] { return refusal([&] { s.close(job, JobEnd::proven, {}, ""); }); };
  const std::string no_run =
      "not proven yet: the last thing done is not a run without the trouble; right would be: a run after the fix, or "
      "close it as "
      "not-proven or given-up";
  EXPECT_EQ(prove(), no_run);
  s.write(job, {Did{"clean-jet"}});
  EXPECT_EQ(prove(), no_run);
  s.write(job, {RanIt{RunResult::same, ""}});
  EXPECT_EQ(prove(), no_run);
  s.write(job, {RanIt{RunResult::better, ""}});
  EXPECT_EQ(prove(), no_run);
  s.undo(job);
  s.undo(job);
  s.write(job, {RanIt{RunResult::gone, ""}});
  // Nothing done after the clean run may lean on it.
  s.write(job, {Did{"swap-plug"}});
  EXPECT_EQ(prove(), no_run);
  s.undo(job);
  EXPECT_EQ(s.job(job).end, JobEnd::open);
  for (int run = 0; run < 8 && s.job(job).end == JobEnd::open; ++run) {
    if (s.diagnosis(job).advice.proven) {
      EXPECT_EQ(prove(), "");
    } else {
      EXPECT_NE(prove().find("% doubt is left; right would be: another clean run, or close it as not-proven"),
                std::string::npos)
          << prove();
      s.write(job, {RanIt{RunResult::gone, ""}});
    }
  }
  EXPECT_EQ(s.job(job).end, JobEnd::proven);
}

TEST(Shop, OneCleanRunDoesNotProveATroubleThatComesAndGoes) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "breaks up");
  s.write(job, {SaidSo{"breaks-up", Answer::yes}, Took{"coil", 0, "", true}, RanIt{RunResult::gone, ""}});
  EXPECT_GT(s.diagnosis(job).advice.doubt, 0.1);
  const std::string says = refusal([&] { s.close(job, JobEnd::proven, {"coil-open"}, ""); });
  EXPECT_NE(says.find("not proven yet: "), std::string::npos);
  EXPECT_NE(says.find(" % doubt is left"), std::string::npos);
}

TEST(Shop, CausesMustBeFaults) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  EXPECT_EQ(refusal([&] {
              s.close(job, JobEnd::fixed_unproven, {"main-jet-block", "gremlins-in-the-tank"}, "");
            }),
            "causes: no fault is called \"main-jet-block\"; right would be: perhaps \"main-jet-blocked\"\n"
            "causes: no fault is called \"gremlins-in-the-tank\"; right would be: crankwise list faults");
  EXPECT_EQ(s.job(job).end, JobEnd::open);
}

TEST(Shop, LikelyCausesAreWhatTheRepairsPutRight) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  EXPECT_TRUE(s.likely_causes(job).empty());
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, SaidSo{"jet-dirty", Answer::yes}});
  EXPECT_TRUE(s.likely_causes(job).empty());
  s.write(job, {Did{"clean-jet"}, RanIt{RunResult::gone, ""}});
  EXPECT_EQ(s.likely_causes(job), std::vector<std::string>{"main-jet-blocked"});
  s.undo(job);
  s.write(job, {Did{"swap-plug"}, RanIt{RunResult::same, ""}, WentBack{"swap-plug"}});
  EXPECT_TRUE(s.likely_causes(job).empty());
}

TEST(Shop, OfSeveralRepairsOnlyTheLikelyOneIsTheCause) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, Did{"new-reeds"}, Did{"clean-jet"}, RanIt{RunResult::gone, ""}});
  const Diagnosis d = s.diagnosis(job);
  const auto cured = [&](const char* fault) {
    const size_t f = static_cast<size_t>(d.bike().fault(fault));
    return d.belief.there_at_start()[f] - d.belief.still_there()[f];
  };
  EXPECT_GT(cured("main-jet-blocked"), 0.5);
  EXPECT_GT(cured("reed-chipped"), 0.06);
  EXPECT_LT(cured("reed-chipped"), 0.5);
  EXPECT_EQ(s.likely_causes(job), std::vector<std::string>{"main-jet-blocked"});
}

TEST(Shop, TwoCausesAreNamedWhenTwoWereFound) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs and kicks too easily");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, SaidSo{"jet-dirty", Answer::yes},
                Took{"compression", 60, "psi", false}});
  s.write(job, {Did{"clean-jet"}, RanIt{RunResult::better, ""}});
  s.write(job, {Did{"new-piston"}, RanIt{RunResult::gone, ""}});
  std::vector<std::string> causes = s.likely_causes(job);
  std::sort(causes.begin(), causes.end());
  EXPECT_EQ(causes, (std::vector<std::string>{"main-jet-blocked", "rings-worn"}));
}

// ---- What jobs renewed

TEST(Shop, ARepairCountsAsARenewalForLaterJobs) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int first = s.take_in(id, "breaks up");
  s.write(first, {Did{"swap-plug"}});
  s.set_hours(id, 60);
  EXPECT_EQ(s.bike(id).renewed_h, (std::map<std::string, double>{}));
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"plug", 42}}));
  EXPECT_EQ(s.bike_with_renewals(id, first).renewed_h, (std::map<std::string, double>{}));
  s.undo(first);
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{}));
  s.write(first, {Did{"swap-plug"}});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"plug", 60}}));
  s.renewed(id, "plug", {50, "", true});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"plug", 60}}));
  // Not for the job itself: there the repair is evidence.
  const int second = s.take_in(id, "breaks up");
  EXPECT_LT(chance_of(s, second, "plug-worn"), 0.1);
  const std::string other = s.add_bike(red());
  EXPECT_TRUE(s.bike_with_renewals(other).renewed_h.empty());
}

TEST(Shop, TheLatestRenewalCountsWhateverItsJob) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int first = s.take_in(id, "breaks up"), second = s.take_in(id, "bogs");
  s.write(second, {Did{"swap-plug"}});
  s.set_hours(id, 60);
  s.write(first, {Did{"swap-plug"}});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"plug", 60}}));
  s.set_hours(id, 70);
  s.write(second, {Did{"new-piston"}});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{{"piston", 70}, {"plug", 60}}));
}

TEST(Shop, APartThatWentBackOutIsNotRenewed) {
  Shop s = new_shop();
  const std::string id = s.add_bike(red());
  const int job = s.take_in(id, "breaks up");
  s.write(job, {Did{"swap-plug"}, RanIt{RunResult::same, ""}});
  s.write(job, {WentBack{"swap-plug"}});
  EXPECT_EQ(s.bike_with_renewals(id).renewed_h, (std::map<std::string, double>{}));
}

}  // namespace
}  // namespace crankwise
