// How long the belief and the advice take with the full knowledge, and how that grows with the number of faults.
// Prints tables: median and 95 % over many calls on one core; ratios between rows of one run are what counts.
#include <fmt/format.h>
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <functional>
#include <random>

#include "app/diagnosis.h"
#include "app/places.h"
#include "core/belief/explain.h"
#include "core/belief/priors.h"

namespace crankwise {
namespace {

struct Times {
  double median_ms, high_ms;  // high: 95 %
};

Times time_calls(int calls, const std::function<void()>& call) {
  using Clock = std::chrono::steady_clock;
  call();  // warm
  std::vector<double> ms;
  for (int i = 0; i < calls; ++i) {
    const auto from = Clock::now();
    call();
    ms.push_back(std::chrono::duration<double, std::milli>(Clock::now() - from).count());
  }
  std::sort(ms.begin(), ms.end());
  return {ms[ms.size() / 2], ms[ms.size() * 95 / 100]};
}

void row(const std::string& what, Times t, double target_ms) {
  fmt::print("| {:<44} | {:>8.3f} | {:>8.3f} | {:>6} |\n", what, t.median_ms, t.high_ms,
             target_ms > 0 ? fmt::format("{:g}", target_ms) : "");
}

/// A job in the middle: complaint, some looks, one repair that did not help.
std::vector<Entry> some_job() {
  return {SaidSo{"bogs-up-top", Answer::yes},
          SaidSo{"at-full-throttle", Answer::yes},
          SaidSo{"came-suddenly", Answer::no},
          SaidSo{"smokes-blue", Answer::no},
          SaidSo{"plug-black-dry", Answer::yes},
          Did{"fit-new-plug"},
          RanIt{RunResult::same, ""},
          SaidSo{"filter-dirty-seen", Answer::no},
          SaidSo{"choke-makes-worse", Answer::yes}};
}

/// The job with the five broadest repairs that may fail, each followed by a failed run and a look.
std::vector<Happening> broadly_repaired(const BikeModel& m, std::vector<Happening> history) {
  const auto uncertain = [](const PlanStep* s) {
    return std::count_if(s->cures.begin(), s->cures.end(), [](const Cure& c) { return c.chance < 1; });
  };
  std::vector<const PlanStep*> steps;
  for (const PlanStep& s : m.plan.steps) steps.push_back(&s);
  std::stable_sort(steps.begin(), steps.end(), [&](auto* a, auto* b) { return uncertain(a) > uncertain(b); });
  for (size_t k = 0; k < 5; ++k) {
    history.emplace_back(Repaired{steps[k]->cures});
    history.emplace_back(Ran{RunResult::same});
    history.emplace_back(Answered{static_cast<int>(k), Answer::unsure});
  }
  return history;
}

void full_knowledge(const Knowledge& k, const std::string& bike_class) {
  Bike bike;
  bike.traits = k.classes.find(bike_class)->traits;
  const Diagnosis d = diagnose(k, bike, some_job(), {});
  const BikeModel& m = d.bike();
  fmt::print("\n{}: {} faults, {} findings, {} steps\n\n", k.classes.find(bike_class)->name, m.faults.size(),
             m.findings.size(), m.plan.steps.size());
  fmt::print("| {:<44} | {:>8} | {:>8} | {:>6} |\n|---|---|---|---|\n", "ms on one core", "median", "95 %", "target");

  const FindingModel& finding = m.model.findings[static_cast<size_t>(m.finding("blubbers"))];
  const auto [so, not_so] = finding.rates.chance(Answer::yes);
  SetTable table = d.belief.table;
  const Likelihood yes{so, (not_so - so) * (1 - finding.background), d.belief.absent_column(finding)};
  const Likelihood no{1 - so, (so - not_so) * (1 - finding.background), d.belief.absent_column(finding)};
  bool turn = false;
  row("one finding", time_calls(400, [&] { table.observe((turn = !turn) ? yes : no); }), 0.1);
  row("all marginals", time_calls(400, [&] { d.belief.still_there(); }), 0.2);
  row("prediction of every finding", time_calls(100, [&] { d.belief.chances_so(); }), 10);
  row("recommendation (next step and alternatives)", time_calls(100, [&] { advise(m.plan, d.belief, d.state); }), 10);
  row("whole rebuild from the entries", time_calls(100, [&] { believe(m.model, d.history); }), 0);
  const std::vector<Happening> broad = broadly_repaired(m, d.history);
  row("whole rebuild after five broad repairs", time_calls(30, [&] { believe(m.model, broad); }), 0);
  const Belief after = believe(m.model, broad);
  row("likeliest 160 sets after five broad repairs", time_calls(30, [&] { after.sets(160); }), 0);
  row("fit of the knowledge to the bike", time_calls(100, [&] { fit(k, bike, {}, {}); }), 0);
  row("why (leave one out) of the leading fault",
      time_calls(30, [&] { weigh_evidence(m.model, d.history, d.suspects(1).front().fault); }), 0);
}

void growth() {
  fmt::print("\nGrowth with the number of faults (invented nets, 15 % of links present, 200 findings)\n\n");
  fmt::print(
      "| faults | sets | one finding ms | all marginals ms | 200 predictions ms | prior ms "
      "|\n|---|---|---|---|---|---|\n");
  for (int n : {40, 80, 120, 160, 200}) {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> uniform(0, 1);
    std::vector<double> shares;
    for (int i = 0; i < n; ++i) shares.push_back(1.0 / (i + 3));
    Model model;
    for (double odds : odds_from_shares(shares, 0.1)) model.faults.push_back({odds});
    for (int f = 0; f < 200; ++f) {
      FindingModel finding;
      for (int i = 0; i < n; ++i) {
        if (uniform(random) < 0.15) finding.links.push_back({i, uniform(random)});
      }
      model.findings.push_back(std::move(finding));
    }
    const Belief prior = believe(model, {});
    SetTable table = prior.table;
    const Likelihood yes{0.9, -0.85, prior.absent_column(model.findings[0])};
    const Times one = time_calls(200, [&] { table.observe(yes); });
    const Times all = time_calls(200, [&] { prior.table.marginals(); });
    const Times predict = time_calls(30, [&] { prior.chances_so(); });
    const Times fresh = time_calls(30, [&] { believe(model, {}); });
    const long long m = n;
    fmt::print("| {} | {} | {:.3f} | {:.3f} | {:.2f} | {:.2f} |\n", n,
               1 + m + m * (m - 1) / 2 + m * (m - 1) * (m - 2) / 6, one.median_ms, all.median_ms, predict.median_ms,
               fresh.median_ms);
  }
}

}  // namespace
}  // namespace crankwise

int main() {
  using namespace crankwise;
  const Knowledge k = load_knowledge(usual_knowledge_folder());
  for (const char* c :
       {"motocross-125-two-stroke", "motocross-250-four-stroke-carburettor", "motocross-450-four-stroke-injection"}) {
    full_knowledge(k, c);
  }
  growth();
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  fmt::print("\nlargest memory of this whole run: {:.0f} MB (target 100)\n",
             static_cast<double>(usage.ru_maxrss) / 1024);
}
