// What the simulated engines say of the faults, written for the knowledge, and where that disagrees with what was given
// by hand. One command makes the file anew: build/release/bench/strengths --write knowledge/simulated.toml
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>

#include "app/engine/evidence.h"
#include "bench/virtual/program.h"
#include "edge/engine_file.h"
#include "edge/file.h"
#include "edge/knowledge.h"

namespace crankwise::bench {
namespace {

void print(const Disagreements& d) {
  fmt::print("Of {} strengths compared {} differ sixfold in odds or more.\n\n", d.compared, d.all.size());
  fmt::print("| engine | fault | finding | by hand | simulated |\n|---|---|---|--:|--:|\n");
  for (const Disagreement& x : d.all)
    fmt::print("| {} | {} | {} | {:.2f} | {:.2f} |\n", x.of_class, x.fault, x.finding, x.by_hand, x.simulated);
}

int run(int argc, char** argv) {
  EnsembleOptions options;
  std::string write;
  std::vector<std::string> only;
  CLI::App app("Strengths of links and ceilings by simulation");
  app.add_option("--draws", options.draws, "bikes and severities for each fault")
      ->check(CLI::Range(4, 1000))
      ->capture_default_str();
  app.add_option("--seed", options.seed, "of the draws")->capture_default_str();
  app.add_option("--engine", only, "only these");
  app.add_option("--write", write, "the file for the knowledge");
  CLI11_PARSE(app, argc, argv);
  const std::filesystem::path knowledge = std::filesystem::path(CRANKWISE_SOURCE_DIR) / "knowledge";
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(knowledge / "engines")) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  std::vector<std::pair<std::string, std::string>> texts;  // all that is given by hand
  for (const auto& entry : std::filesystem::directory_iterator(knowledge))
    if (entry.path().extension() == ".toml" && entry.path().filename() != "simulated.toml")
      texts.emplace_back(entry.path(), read_whole(entry.path(), 10 << 20));
  const Knowledge known = parse_knowledge(texts);
  std::vector<EngineEvidence> all;
  for (const auto& file : files) {
    const std::string id = file.stem();
    if (!only.empty() && !std::ranges::count(only, id)) continue;
    const BikeClass* of = known.classes.find(id);
    const Traits traits(of == nullptr ? std::vector<std::string>{} : of->traits);
    all.push_back(gather(id, load_engine(file), options, [&](std::string_view fault) {
      const Fault* f = known.faults.find(std::string(fault));
      return f != nullptr && f->applies.holds(traits);
    }));
    for (const FaultEvidence& f : all.back().faults)
      if (f.failed > 0) fmt::print(stderr, "{}: {} of {} without a curve\n", f.fault, f.failed, options.draws);
    fmt::print(stderr, "{}\n", id);
  }
  const std::string made = as_knowledge(all, options);
  if (!write.empty()) write_whole(write, made, true);
  texts.emplace_back("simulated.toml", made);
  print(disagreements(parse_knowledge(texts), ""));
  return 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run_program(crankwise::bench::run, argc, argv); }
