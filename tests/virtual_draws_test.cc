// Virtual bikes are drawn as the belief models them: what is counted over many draws against what it computes, within
// four standard errors.
#include <gtest/gtest.h>

#include <cmath>

#include "app/diagnosis.h"
#include "bench/virtual/filter.h"
#include "bench/virtual/job.h"
#include "tests/small_knowledge.h"

namespace crankwise::bench {
namespace {

const Bike& mini() {
  static const Bike bike = [] {
    Bike b;
    b.traits = test::small_knowledge().classes.find("mini-two-stroke")->traits;
    return b;
  }();
  return bike;
}

BikeModel small_model() { return fit(test::small_knowledge(), mini(), {}, {}); }

void expect_rate(int hits, int of, double p, const std::string& what) {
  const double error = std::sqrt(p * (1 - p) / of);
  EXPECT_NEAR(static_cast<double>(hits) / of, p, 4 * error) << what;
}

TEST(VirtualDraws, FaultsComeAsOftenAsThePriorSays) {
  const BikeModel m = small_model();
  const std::vector<double> there = believe(m.model, {}).still_there();
  constexpr int kJobs = 20000;
  std::vector<int> seen(there.size(), 0);
  int several = 0;
  for (int n = 0; n < kJobs; ++n) {
    const Job job = draw_job(m, 7, n);
    for (int f : job.faults) ++seen[static_cast<size_t>(f)];
    several += job.faults.size() > 1;
    ASSERT_FALSE(job.told.empty());
    ASSERT_LE(job.told.size(), static_cast<size_t>(kMostTold));
  }
  for (size_t f = 0; f < there.size(); ++f) expect_rate(seen[f], kJobs, there[f], m.faults[f]->id);
  double one = 0;
  for (double p : believe(m.model, {}).alone_now()) one += p;
  expect_rate(several, kJobs, 1 - one, "more than one fault");
  EXPECT_GT(several, kJobs / 20);
}

TEST(VirtualDraws, AnswersComeAsOftenAsTheBeliefSays) {
  BikeModel m = small_model();
  const int plug = m.finding("plug-looks-bad"), spark = m.finding("spark-weak");
  // Two looks that share their error, one of them surer than the other.
  for (int f : {plug, spark}) m.model.findings[static_cast<size_t>(f)].error_group = 0;
  m.model.findings[static_cast<size_t>(spark)].rates = {0.8, 0.1, 0.1, 0.2};
  m.model.findings[static_cast<size_t>(plug)].rates = {0.8, 0.1, 0.1, 0.2};
  const std::vector<int> there = {m.fault("coil-open")};
  constexpr int kLooks = 40000;
  int yes = 0, unsure = 0, both = 0;
  for (int n = 0; n < kLooks; ++n) {
    const Dice dice(3, static_cast<std::uint64_t>(n));
    Answers answers(m.model, dice, 0);
    const Answer p = answers.give(plug, there), s = answers.give(spark, there);
    yes += s == Answer::yes;
    unsure += s == Answer::unsure;
    both += p == Answer::yes && s == Answer::yes;
  }
  // The same from the belief, given that the coil is all there is.
  for (FaultModel& f : m.model.faults) f.odds = 1e-9;
  m.model.faults[static_cast<size_t>(there[0])].odds = 1e9;
  const auto chance = [&](std::vector<Happening> history) {
    return std::exp(believe(m.model, history).log_evidence() - believe(m.model, {}).log_evidence());
  };
  expect_rate(yes, kLooks, chance({Answered{spark, Answer::yes}}), "yes");
  expect_rate(unsure, kLooks, chance({Answered{spark, Answer::unsure}}), "unsure");
  const double together = chance({Answered{plug, Answer::yes}, Answered{spark, Answer::yes}});
  expect_rate(both, kLooks, together, "both");
  const double apart = chance({Answered{plug, Answer::yes}}) * chance({Answered{spark, Answer::yes}});
  EXPECT_GT(std::abs(together - apart), 0.02) << "they share their error";
}

TEST(VirtualDraws, SaysTheSameUntilARepairBearsOnIt) {
  const BikeModel m = small_model();
  const int plug = m.finding("plug-looks-bad");
  int changed = 0;
  for (int n = 0; n < 200; ++n) {
    const Dice dice(5, static_cast<std::uint64_t>(n));
    Answers answers(m.model, dice, 0);
    const std::vector<int> worn = {m.fault("plug-worn")};
    const Answer first = answers.give(plug, worn);
    EXPECT_TRUE(answers.given(plug));
    answers.repaired({m.fault("main-jet-blocked")});
    EXPECT_TRUE(answers.given(plug));
    EXPECT_EQ(answers.give(plug, worn), first);
    answers.repaired(worn);
    EXPECT_FALSE(answers.given(plug));
    changed += answers.give(plug, {}) != first;
  }
  EXPECT_GT(changed, 50);
}

TEST(VirtualDraws, DiceForgetNothingAndRepeatNothing) {
  const Dice a(1, 0), same(1, 0), other(1, 1), seed(2, 0);
  EXPECT_EQ(a.uniform(Throw::run_shows, 3), same.uniform(Throw::run_shows, 3));
  EXPECT_NE(a.uniform(Throw::run_shows, 3), a.uniform(Throw::run_shows, 4));
  EXPECT_NE(a.uniform(Throw::run_shows, 3), a.uniform(Throw::run_better, 3));
  EXPECT_NE(a.uniform(Throw::run_shows, 3), other.uniform(Throw::run_shows, 3));
  EXPECT_NE(a.uniform(Throw::run_shows, 3), seed.uniform(Throw::run_shows, 3));
  double sum = 0, squares = 0;
  constexpr int kThrows = 20000;
  for (int i = 0; i < kThrows; ++i) sum += a.normal(i, 0), squares += a.normal(i, 0) * a.normal(i, 0);
  EXPECT_NEAR(sum / kThrows, 0, 4 / std::sqrt(kThrows));
  EXPECT_NEAR(squares / kThrows, 1, 4 * std::sqrt(2.0 / kThrows));
}

// The policies to compare with carry their belief on step by step; it is the belief of core/belief.
TEST(VirtualDraws, FilterIsTheBelief) {
  const BikeModel m = small_model();
  Book book(m);
  Filter filter(book);
  const std::vector<Entry> entries = {SaidSo{"breaks-up", Answer::yes},
                                      SaidSo{"bogs-up-top", Answer::unsure},
                                      SaidSo{"plug-looks-bad", Answer::yes},
                                      Did{"swap-plug"},
                                      RanIt{RunResult::same, "ride"},
                                      WentBack{"swap-plug"},
                                      SaidSo{"spark-weak", Answer::yes},
                                      SaidSo{"plug-looks-bad", Answer::no},
                                      Did{"clean-jet"},
                                      RanIt{RunResult::better, "ride"},
                                      SaidSo{"coil-is-open", Answer::yes},
                                      Did{"new-coil"},
                                      RanIt{RunResult::gone, "ride"}};
  for (const Entry& e : entries) {
    book.add(e);
    filter.update();
    const Belief belief = book.believe();
    const std::vector<double> exact = belief.still_there(), ours = filter.still_there();
    for (size_t f = 0; f < exact.size(); ++f)
      EXPECT_NEAR(ours[f], exact[f], 1e-5) << m.faults[f]->id << " after " << entry_kind(e);
    EXPECT_NEAR(filter.nothing_left(), belief.nothing_left(), 1e-5);
  }
}

// The book of the bench and the diagnosis of the program make the same of the same entries.
TEST(VirtualDraws, BookIsTheDiagnosis) {
  const BikeModel m = small_model();
  Book book(m);
  std::vector<Entry> entries;
  for (const Entry& e : std::vector<Entry>{SaidSo{"wont-start", Answer::yes}, SaidSo{"only-hot", Answer::no},
                                           Did{"look-at-plug"}, SaidSo{"plug-looks-bad", Answer::yes}, Did{"swap-plug"},
                                           RanIt{RunResult::same, "run-on-stand"}, WentBack{"swap-plug"},
                                           Did{"swap-plug"}, RanIt{RunResult::gone, "ride"}}) {
    entries.push_back(e);
    book.add(e);
    const Diagnosis d = diagnose(test::small_knowledge(), mini(), entries, {});
    EXPECT_EQ(book.state().off, d.state.off);
    EXPECT_EQ(book.state().settled, d.state.settled);
    EXPECT_EQ(book.state().engine_runs, d.state.engine_runs);
    EXPECT_EQ(book.state().engine_hot, d.state.engine_hot);
    EXPECT_EQ(book.state().last_run_clean, d.state.last_run_clean);
    EXPECT_EQ(book.state().repaired_since_run, d.state.repaired_since_run);
    EXPECT_EQ(book.plan().run_step, d.bike().plan.run_step);
    for (size_t s = 0; s < book.plan().steps.size(); ++s) {
      EXPECT_NEAR(book.plan().steps[s].minutes, d.bike().plan.steps[s].minutes, 1e-12);
      for (size_t c = 0; c < book.plan().steps[s].cures.size(); ++c)
        EXPECT_NEAR(book.plan().steps[s].cures[c].chance, d.bike().plan.steps[s].cures[c].chance, 1e-12);
    }
    const std::vector<double> here = book.believe().still_there(), there = d.belief.still_there();
    for (size_t f = 0; f < here.size(); ++f) EXPECT_NEAR(here[f], there[f], 1e-9);
  }
}

}  // namespace
}  // namespace crankwise::bench
