// How good is the advice? Jobs drawn from the knowledge itself, done by the advice and by what a mechanic could do
// instead, with the same luck for all. --help tells the options.
#include <fmt/format.h>

#include <CLI/CLI.hpp>

#include "app/places.h"
#include "bench/virtual/table.h"

namespace crankwise::bench {
namespace {

int run(int argc, char** argv) {
  Plan plan;
  std::vector<std::string> classes, words;
  CLI::App app("Virtual bikes: how good is the advice?");
  app.add_option("--jobs", plan.jobs, "jobs of each class")->check(CLI::PositiveNumber);
  app.add_option("--seed", plan.seed, "of all dice");
  app.add_option("--class", classes, "kinds of bike; three by default");
  app.add_option("--sigma", plan.sigma, "how wrong the knowledge of the policies is (0: right)");
  app.add_option("--policies", words, "ours, list, sorted, ratio, information")->delimiter(',');
  app.add_option("--threads", plan.threads)->check(CLI::PositiveNumber);
  int tell = -1;
  app.add_option("--tell", tell, "tell this job step by step");
  CLI11_PARSE(app, argc, argv);
  if (classes.empty())
    classes = {"motocross-125-two-stroke", "motocross-250-four-stroke-carburettor",
               "motocross-450-four-stroke-injection"};
  if (!words.empty()) plan.policies.clear();
  for (const std::string& w : words) {
    for (PolicyKind kind : kPolicies) {
      if (word(kind) == w) plan.policies.push_back(kind);
    }
  }
  const Knowledge k = load_knowledge(usual_knowledge_folder());
  for (const std::string& c : classes) {
    if (tell >= 0) {
      fmt::print("{}\n", tell_job(k, c, plan, tell));
      continue;
    }
    fmt::print("{}\n", class_table(run_campaign(k, c, plan), k.classes.find(c)->name));
  }
  return 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run(argc, argv); }
