// How much is each reading worth? Jobs drawn from the knowledge itself, done by the advice with every gauge and meter,
// and again without the one in question wherever it was used. --help tells the options.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <atomic>
#include <cmath>
#include <map>
#include <thread>

#include "app/places.h"
#include "bench/virtual/handbook.h"
#include "bench/virtual/play.h"
#include "bench/virtual/program.h"
#include "bench/virtual/readme.h"
#include "bench/virtual/statistics.h"

namespace crankwise::bench {
namespace {

struct Settings {
  int jobs = 100;
  std::uint64_t seed = 1;
  int threads = 2;
};

/// A measuring step over all jobs.
struct Worth {
  std::string name, takes;
  double minutes = 0, bits = 0;  // from a bike with everything on; expected of it when the job comes in; sums
  int jobs = 0;                  // that could use it
  std::vector<double> spent;     // where it was used: minutes for it, getting there included
  std::vector<double> saved;     // there: minutes of the whole job without it, less those with it
};
using Table = std::map<std::string, Worth>;  // by step

bool measures(const Step* s) { return s != nullptr && (s->kind == StepKind::measure || !s->reads.empty()); }

double entropy_bits(double p) { return p <= 0 || p >= 1 ? 0 : -(p * std::log2(p) + (1 - p) * std::log2(1 - p)); }

/// What each answer tells of the faults, added up over the findings of the step.
double expected_bits(const Book& book, const std::vector<Belief::Set>& sets, const PlanStep& step) {
  double bits = 0;
  for (int f : step.findings) {
    const FindingModel& m = book.model().findings[static_cast<size_t>(f)];
    double yes = 0, noise = 0, all = 0;
    for (const Belief::Set& set : sets) {
      const double so = chance_so(m, set.remaining),
                   y = m.rates.yes_if_not + (m.rates.yes_if_so - m.rates.yes_if_not) * so;
      yes += set.probability * y, noise += set.probability * entropy_bits(y), all += set.probability;
    }
    bits += entropy_bits(yes / all) - noise / all;
  }
  return bits;
}

Played done(const Knowledge& k, const Bike& bike, const BikeModel& real, const Job& job, const std::string& without,
            const Watch& watch = {}) {
  Believed believed{&k, &bike, &real};
  if (!without.empty()) believed.left_out = {without};
  return play(*make_policy(PolicyKind::ours, believed), real, job, watch);
}

Table one_job(const Knowledge& k, const Bike& bike, const BikeModel& real, const Settings& settings, int number) {
  const Job job = draw_job(real, settings.seed, number);
  Table table;
  std::map<std::string, double> spent;
  std::string last;
  double before = 0;
  const auto watch = [&](const Policy&, std::optional<int> step, const Hands& hands) {
    const double now = hands.bill().spent.minutes;
    if (!last.empty()) spent[last] += now - before;
    last = step && measures(real.steps[static_cast<size_t>(*step)]) ? real.step_id(*step) : "";
    before = now;
  };
  const Played with = done(k, bike, real, job, "", watch);

  Hands hands(real, job);
  hands.take_in();
  constexpr size_t kSets = 2000;
  const std::vector<Belief::Set> sets = hands.book().believe().sets(kSets);
  for (size_t s = 0; s < real.steps.size(); ++s) {
    const PlanStep& step = real.plan.steps[s];
    if (!measures(real.steps[s]) || !step.ready || !hands.book().may_do(step)) continue;
    Worth& w = table[real.steps[s]->id];
    w.name = real.steps[s]->name;
    std::vector<std::string> takes;
    for (const Reading* r : real.readings_of(*real.steps[s])) takes.push_back(r->name);
    w.takes = fmt::format("{}", fmt::join(takes, ", "));
    w.jobs = 1;
    w.minutes = hands.book().reach(0, step).minutes + step.minutes;
    w.bits = expected_bits(hands.book(), sets, step);
  }
  for (const auto& [step, minutes] : spent) {
    Worth& w = table[step];
    w.spent.push_back(minutes);
    w.saved.push_back(done(k, bike, real, job, step).bill.spent.minutes - with.bill.spent.minutes);
  }
  return table;
}

void join(Table& into, const Table& from) {
  for (const auto& [step, w] : from) {
    Worth& x = into[step];
    if (!w.name.empty()) x.name = w.name;
    if (!w.takes.empty() && x.takes.find(w.takes) == std::string::npos && w.takes.size() > x.takes.size())
      x.takes = w.takes;
    x.minutes += w.minutes, x.bits += w.bits, x.jobs += w.jobs;
    x.spent.insert(x.spent.end(), w.spent.begin(), w.spent.end());
    x.saved.insert(x.saved.end(), w.saved.begin(), w.saved.end());
  }
}

std::string as_text(const Table& table, int all_jobs) {
  constexpr size_t kLeastUses = 10;
  struct Row {
    double worth;
    std::string line;
  };
  std::vector<Row> rows;
  for (const auto& [step, w] : table) {
    if (w.spent.size() < kLeastUses) continue;
    std::vector<double> gross;  // without it: what was spent on it comes back too
    for (size_t i = 0; i < w.spent.size(); ++i) gross.push_back(w.saved[i] + w.spent[i]);
    const Interval ratio = paired_ratio(gross, w.spent);
    const double minutes = w.minutes / w.jobs, bits = w.bits / w.jobs;
    rows.push_back(
        {ratio.value,
         fmt::format("| {}{} | {:.0f} | {:.3f} | {:.2f} | {:.0f} % | {:.1f} ({:.1f} to {:.1f}) |\n", w.name,
                     w.takes.empty() ? "" : ": " + w.takes, minutes, bits, 100 * bits / minutes,
                     100.0 * static_cast<double>(w.spent.size()) / all_jobs, ratio.value, ratio.low, ratio.high)});
  }
  std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.worth > b.worth; });
  std::string text =
      "| measuring: readings | minutes from a bike with all on | bits when the job comes in | bits per 100 minutes | "
      "used in jobs | "
      "minutes saved per minute spent (95 %) |\n|---|---|---|---|---|---|\n";
  for (const Row& r : rows) text += r.line;
  return text;
}

int run(int argc, char** argv) {
  Settings settings;
  std::vector<std::string> classes = {"motocross-125-two-stroke", "motocross-250-four-stroke-carburettor",
                                      "motocross-450-four-stroke-injection"};
  std::string readme;
  CLI::App app("How much is each reading worth, on virtual bikes whose handbook figures are known?");
  app.add_option("--jobs", settings.jobs, "jobs of each kind of bike")
      ->check(CLI::PositiveNumber)
      ->capture_default_str();
  app.add_option("--seed", settings.seed, "of all dice")->capture_default_str();
  app.add_option("--class", classes, "kinds of bike")->capture_default_str();
  app.add_option("--threads", settings.threads, "change nothing but the time taken")->check(CLI::PositiveNumber);
  app.add_option("--readme", readme, "text file whose part between the marks is rewritten");
  CLI11_PARSE(app, argc, argv);

  const Knowledge k = load_knowledge(usual_knowledge_folder());
  Table all;
  for (const std::string& c : classes) {
    if (k.classes.find(c) == nullptr) throw std::runtime_error("no such kind of bike: " + c);
    Bike bike;
    bike.traits = k.classes.find(c)->traits;
    type_in_handbook(bike, k);
    const BikeModel real = fit(k, bike, {}, {});
    std::vector<Table> tables(static_cast<size_t>(settings.jobs));
    std::atomic<int> next{0};
    std::vector<std::jthread> threads;
    for (int t = 0; t < settings.threads; ++t) {
      threads.emplace_back([&] {
        for (int n = next++; n < settings.jobs; n = next++)
          tables[static_cast<size_t>(n)] = one_job(k, bike, real, settings, n);
      });
    }
    threads.clear();
    for (const Table& t : tables) join(all, t);
  }
  const std::string text = as_text(all, settings.jobs * static_cast<int>(classes.size()));
  fmt::print("{}", text);
  if (!readme.empty()) write_file(readme, with_part(read_file(readme), "readings", "\n" + text + "\n"));
  return 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run_program(crankwise::bench::run, argc, argv); }
