// How well is the speed heard? The made takes (tests/sounds) and the real ones, by our tracker and by those of others:
// the share of frames without an answer or more than 3 % off. --help tells the options.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <stdexcept>

#include "bench/sound/measured.h"
#include "bench/sound/ours.h"
#include "bench/sound/outside.h"
#include "bench/sound/score.h"
#include "bench/sound/scratch.h"
#include "bench/sound/table.h"
#include "bench/sound/takes.h"
#include "bench/virtual/program.h"
#include "bench/virtual/readme.h"

namespace crankwise::bench {
namespace {

SoundRow judged(const SoundTake& take, const std::vector<Outside>& trackers, const Scratch& scratch) {
  SoundRow row{.name = take.name, .engine_there = take.engine_there, .ours = score(take, listen(take)), .outside = {}};
  for (const Outside& o : trackers) row.outside.push_back(score(take, listen(o, take, scratch.path())));
  fmt::print(stderr, "{}\n", take.name);
  return row;
}

int run(int argc, char** argv) {
  std::string set = "all", readme;
  std::vector<std::string> only;
  bool no_outside = false, speed = false;
  CLI::App app("How well is the speed of an engine heard?");
  app.add_option("--set", set, "all: scoring and real")
      ->check(CLI::IsMember({"all", "tuning", "scoring", "real"}))
      ->capture_default_str();
  app.add_option("--case", only, "only these takes");
  app.add_flag("--no-outside", no_outside, "without the trackers of others");
  app.add_flag("--speed", speed, "time a minute of sound instead");
  app.add_option("--readme", readme, "text file whose part between the marks is rewritten");
  CLI11_PARSE(app, argc, argv);
  if (speed) {
    fmt::print("a minute of sound: {:.3f} s on one core\n", seconds_per_minute(5));
    return 0;
  }

  const auto trackers = no_outside ? std::vector<Outside>{} : outside_trackers();
  if (!no_outside) {
    for (const std::string& m : outside_missing()) fmt::print(stderr, "{}\n", m);
  }
  const auto wanted = [&](const std::string& name) { return only.empty() || std::ranges::count(only, name) > 0; };
  const Scratch scratch;
  std::vector<SoundRow> made, real;
  std::vector<Measured> measures;
  if (set != "real") {
    const sounds::Set from = set == "tuning" ? sounds::Set::tuning : sounds::Set::scoring;
    for (const std::string& name : sounds::names(from)) {
      if (!wanted(name)) continue;
      const SoundTake take = made_take(from, name);
      made.push_back(judged(take, trackers, scratch));
      if (take.engine_there) measures.push_back(measured(take));
    }
  }
  if (set == "real" || set == "all") {
    const std::filesystem::path source = CRANKWISE_SOURCE_DIR;
    for (const SoundTake& take : real_takes(source / "tests/sounds/real", source / "build/recordings")) {
      if (wanted(take.name)) real.push_back(judged(take, trackers, scratch));
    }
  }
  std::string table = made.empty() ? "" : sound_table(made, trackers);
  if (!measures.empty()) table += "\n" + measured_table(measures);
  if (!real.empty()) table += (table.empty() ? "" : "\n") + sound_table(real, trackers);
  if (table.empty()) throw std::runtime_error("no such take");
  fmt::print("{}", table);
  if (!readme.empty()) write_file(readme, with_part(read_file(readme), "sound", "\n" + table + "\n"));
  return 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run_program(crankwise::bench::run, argc, argv); }
