// How long do simulated engines take, and how good are they? A markdown table; --help tells the options.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <set>

#include "app/engine/ensemble.h"
#include "bench/virtual/program.h"
#include "bench/virtual/readme.h"
#include "core/engine/machines.h"
#include "edge/engine_file.h"
#include "edge/file.h"

namespace crankwise::bench {
namespace {

double seconds(const std::function<void()>& work) {
  const auto start = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

std::vector<engine::Member> sweep_of(const engine::Design& d, int points) {
  const Sweep s = usual_sweep(d);
  std::vector<engine::Member> out;
  for (int i = 0; i < points; ++i) out.push_back({d, {}, s.from_rpm + (s.to_rpm - s.from_rpm) * i / (points - 1)});
  return out;
}

engine::RunOptions twice_as_fine() {
  engine::RunOptions o;
  for (int* cells : {&o.cells.runner, &o.cells.port, &o.cells.transfer, &o.cells.exhaust}) *cells *= 2;
  return o;
}

std::string engine_row(const std::string& id, const engine::Design& d) {
  const std::vector<engine::Member> members = sweep_of(d, 16);
  std::vector<engine::Outcome> curve, fine;
  double least = 1e9;
  for (int i = 0; i < 5; ++i) least = std::min(least, seconds([&] { curve = engine::run(members, {}); }));
  fine = engine::run(members, twice_as_fine());
  const engine::Peak peak = engine::power_peak(curve), fine_peak = engine::power_peak(fine);
  const engine::Outcome& at = *std::min_element(curve.begin(), curve.end(), [&](const auto& a, const auto& b) {
    return std::abs(a.rpm - peak.rpm) < std::abs(b.rpm - peak.rpm);
  });
  const auto repeat = std::count_if(curve.begin(), curve.end(),
                                    [](const auto& o) { return o.state == engine::Outcome::State::repeats; });
  return fmt::format("| {} | {:.2f} | {} of {} | {:.1f} | {:.0f} | {:.1f} | {:.2f} | {:.2f} | {:.0f} | {:+.2f} % |\n",
                     id, least, repeat, curve.size(), peak.value / 1000, peak.rpm, at.bmep_pa / 1e5, at.delivery_ratio,
                     at.lambda, at.bsfc_kg_j * 3.6e9, 100 * (fine_peak.value / peak.value - 1));
}

std::string speed_rows(const engine::Design& d) {
  const std::vector<engine::Member> members = sweep_of(d, 16);
  std::string out;
  double one = 0;
  const auto row = [&](const char* name, auto run) {
    std::vector<engine::Outcome> o;
    double least = 1e9;
    for (int i = 0; i < 3; ++i) least = std::min(least, seconds([&] { o = run(members, engine::RunOptions{}); }));
    if (one == 0) one = least;
    out += fmt::format("| {} | {:.2f} | {:.1f} |\n", name, least, one / least);
  };
  row("plain, 4 lanes", engine::run_any);
  if (engine::members_at_once() >= 8) row("AVX2, 8 lanes", engine::run_avx2);
  if (engine::members_at_once() >= 16) row("AVX-512, 16 lanes", engine::run_avx512);
  return out;
}

int run(int argc, char** argv) {
  std::string readme;
  CLI::App app("How long do simulated engines take, and how good are they?");
  app.add_option("--readme", readme, "text file whose part between the marks is rewritten");
  CLI11_PARSE(app, argc, argv);
  const std::filesystem::path folder = std::filesystem::path(CRANKWISE_SOURCE_DIR) / "knowledge/engines";
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  std::string table =
      "| engine | s for 16 speeds, one core | repeat | kW at the crank | at rpm | bmep there, bar | delivery ratio | "
      "lambda | "
      "g/kWh | peak power with twice the cells |\n|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|\n";
  for (const auto& file : files) table += engine_row(file.stem(), load_engine(file));
  const engine::Design first = load_engine(files.front());
  table += "\n| 16 speeds of the first | s | times as fast |\n|---|--:|--:|\n" + speed_rows(first);
  std::vector<Trial> trials;
  std::set<void (*)(engine::Design&, double)> changes;
  size_t faults = 0;
  for (const engine::SimulatedFault& f : engine::simulated_faults()) {
    if (!engine::applies(f, first)) continue;
    ++faults;
    if (!changes.insert(f.change).second) continue;  // another fault changes the engine in the same way
    for (const double severity : {0.3, 0.6, 1.0}) trials.push_back(trial_of(first, std::string(f.id), severity));
  }
  Sweep sweep = usual_sweep(first);
  sweep.points = 12;
  const double all = seconds([&] { simulate(trials, sweep); });
  table += fmt::format(
      "\nAll {} faults of it ({} that change it each in a way of its own) at three severities and 12 speeds, on all "
      "cores: {:.1f} s.\n",
      faults, changes.size(), all);
  fmt::print("{}", table);
  if (!readme.empty()) write_file(readme, with_part(read_file(readme), "simulation", "\n" + table + "\n"));
  return 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run_program(crankwise::bench::run, argc, argv); }
