#include "bench/virtual/season.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/lessons.h"
#include "bench/virtual/disturb.h"
#include "bench/virtual/play.h"

namespace crankwise::bench {
namespace {

/// Keeps what is written down while another policy decides.
class Recorder : public Policy {
 public:
  explicit Recorder(std::unique_ptr<Policy> policy) : policy_(std::move(policy)) {}
  void note(const std::vector<Entry>& entries) override {
    if (entries_.empty()) told_ = entries;
    entries_.insert(entries_.end(), entries.begin(), entries.end());
    policy_->note(entries);
  }
  std::optional<int> next() override { return policy_->next(); }
  const std::vector<Entry>& told() const { return told_; }
  const std::vector<Entry>& entries() const { return entries_; }

 private:
  std::unique_ptr<Policy> policy_;
  std::vector<Entry> told_, entries_;
};

double surprise_bits(const Diagnosis& told, const BikeModel& real, const std::vector<int>& causes) {
  constexpr double kLeast = 0.001;
  const std::vector<double> there = told.belief.still_there();
  double bits = 0;
  for (int f : causes) {
    const int here = told.bike().fault(real.faults[static_cast<size_t>(f)]->id);
    bits -= std::log2(std::max(there[static_cast<size_t>(here)], kLeast));
  }
  return bits / static_cast<double>(causes.size());
}

}  // namespace

Season work_season(const Knowledge& k, const std::string& bike_class, const SeasonPlan& plan) {
  constexpr std::uint64_t kHabits = ~std::uint64_t{1};  // throws of no job
  Bike bike;
  bike.traits = k.classes.find(bike_class)->traits;
  Knowledge truth = disturbed(k, Dice(plan.seed, kHabits), plan.sigma);
  if (plan.worth > 0) truth = with_own_shares(truth, Traits(bike.traits), plan.seed, plan.worth);
  const BikeModel real = fit(truth, bike, {}, {});
  Season season;
  std::vector<Lesson> lessons;
  for (int n = 0; n < plan.jobs; ++n) {
    const Job job = draw_job(real, plan.seed, n);
    for (const bool learning : {false, true}) {
      const Learned learned = learning ? learn(k, bike, lessons) : Learned{};
      const BikeModel model = fit(k, bike, {}, {}, learned);
      Recorder policy(make_policy(plan.policy, {&k, &bike, &model, &learned}));
      const Played played = play(policy, real, job, {});
      const Diagnosis told = judge(k, bike, policy.told(), {}, learned);
      (learning ? season.learning : season.plain)
          .push_back({played.bill.spent.joined(real.plan.minutes_per_money), surprise_bits(told, real, job.faults)});
      if (!learning || played.bill.given_up) continue;
      // Every job comes on another bike of the kind.
      Lesson lesson{fmt::format("bike-{}", n),
                    bike.traits,
                    causes_of(judge(k, bike, policy.entries(), {}, learned), learned),
                    {},
                    {}};
      add_answers(lesson, k, policy.entries());
      if (!lesson.causes.empty()) lessons.push_back(std::move(lesson));
    }
  }
  return season;
}

}  // namespace crankwise::bench
