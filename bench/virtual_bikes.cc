// How good is the advice? Jobs drawn from the knowledge itself, done by the advice and by what a mechanic could do
// instead, with the same luck for all. --help tells the options.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <fstream>
#include <sstream>

#include "app/places.h"
#include "bench/virtual/plot.h"
#include "bench/virtual/program.h"
#include "bench/virtual/readme.h"
#include "bench/virtual/table.h"

namespace crankwise::bench {
namespace {

constexpr int kLeastJobs = 30;  // of a complaint, to have a row

std::string plot(const std::vector<Campaign>& campaigns) {
  std::vector<Curve> curves;
  for (size_t p = 0; p < campaigns[0].policies.size(); ++p) {
    Curve curve{std::string(text(campaigns[0].policies[p])), {}};
    for (const Campaign& c : campaigns) {
      for (const JobResult& j : c.jobs) curve.values.push_back(j.by_policy[p].bill.spent.minutes);
    }
    curves.push_back(std::move(curve));
  }
  Curve known{"if the faults were known", {}};
  for (const Campaign& c : campaigns) {
    for (const JobResult& j : c.jobs) known.values.push_back(j.if_known.minutes);
  }
  curves.push_back(std::move(known));
  return distribution_plot("Minutes to a proven fix or to giving up", "minutes", curves, 5, 2000);
}

int run(int argc, char** argv) {
  Plan plan;
  std::vector<std::string> classes = {"motocross-125-two-stroke", "motocross-250-four-stroke-carburettor",
                                      "motocross-450-four-stroke-injection"};
  std::vector<std::string> words;
  std::string svg, readme;
  int tell = -1;
  CLI::App app("Virtual bikes: how good is the advice?");
  app.add_option("--jobs", plan.jobs, "jobs of each kind of bike")->check(CLI::PositiveNumber)->capture_default_str();
  app.add_option("--seed", plan.seed, "of all dice")->capture_default_str();
  app.add_option("--class", classes, "kinds of bike")->capture_default_str();
  app.add_option("--sigma", plan.sigma, "how wrong the knowledge of the policies is; 0: not at all")
      ->check(CLI::NonNegativeNumber);
  std::vector<std::string> known;
  for (PolicyKind kind : kPolicies) known.emplace_back(word(kind));
  app.add_option("--policies", words, "the first one is compared with the others")
      ->delimiter(',')
      ->check(CLI::IsMember(known));
  app.add_flag("--handbook", plan.handbook, "the figures of the bike's handbook are typed in");
  app.add_option("--threads", plan.threads, "change nothing but the time taken")->check(CLI::PositiveNumber);
  app.add_option("--svg", svg, "file for the distribution of the minutes");
  app.add_option("--readme", readme, "text file whose part between the marks is rewritten");
  app.add_option("--tell", tell, "tell this job of each kind step by step instead");
  CLI11_PARSE(app, argc, argv);
  if (!words.empty()) plan.policies.clear();
  for (const std::string& w : words) {
    for (PolicyKind kind : kPolicies) {
      if (word(kind) == w) plan.policies.push_back(kind);
    }
  }

  const Knowledge k = load_knowledge(usual_knowledge_folder());
  for (const std::string& c : classes) {
    if (k.classes.find(c) == nullptr) throw std::runtime_error("no such kind of bike: " + c);
  }
  if (tell >= 0) {
    for (const std::string& c : classes) fmt::print("{}\n", tell_job(k, c, plan, tell));
    return 0;
  }
  std::vector<Campaign> campaigns;
  std::string tables;
  for (const std::string& c : classes) {
    campaigns.push_back(run_campaign(k, c, plan));
    const std::string table = class_table(campaigns.back()) + "\n";
    fmt::print("{}", table);
    std::fflush(stdout);
    tables += table;
  }
  fmt::print("{}", complaint_table(campaigns, kLeastJobs));
  if (plan.policies[0] == PolicyKind::ours) fmt::print("\n{}", calibration_table(campaigns));
  if (!svg.empty()) write_file(svg, plot(campaigns));
  if (!readme.empty()) {
    tables += complaint_table(campaigns, 2 * plan.jobs / 10);
    if (plan.policies[0] == PolicyKind::ours) tables += "\n" + calibration_table(campaigns);
    write_file(readme, with_part(read_file(readme), "virtual bikes", "\n" + tables + "\n"));
  }
  return 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run_program(crankwise::bench::run, argc, argv); }
