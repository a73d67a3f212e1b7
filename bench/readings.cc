// How much is each reading worth? Jobs drawn from the knowledge itself, done by the advice; at each measuring that it
// chose, what that was expected to tell, and to save against the next best step. --help tells the options.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <atomic>
#include <map>
#include <set>
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
  int jobs = 200;
  std::uint64_t seed = 1;
  int threads = 2;
};

/// A measuring step over all jobs: at each time that the advice chose it.
struct Worth {
  std::string name;
  std::set<std::string> takes;
  int jobs = 0;                 // in which it was used
  std::vector<double> minutes;  // getting there included
  std::vector<double> bits;     // that it was expected to tell of the faults
  std::vector<double> saved;    // by which the whole job was expected to cost less than with the next best step: joined
};
using Table = std::map<std::string, Worth>;  // by step

Table one_job(const Knowledge& k, const Bike& bike, const BikeModel& real, const Settings& settings, int number) {
  Table table;
  const auto watch = [&](const Policy& policy, std::optional<int> chosen, const Hands&) {
    const std::vector<Option> options = policy.options();
    const Step* s = chosen ? real.steps[static_cast<size_t>(*chosen)] : nullptr;
    if (s == nullptr || options.size() < 2 || (s->kind != StepKind::measure && s->reads.empty())) return;
    Worth& w = table[s->id];
    w.name = s->name, w.jobs = 1;
    for (const Reading* r : real.readings_of(*s)) w.takes.insert(r->name);
    w.minutes.push_back((options[0].access + options[0].own).minutes);
    w.bits.push_back(options[0].information_bits);
    w.saved.push_back(options[1].value - options[0].value);
  };
  play(*make_policy(PolicyKind::ours, {&k, &bike, &real}), real, draw_job(real, settings.seed, number), watch);
  return table;
}

void join(Table& into, const Table& from) {
  for (const auto& [step, w] : from) {
    Worth& x = into[step];
    x.name = w.name, x.jobs += w.jobs;
    x.takes.insert(w.takes.begin(), w.takes.end());
    for (auto list : {&Worth::minutes, &Worth::bits, &Worth::saved})
      (x.*list).insert((x.*list).end(), (w.*list).begin(), (w.*list).end());
  }
}

std::string as_text(const Table& table, int all_jobs) {
  constexpr size_t kLeastUses = 20;
  struct Row {
    double worth;
    std::string line;
  };
  std::vector<Row> rows;
  for (const auto& [step, w] : table) {
    if (w.minutes.size() < kLeastUses) continue;
    const Interval saved = paired_ratio(w.saved, w.minutes);
    const double minutes = mean(w.minutes), bits = mean(w.bits);
    rows.push_back(
        {saved.value,
         fmt::format("| {}{}{} | {:.0f} % | {:.1f} | {:.2f} | {:.2f} | {:.2f} ({:.2f} to {:.2f}) |\n", w.name,
                     w.takes.empty() ? "" : ": ", fmt::join(w.takes, ", "), 100.0 * w.jobs / all_jobs, minutes, bits,
                     10 * bits / minutes, saved.value, saved.low, saved.high)});
  }
  std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.worth > b.worth; });
  std::string text =
      "| measuring: readings | used in jobs | minutes | bits expected | bits per 10 minutes | minutes saved per minute "
      "spent "
      "(95 %) |\n|---|---|---|---|---|---|\n";
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
