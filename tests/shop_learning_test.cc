// What closed jobs teach the next ones, and how it is taken back. Bikes and jobs are invented.
#include <gtest/gtest.h>

#include <cmath>

#include "app/track_record.h"
#include "tests/shop_case.h"

namespace crankwise {
namespace {

using namespace test;

/// A jet job from the complaint to the proof; `causes` as the mechanic names them.
int jet_job(Shop& s, const std::string& bike, const std::vector<std::string>& causes = {"main-jet-blocked"}) {
  const int job = s.take_in(bike, "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
  s.write(job, {Did{"look-at-jet"}, SaidSo{"jet-dirty", Answer::yes}});
  s.write(job, {Did{"clean-jet"}});
  for (int run = 0; run < 8 && !s.diagnosis(job).advice.proven; ++run) s.write(job, {RanIt{RunResult::gone, ""}});
  s.close(job, JobEnd::proven, causes, "");
  return job;
}

double factor(const Learned& l, const std::string& fault) {
  const auto at = l.share.find(fault);
  return at == l.share.end() ? 1 : at->second;
}

TEST(ShopLearning, AProvenCauseIsLikelierNextTimeAndMoreSoOnItsOwnBike) {
  Shop s = new_shop();
  const std::string own = s.add_bike(red()), other = s.add_bike(red());
  EXPECT_TRUE(s.learned_now(own).share.empty());
  jet_job(s, own);
  const Learned here = s.learned_now(own), there = s.learned_now(other);
  EXPECT_GT(factor(there, "main-jet-blocked"), 1);
  EXPECT_GT(factor(here, "main-jet-blocked"), factor(there, "main-jet-blocked"));
  EXPECT_LT(factor(there, "reed-chipped"), 1);
  // Looks that told the cause: one yes.
  EXPECT_EQ(here.if_there.at({"main-jet-blocked", "jet-dirty"}).yes, 1);
  // What the rider said teaches no strength.
  EXPECT_EQ(here.if_there.count({"main-jet-blocked", "bogs-up-top"}), 0U);
}

TEST(ShopLearning, ALessonLeftOutIsAsIfItHadNeverBeen) {
  const auto next_job = [](bool first, bool left_out) {
    Shop s = new_shop();
    const std::string one = s.add_bike(red()), two = s.add_bike(red());
    if (first) {
      const int job = jet_job(s, one);
      if (left_out) s.let_teach(job, false);
    }
    const int job = s.take_in(two, "bogs up top");
    s.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
    return Verdict(s.diagnosis(job));
  };
  EXPECT_EQ(next_job(true, true), next_job(false, false));
  EXPECT_NE(next_job(true, false), next_job(false, false));
}

TEST(ShopLearning, LeavingOutIsTakenBackAndCountsAgain) {
  Shop s = new_shop();
  const std::string bike = s.add_bike(red());
  const int job = jet_job(s, bike);
  const double before = factor(s.learned_now(bike), "main-jet-blocked");
  s.let_teach(job, false);
  EXPECT_TRUE(s.teachers().empty());
  EXPECT_EQ(refusal([&] { s.let_teach(job, false); }),
            "job: the lesson of job 1 is left out already; right would be: another job");
  EXPECT_EQ(s.undo(job), "what was said about its lesson");
  EXPECT_EQ(factor(s.learned_now(bike), "main-jet-blocked"), before);
  EXPECT_EQ(s.undo(job), "closing the job");
  EXPECT_TRUE(s.learned_now(bike).share.empty());
  EXPECT_EQ(refusal([&] { s.let_teach(job, false); }),
            "job: job 1 taught nothing; right would be: a job that was proven and has a cause");
}

TEST(ShopLearning, AnOpenJobIsNotMovedByOthersThatEnd) {
  Shop s = new_shop();
  const std::string one = s.add_bike(red()), two = s.add_bike(red());
  const int open = s.take_in(two, "bogs up top");
  s.write(open, {SaidSo{"bogs-up-top", Answer::yes}});
  const Verdict before(s.diagnosis(open));
  jet_job(s, one);
  EXPECT_EQ(Verdict(s.diagnosis(open)), before);
}

TEST(ShopLearning, ChangedTogetherStaysTied) {
  Shop s = new_shop();
  const int job = s.take_in(s.add_bike(red()), "bogs up top");
  s.write(job, {SaidSo{"bogs-up-top", Answer::yes}, Did{"new-reeds"}, Did{"clean-jet"}});
  for (int run = 0; run < 8 && !s.diagnosis(job).advice.proven; ++run) s.write(job, {RanIt{RunResult::gone, ""}});
  const Diagnosis d = s.diagnosis(job);
  const auto cured = [&](const char* fault) {
    const size_t f = static_cast<size_t>(d.bike().fault(fault));
    return d.belief.there_at_start()[f] - d.belief.still_there()[f];
  };
  s.close(job, JobEnd::proven, {}, "");
  ASSERT_EQ(s.job(job).credit.size(), 1U);
  const Chances& credit = s.job(job).credit[0];
  EXPECT_NEAR(credit.at("main-jet-blocked") / credit.at("reed-chipped"),
              cured("main-jet-blocked") / cured("reed-chipped"), 0.05);
  double sum = 0;
  for (const auto& [fault, chance] : credit) sum += chance;
  EXPECT_NEAR(sum, 1, 0.003);
}

TEST(ShopLearning, ACauseThatIsNamedIsKnown) {
  Shop s = new_shop();
  const int job = jet_job(s, s.add_bike(red()));
  EXPECT_EQ(s.job(job).credit, (std::vector<Chances>{{{"main-jet-blocked", 1.0}}}));
}

TEST(ShopLearning, TrackRecordIsWhatWasBelieved) {
  Shop s = new_shop();
  const std::string bike = s.add_bike(red());
  EXPECT_EQ(track_record(s).jobs, 0);
  const int job = jet_job(s, bike);
  const TrackRecord r = track_record(s);
  EXPECT_EQ(r.jobs, 1);
  double bits = 0;
  long hits = 0, said = 0;
  for (const Shop::Believed& b : s.believed(100)) {
    if (b.act > 3) continue;  // the third act cleaned the jet
    bits -= std::log2(b.chances.at("main-jet-blocked"));
    ++said;
  }
  ASSERT_EQ(said, 3);
  EXPECT_NEAR(r.bits, bits / 3, 1e-12);
  for (const Reliability::Bin& b : r.leader.bins()) hits += b.hits;
  EXPECT_GE(hits, 1);
  EXPECT_LT(r.bits, r.share_bits);
  EXPECT_LT(r.brier, r.share_brier);
  // Of the latest jobs only, if it is so asked.
  const int later = jet_job(s, bike);
  EXPECT_EQ(s.believed(2).size(), 2 * s.believed(1).size());
  for (const Shop::Believed& b : s.believed(1)) EXPECT_EQ(b.job, later);
  s.undo(later);
  // What is taken back was never believed.
  s.undo(job);
  EXPECT_EQ(track_record(s).jobs, 0);
}

}  // namespace
}  // namespace crankwise
