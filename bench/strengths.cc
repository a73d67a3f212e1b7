// What the simulated engines say of the faults, written for the knowledge, and where that disagrees with what was given
// by hand. One command makes the file anew: build/release/bench/strengths --write knowledge/simulated.toml
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <filesystem>

#include "app/engine/ensemble.h"
#include "bench/virtual/program.h"
#include "edge/engine_file.h"
#include "edge/file.h"
#include "edge/knowledge.h"

namespace crankwise::bench {
namespace {

constexpr double kSaid = 0.15;  // strengths below are not worth a line, by hand or here

std::string as_toml(const std::vector<EngineEvidence>& all, const EnsembleOptions& o) {
  std::string out =
      "# Made by build/release/bench/strengths --write knowledge/simulated.toml; do not edit.\n"
      "# How often each fault shows each finding on simulated bikes of a class, and where the engine then stops in "
      "neutral\n"
      "# and in a middle gear, as a share of where the same bike stops healthy (5th, 25th, 50th, 75th, 95th "
      "percentile).\n";
  for (const EngineEvidence& e : all) {
    out += fmt::format("\n[simulated.{}]\nsource = \"simulation\"\ndraws = {}\nseed = {}\n", e.engine, o.draws, o.seed);
    out += "by_chance = { ";
    bool first = true;
    for (const auto& [finding, share] : e.leak) {
      if (share < kSaid / 2) continue;
      out += fmt::format("{}{} = {:.2f}", first ? "" : ", ", finding, share);
      first = false;
    }
    out += " }\n";
    for (const FaultEvidence& f : e.faults) {
      if (f.draws < 8) continue;
      out += fmt::format("\n[simulated.{}.fault.{}]\ndraws = {}\n", e.engine, f.fault, f.draws);
      out += fmt::format("in_neutral = [{:.2f}]\nin_a_gear = [{:.2f}]\n", fmt::join(f.neutral, ", "),
                         fmt::join(f.gear, ", "));
      out += "shows = { ";
      first = true;
      for (const auto& [finding, share] : f.shows) {
        if (share < kSaid) continue;
        out += fmt::format("{}{} = {:.2f}", first ? "" : ", ", finding, share);
        first = false;
      }
      out += " }\n";
    }
  }
  return out;
}

double odds(double p) { return p / (1 - p); }

/// By hand and by the simulation, where one says so and the other hardly, or the odds differ sixfold.
std::string disagreements(const Knowledge& k, const std::vector<EngineEvidence>& all) {
  struct Row {
    std::string text;
    double apart = 0;
  };
  std::vector<Row> rows;
  int compared = 0;
  for (const EngineEvidence& e : all) {
    const BikeClass* c = k.classes.find(e.engine);
    if (c == nullptr) continue;
    for (const FaultEvidence& f : e.faults) {
      const Fault* fault = k.faults.find(f.fault);
      if (fault == nullptr || f.draws < 8) continue;
      for (const auto& [finding, share] : f.shows) {
        if (k.findings.find(finding) == nullptr) continue;
        double by_hand = 0.01;
        for (const Strengths* links : {&fault->causes, &fault->causes_every})
          for (const auto& [id, strength] : *links)
            if (id == finding) by_hand = strength.of(Traits(c->traits));
        ++compared;
        const double s = std::clamp(share, 0.02, 0.98), h = std::clamp(by_hand, 0.02, 0.98);
        const double apart = std::abs(std::log(odds(s) / odds(h)));
        if (apart < std::log(6.0) || std::max(s, h) < kSaid) continue;
        rows.push_back(
            {fmt::format("| {} | {} | {} | {:.2f} | {:.2f} |\n", e.engine, f.fault, finding, by_hand, share), apart});
      }
    }
  }
  std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.apart > b.apart; });
  std::string out = fmt::format(
      "Of {} strengths compared {} differ sixfold in odds or more.\n\n| engine | fault | finding | by hand | simulated "
      "|\n|---|---|---|--:|--:|\n",
      compared, rows.size());
  for (const Row& r : rows) out += r.text;
  return out;
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
  std::vector<EngineEvidence> all;
  for (const auto& file : files) {
    const std::string id = file.stem();
    if (!only.empty() && !std::ranges::count(only, id)) continue;
    all.push_back(gather(id, load_engine(file), options));
    fmt::print(stderr, "{}\n", id);
  }
  if (!write.empty()) write_whole(write, as_toml(all, options), true);
  fmt::print("{}", disagreements(load_knowledge(knowledge), all));
  return 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run_program(crankwise::bench::run, argc, argv); }
