#include "bench/virtual/campaign.h"

#include <fmt/format.h>

#include <atomic>
#include <ranges>
#include <thread>

#include "bench/virtual/disturb.h"
#include "bench/virtual/handbook.h"

namespace crankwise::bench {
namespace {

struct Setting {
  const Knowledge& knowledge;
  Bike bike;
  BikeModel real;
  std::vector<double> share;  // of every fault, before anything is known
};

Setting setting_of(const Knowledge& k, const std::string& bike_class, const Plan& plan) {
  Bike bike;
  bike.traits = k.classes.find(bike_class)->traits;
  if (plan.handbook) type_in_handbook(bike, k);
  BikeModel real = fit(k, bike, {}, {});
  std::vector<double> share = believe(real.model, {}).still_there();
  return {k, std::move(bike), std::move(real), std::move(share)};
}

JobResult run_job(const Setting& s, const Plan& plan, int number) {
  const auto& [k, bike, real, share] = s;
  const Job job = draw_job(real, plan.seed, number);
  JobResult result;
  for (int f : job.told) result.told.push_back(real.findings[static_cast<size_t>(f)]->name);
  for (int f : job.faults) result.faults.push_back(real.faults[static_cast<size_t>(f)]->id);
  result.if_known = cost_if_known(real, job);
  const Knowledge wrong = plan.sigma > 0 ? disturbed(k, job.dice, plan.sigma) : Knowledge{};
  const Knowledge& believed = plan.sigma > 0 ? wrong : k;
  const BikeModel model = fit(believed, bike, {}, {});
  for (PolicyKind kind : plan.policies) {
    const auto policy = make_policy(kind, {&believed, &bike, &model});
    const auto watch = [&](const Policy& p, std::optional<int> step, const Hands& hands) {
      if (const std::vector<double> said = p.forecast(); step && !said.empty())
        result.calibration.add(said, share, hands.there());
    };
    result.by_policy.push_back(play(*policy, real, job, watch));
  }
  return result;
}

std::string names(const BikeModel& m, const std::vector<int>& faults) {
  return fmt::format(
      "{}",
      fmt::join(faults | std::views::transform([&](int f) { return m.faults[static_cast<size_t>(f)]->id; }), " "));
}

}  // namespace

std::string tell_job(const Knowledge& k, const std::string& bike_class, const Plan& plan, int number) {
  const Setting setting = setting_of(k, bike_class, plan);
  const auto& [knowledge, bike, real, share] = setting;
  const Job job = draw_job(real, plan.seed, number);
  std::string out = fmt::format("{} job {}: {}\n", bike_class, number, names(real, job.faults));
  for (int f : job.told) out += fmt::format("  told {}\n", real.findings[static_cast<size_t>(f)]->id);
  for (PolicyKind kind : plan.policies) {
    out += fmt::format("{}\n", text(kind));
    const auto policy = make_policy(kind, {&k, &bike, &real});
    size_t told = 0;
    const auto watch = [&](const Policy&, std::optional<int> step, const Hands& hands) {
      for (const auto& h = hands.book().history(); told < h.size(); ++told) {
        if (const auto* a = std::get_if<Answered>(&h[told]); a != nullptr && a->answer != Answer::no)
          out += fmt::format("             {}{}\n", real.findings[static_cast<size_t>(a->finding)]->id,
                             a->answer == Answer::yes ? "" : " unsure");
        if (const auto* r = std::get_if<Ran>(&h[told]))
          out += fmt::format("             {}\n", crankwise::text(r->result));
      }
      out += fmt::format("  {:>5.0f} {:>5.0f} {} [{}]\n", hands.bill().spent.minutes, hands.bill().spent.money,
                         step ? real.step_id(*step) : "closed", names(real, hands.there()));
    };
    play(*policy, real, job, watch);
  }
  return out;
}

Campaign run_campaign(const Knowledge& k, const std::string& bike_class, const Plan& plan) {
  const Setting setting = setting_of(k, bike_class, plan);
  Campaign c{bike_class, k.classes.find(bike_class)->name, plan.policies, setting.real.plan.minutes_per_money, {}};
  c.jobs.resize(static_cast<size_t>(plan.jobs));
  std::atomic<int> next{0};
  std::vector<std::jthread> threads;
  for (int t = 0; t < plan.threads; ++t) {
    threads.emplace_back([&] {
      for (int n = next++; n < plan.jobs; n = next++) {
        c.jobs[static_cast<size_t>(n)] = run_job(setting, plan, n);
      }
    });
  }
  threads.clear();
  return c;
}

}  // namespace crankwise::bench
