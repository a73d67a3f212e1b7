// Does it pay to learn from closed jobs? Shops whose shares and habits differ from the knowledge, and average ones,
// work the same jobs with learning and without. --help tells the options.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <atomic>
#include <thread>

#include "app/places.h"
#include "bench/virtual/plot.h"
#include "bench/virtual/program.h"
#include "bench/virtual/readme.h"
#include "bench/virtual/season.h"
#include "bench/virtual/statistics.h"

namespace crankwise::bench {
namespace {

std::vector<Season> work_seasons(const Knowledge& k, const std::string& bike_class, SeasonPlan plan, int seeds,
                                 int threads) {
  std::vector<Season> seasons(static_cast<size_t>(seeds));
  std::atomic<int> next{0};
  std::vector<std::jthread> workers;
  for (int t = 0; t < threads; ++t) {
    workers.emplace_back([&] {
      for (int s = next++; s < seeds; s = next++) {
        SeasonPlan own = plan;
        own.seed = static_cast<std::uint64_t>(s) + 1;
        seasons[static_cast<size_t>(s)] = work_season(k, bike_class, own);
      }
    });
  }
  return workers.clear(), seasons;
}

/// One number of the jobs `from` to `to` of all seasons.
template <class Get>
std::vector<double> numbers(const std::vector<Season>& seasons, bool learning, size_t from, size_t to, Get get) {
  std::vector<double> out;
  for (const Season& s : seasons) {
    const auto& jobs = learning ? s.learning : s.plain;
    for (size_t n = from; n < std::min(to, jobs.size()); ++n) out.push_back(get(jobs[n]));
  }
  return out;
}

double joined(const SeasonJob& j) { return j.joined; }
double bits(const SeasonJob& j) { return j.bits; }

std::string table(const std::string& title, const std::vector<Season>& seasons, size_t jobs) {
  std::string out = fmt::format(
      "{}, {} seeds:\n\n"
      "| jobs | joined cost, plain | learning | learning / plain (95 % interval) | bits, plain | learning | "
      "difference (95 % interval) |\n|---|---|---|---|---|---|---|\n",
      title, seasons.size());
  const auto row = [&](size_t from, size_t to) {
    const auto cost = numbers(seasons, true, from, to, joined), plain_cost = numbers(seasons, false, from, to, joined);
    const auto bit = numbers(seasons, true, from, to, bits), plain_bit = numbers(seasons, false, from, to, bits);
    const Interval ratio = paired_ratio(cost, plain_cost), less = paired_difference(bit, plain_bit);
    out += fmt::format(
        "| {} to {} | {:.0f} | {:.0f} | {:.3f} ({:.3f} to {:.3f}) | {:.2f} | {:.2f} | {:+.2f} ({:+.2f} to {:+.2f}) |\n",
        from + 1, to, mean(plain_cost), mean(cost), ratio.value, ratio.low, ratio.high, mean(plain_bit), mean(bit),
        less.value, less.low, less.high);
  };
  size_t from = 0;
  for (size_t to : {size_t{25}, size_t{50}, size_t{100}, size_t{200}, size_t{350}, jobs}) {
    to = std::min(to, jobs);
    if (to > from) row(from, to);
    from = std::max(from, to);
  }
  row(0, jobs);
  return out + "\n";
}

/// Mean over the seeds and over the last `window` jobs.
template <class Get>
Polyline smooth(const std::string& name, const std::vector<Season>& seasons, bool learning, size_t window, Get get) {
  Polyline line{name, {}};
  for (size_t to = window; to <= seasons[0].plain.size(); to += 5)
    line.points.emplace_back(to, mean(numbers(seasons, learning, to - window, to, get)));
  return line;
}

template <class Get>
std::string plot(const std::string& title, const std::string& unit, const std::vector<Season>& own,
                 const std::vector<Season>& average, size_t window, Get get) {
  return line_plot(fmt::format("{}, mean of {} jobs", title, window), "jobs closed", unit,
                   {smooth("shops of their own, learning", own, true, window, get),
                    smooth("shops of their own, plain", own, false, window, get),
                    smooth("average shops, learning", average, true, window, get),
                    smooth("average shops, plain", average, false, window, get)});
}

int run(int argc, char** argv) {
  SeasonPlan plan;
  std::string bike_class = "motocross-125-two-stroke", policy = std::string(word(plan.policy)), svg, readme;
  int seeds = 10, threads = 2;
  CLI::App app("Does it pay to learn from closed jobs?");
  app.add_option("--jobs", plan.jobs, "jobs of each shop")->check(CLI::PositiveNumber)->capture_default_str();
  app.add_option("--seeds", seeds, "shops of each sort")->check(CLI::PositiveNumber)->capture_default_str();
  app.add_option("--sigma", plan.sigma, "how far the strengths and costs of a shop of its own lie from the knowledge")
      ->check(CLI::NonNegativeNumber)
      ->capture_default_str();
  app.add_option("--worth", plan.worth, "for its shares the knowledge counts as this many jobs")
      ->check(CLI::NonNegativeNumber)
      ->capture_default_str();
  app.add_option("--class", bike_class, "kind of bike")->capture_default_str();
  app.add_option("--policy", policy, "who decides")
      ->check(CLI::IsMember({"ours", "information"}))
      ->capture_default_str();
  app.add_option("--threads", threads, "change nothing but the time taken")->check(CLI::PositiveNumber);
  app.add_option("--svg", svg, "file for the surprise and the cost over the jobs");
  app.add_option("--readme", readme, "text file whose part between the marks is rewritten");
  CLI11_PARSE(app, argc, argv);
  plan.policy = policy == "ours" ? PolicyKind::ours : PolicyKind::information;
  const Knowledge k = load_knowledge(usual_knowledge_folder());
  if (k.classes.find(bike_class) == nullptr) throw std::runtime_error("no such kind of bike: " + bike_class);
  const size_t jobs = static_cast<size_t>(plan.jobs);
  const std::vector<Season> own = work_seasons(k, bike_class, plan, seeds, threads);
  std::string tables =
      table(fmt::format("Shops of their own (shares worth {:g} jobs, sigma {:g})", plan.worth, plan.sigma), own, jobs);
  plan.sigma = plan.worth = 0;
  const std::vector<Season> average = work_seasons(k, bike_class, plan, seeds, threads);
  tables += table("Average shops", average, jobs);
  fmt::print("{}", tables);
  if (!svg.empty()) {
    constexpr size_t kBitsWindow = 25, kCostWindow = 100;  // minutes differ more from job to job
    const size_t most = std::max(jobs, size_t{1});
    write_file(svg, stacked({plot("Surprise at the cause after the rider's words", "bits", own, average,
                                  std::min(kBitsWindow, most), bits),
                             plot("Cost of a job, money counted as time", "minutes", own, average,
                                  std::min(kCostWindow, most), joined)}));
  }
  if (!readme.empty()) write_file(readme, with_part(read_file(readme), "seasons", "\n" + tables));
  return 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run_program(crankwise::bench::run, argc, argv); }
