// Learning from closed jobs against printed values.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "core/learn/calibration.h"
#include "core/learn/chance.h"
#include "core/learn/shares.h"

namespace crankwise {
namespace {

constexpr int kPlug = 0, kFilter = 1, kJet = 2, kBox = 3, kReed = 4;
const std::vector<double> kShare = {0.30, 0.22, 0.20, 0.13, 0.15};

CauseLesson known(int fault) { return {1, {{{fault, 1}}}, kShare}; }

std::vector<double> learned_shares(const std::vector<CauseLesson>& lessons, const std::vector<double>& share,
                                   double k) {
  std::vector<double> out = share_factors(lessons, share, k);
  for (size_t f = 0; f < share.size(); ++f) out[f] *= share[f];
  return out;
}

// Printed (troubleshooting reference, section 2.5; conjugate update of the Dirichlet distribution): five shares worth
// 20 jobs, ten jobs closed as 6 jet, 2 plug, 2 box.
TEST(Learn, SharesOfTenJobs) {
  std::vector<CauseLesson> lessons;
  for (int i = 0; i < 6; ++i) lessons.push_back(known(kJet));
  for (int f : {kPlug, kPlug, kBox, kBox}) lessons.push_back(known(f));
  const auto now = learned_shares(lessons, kShare, 20);
  EXPECT_NEAR(now[kPlug], 0.266667, 1e-6);
  EXPECT_NEAR(now[kFilter], 0.146667, 1e-6);
  EXPECT_NEAR(now[kJet], 0.333333, 1e-6);
  EXPECT_NEAR(now[kBox], 0.153333, 1e-6);
  EXPECT_NEAR(now[kReed], 0.1, 1e-6);
}

// Printed (section 7): the cause that is not in the list, Beta(1, 19): 0 of 10 such jobs .033, 3 of 10 .133.
TEST(Learn, CauseNotInTheList) {
  const std::vector<double> share = {0.05, 0.95};
  std::vector<CauseLesson> none(10, {1, {{{1, 1}}}, share}), three = none;
  for (size_t i = 0; i < 3; ++i) three[i].causes = {{{0, 1}}};
  EXPECT_NEAR(learned_shares(none, share, 20)[0], 0.033, 5e-4);
  EXPECT_NEAR(learned_shares(three, share, 20)[0], 0.133, 5e-4);
}

// Printed: jet or reed changed together, believed .5 and .2 just before: credit .714286 and .285714.
TEST(Learn, ChangedTogether) {
  const std::vector<CauseLesson> lessons = {{1, {{{kJet, 0.5}, {kReed, 0.2}}}, kShare}};
  const auto credit = credits(lessons, std::vector<double>(5, 1));
  EXPECT_NEAR(credit[kJet], 0.714286, 1e-6);
  EXPECT_NEAR(credit[kReed], 0.285714, 1e-6);
  const std::vector<CauseLesson> turned = {{1, {{{kReed, 0.2}, {kJet, 0.5}}}, kShare}};
  EXPECT_EQ(share_factors(lessons, kShare, 20), share_factors(turned, kShare, 20));
}

// Printed: 6 jet, 2 reed and 4 "either" give .75 and .25 (expectation maximisation without a prior).
TEST(Learn, TiesFollowTheRest) {
  const std::vector<double> share = {0.5, 0.5};
  std::vector<CauseLesson> lessons(6, {1, {{{0, 1}}}, share});
  lessons.resize(8, {1, {{{1, 1}}}, share});
  lessons.resize(12, {1, {{{0, 0.5}, {1, 0.5}}}, share});
  const auto now = learned_shares(lessons, share, 1e-9);
  EXPECT_NEAR(now[0], 0.75, 1e-6);
  EXPECT_NEAR(now[1], 0.25, 1e-6);
}

// What was expected teaches nothing: a fault that hours or a context made likely in exactly these jobs (by hand).
TEST(Learn, TheExpectedTeachesNothing) {
  std::vector<CauseLesson> lessons;
  for (int f = 0; f < 4; ++f) lessons.push_back({1, {{{f, 1}}}, {0.25, 0.25, 0.25, 0.25, 0}});
  const auto factors = share_factors(lessons, kShare, 20);
  for (int f = 0; f < 4; ++f) EXPECT_NEAR(factors[static_cast<size_t>(f)], 1, 1e-12) << f;
  EXPECT_EQ(factors[kReed], 1);
}

// A fault that does not apply stays as it is, old jobs fade, and without lessons nothing changes.
TEST(Learn, WeightsAndEdges) {
  EXPECT_EQ(share_factors({}, kShare, 20), std::vector<double>(5, 1));
  const std::vector<double> share = {0, 1};
  const std::vector<CauseLesson> odd = {{1, {{{0, 1}}}, {0.5, 0.5}}};
  EXPECT_EQ(share_factors(odd, share, 20)[0], 1);
  EXPECT_NEAR(weight_after(34, 0.98), 0.5032, 1e-4);  // by hand: .98^34
  std::vector<CauseLesson> old = {known(kJet)};
  old[0].weight = weight_after(34, 0.98);
  // By hand: (20 * .2 + .5032) / (20 * .2 + .5032 * .2)
  EXPECT_NEAR(share_factors(old, kShare, 20)[kJet], 4.5032 / 4.10064, 1e-4);
}

// Learned shares of any jobs of one kind sum to one again, whatever is tied to what.
TEST(Learn, SharesSumToOne) {
  std::mt19937 dice(7);
  for (int round = 0; round < 50; ++round) {
    std::vector<CauseLesson> lessons;
    for (int job = 0; job < 30; ++job) {
      CauseLesson l{1.0 - 0.01 * job, {}, kShare};
      for (unsigned c = 0; c <= dice() % 2; ++c) {
        std::vector<Candidate> candidates;
        for (int f = 0; f < 5; ++f) {
          if (dice() % 2 == 0) candidates.push_back({f, 0.1 + 0.1 * static_cast<double>(dice() % 9)});
        }
        if (!candidates.empty()) l.causes.push_back(candidates);
      }
      lessons.push_back(l);
    }
    double sum = 0;
    for (double s : learned_shares(lessons, kShare, 20)) sum += s;
    EXPECT_NEAR(sum, 1, 1e-9);
  }
}

// Printed: Beta(6, 4) after 9 of 10: Beta(15, 5), mean .75, standard deviation .0945.
TEST(Learn, Beta) {
  const Beta b = Beta::of(0.6, 10);
  EXPECT_NEAR(b.yes, 6, 1e-12);
  EXPECT_NEAR(b.no, 4, 1e-12);
  const Beta after{b.yes + 9, b.no + 1};
  EXPECT_NEAR(after.mean(), 0.75, 1e-12);
  EXPECT_NEAR(after.sd(), 0.0945, 5e-5);
}

// With answers that never err, a strength is the beta distribution's mean.
TEST(Learn, StrengthFromAnswers) {
  const AnswerRates sure{1, 0, 0, 0};
  EXPECT_NEAR(learned_strength(0.6, 0, sure, {9, 1}, 10), 0.75, 1e-12);
  EXPECT_EQ(learned_strength(0.6, 0.02, {}, {0, 0}, 20), 0.6);
  // Only "no" never says that the fault cannot show it.
  EXPECT_GE(learned_strength(0.3, 0.01, {}, {0, 1e6}, 20), 0.005);
  EXPECT_LE(learned_strength(0.3, 0.01, {}, {1e6, 0}, 20), 0.99);
}

// Many answers drawn from the model bring a strength back, erring and unsure answers included.
TEST(Learn, ManyAnswersFindTheTruth) {
  const AnswerRates rates;
  for (double truth : {0.1, 0.5, 0.9}) {
    const double background = 0.02, so = 1 - (1 - background) * (1 - truth), yes = yes_share(so, rates);
    EXPECT_NEAR(so_from_yes_share(yes, rates), so, 1e-12);
    EXPECT_NEAR(learned_strength(0.4, background, rates, {1e7 * yes, 1e7 * (1 - yes)}, 20), truth, 1e-4);
  }
}

// Printed: of ten jobs said .6, three to eight hits are fine (binomial distribution).
TEST(LearnCalibration, HitsBand) {
  EXPECT_EQ(hits_band(10, 0.6), (std::pair{3, 8}));
  EXPECT_EQ(hits_band(10, 0), (std::pair{0, 0}));
  EXPECT_EQ(hits_band(10, 1), (std::pair{10, 10}));
}

// Printed: four groups of ten said .9, .6, .3, .1; hits 9, 5, 4, 1: .1725 = .005 - .081875 + .249375; log score .514830
// nats.
TEST(LearnCalibration, BrierAndItsSplit) {
  Reliability half, r;
  const std::vector<std::pair<double, int>> groups = {{0.9, 9}, {0.6, 5}, {0.3, 4}, {0.1, 1}};
  for (size_t g = 0; g < groups.size(); ++g) {
    for (int i = 0; i < 10; ++i) (g < 2 ? half : r).add(groups[g].first, i < groups[g].second);
  }
  r.add_job(half);
  EXPECT_NEAR(r.brier(), 0.1725, 1e-12);
  EXPECT_NEAR(r.split().reliability, 0.005, 1e-12);
  EXPECT_NEAR(r.split().resolution, 0.081875, 1e-12);
  EXPECT_NEAR(r.split().uncertainty, 0.249375, 1e-12);
  EXPECT_NEAR(r.log_bits() * 0.69314718056, 0.514830, 1e-6);
}

// With one forecast a job the error is the one of the binomial distribution, sqrt(p (1 - p) / n); the same forecast
// made again in each job adds nothing (by hand).
TEST(LearnCalibration, ErrorCountsJobsNotForecasts) {
  Reliability once, often;
  for (int job = 0; job < 10; ++job) {
    Reliability one, many;
    one.add(0.65, job < 6);
    for (int i = 0; i < 7; ++i) many.add(0.65, job < 6);
    once.add_job(one);
    often.add_job(many);
  }
  const double expected = std::sqrt((6 * 0.35 * 0.35 + 4 * 0.65 * 0.65) / 100);
  EXPECT_NEAR(once.bins()[6].error(), expected, 1e-12);
  EXPECT_NEAR(often.bins()[6].error(), expected, 1e-12);
  EXPECT_EQ(once.bins()[0].error(), 0);
}

}  // namespace
}  // namespace crankwise
