// Many phones at once on the server of a shop with many closed jobs: how long do answers take, how much memory does it
// need, and is all that it acknowledged in the shop file? --help tells the options.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <thread>

#include "app/places.h"
#include "bench/phones/check.h"
#include "bench/phones/closed_jobs.h"
#include "bench/phones/line.h"
#include "bench/phones/server.h"
#include "bench/virtual/program.h"
#include "bench/virtual/readme.h"
#include "bench/virtual/statistics.h"
#include "edge/store.h"

namespace crankwise::bench {
namespace {

using Clock = std::chrono::steady_clock;
double seconds_since(Clock::time_point from) { return std::chrono::duration<double>(Clock::now() - from).count(); }

struct Settings {
  std::string program = CRANKWISE_BINARY, shop = "/tmp/crankwise-phones.db", readme;
  ClosedJobs closed;
  Load load;
};

/// The shop file that a load works on: a copy, gone afterwards.
struct Copy {
  explicit Copy(const std::filesystem::path& of) : path(of.string() + ".load") {
    remove();
    std::filesystem::copy_file(of, path);
  }
  ~Copy() { remove(); }
  void remove() const {
    for (const char* ending : {"", "-wal", "-shm"}) std::filesystem::remove(path.string() + ending);
    std::filesystem::remove_all(path.string() + ".server");
  }
  std::filesystem::path path;
};

std::vector<PhoneLog> work_all(const Load& load, const std::vector<BikeModel>& real) {
  std::vector<PhoneLog> logs(static_cast<size_t>(load.phones));
  std::vector<std::jthread> phones;
  for (int p = 0; p < load.phones; ++p)
    phones.emplace_back([&, p] { logs[static_cast<size_t>(p)] = work(load, p, real); });
  phones.clear();
  return logs;
}

std::string times_table(const std::vector<PhoneLog>& logs) {
  constexpr double kRare = 0.99;
  std::map<std::string, std::vector<double>> all;
  for (const PhoneLog& log : logs) {
    for (const auto& [sort, ms] : log.ms) all[sort].insert(all[sort].end(), ms.begin(), ms.end());
  }
  std::string out = "| request | count | median ms | 99 % ms | longest ms |\n|---|---|---|---|---|\n";
  for (const auto& [sort, ms] : all) {
    out += fmt::format("| {} | {} | {:.1f} | {:.1f} | {:.1f} |\n", sort, ms.size(), quantile(ms, 0.5),
                       quantile(ms, kRare), quantile(ms, 1));
  }
  return out;
}

struct Result {
  std::string text;
  bool lost = false;
};

/// One load on a fresh copy of the shop. The server is killed at the end: what it acknowledged must be in the file.
Result run_load(const Knowledge& k, const Settings& settings, double think_s) {
  const Copy copy(settings.shop);
  const std::int64_t before = Store::open(copy.path, Store::Mode::existing).last();
  std::vector<BikeModel> real;
  for (size_t kind = 0; kind < kClasses.size(); ++kind)
    real.push_back(fit(k, shop_bike(k, static_cast<int>(kind)), {}, {}));

  const auto start = Clock::now();
  Server server(settings.program, copy.path);
  const Answered first = Line(server.address()).get("/api/shop");
  if (first.status != 200) throw std::runtime_error("the shop is not answered: " + first.body);
  const double start_s = seconds_since(start);
  const Usage idle = server.usage();

  Load load = settings.load;
  load.address = server.address(), load.think_s = think_s, load.bikes = settings.closed.bikes;
  const auto from = Clock::now();
  const std::vector<PhoneLog> logs = work_all(load, real);
  const double took_s = seconds_since(from);
  const Usage busy = server.usage();
  server.kill();

  const Found found = check(k, copy.path, before, logs);
  size_t requests = 0, odd = 0;
  int closed = 0, refused = 0;
  std::string words;
  for (const PhoneLog& log : logs) {
    for (const auto& [sort, ms] : log.ms) requests += ms.size();
    for (const auto& o : log.odd) words += odd++ < 5 ? "  odd: " + o + "\n" : "";
    closed += log.closed;
    refused += log.refused;
  }
  for (size_t i = 0; i < std::min<size_t>(found.lost.size(), 5); ++i) words += "  lost: " + found.lost[i] + "\n";

  const double processor_s = busy.processor_s - idle.processor_s;
  return {
      fmt::format("{} phones for {:.0f} s, {}:\n\n{}\n", load.phones, load.seconds,
                  think_s > 0 ? fmt::format("{:g} s of thought before each step", think_s) : "without a thought",
                  times_table(logs)) +
          fmt::format("{:.0f} answers and {:.0f} orders a second; {:.1f} ms of processor for an order with its "
                      "view; {} jobs closed.\n",
                      requests / took_s, found.acknowledged / took_s, 1e3 * processor_s / found.acknowledged, closed) +
          fmt::format("First answer {:.1f} s after the start. Memory {:.0f} MB before, {:.0f} MB after, at most "
                      "{:.0f} MB.\n",
                      start_s, idle.resident_mb, busy.resident_mb, busy.peak_mb) +
          fmt::format("Killed, then read again: {} orders with {} entries acknowledged; lost: {}; written without "
                      "an answer: {}. Refused as bad input: {}; odd answers: {}.\n{}\n",
                      found.acknowledged, found.entries, found.lost.size(), found.unasked, refused, odd, words),
      !found.lost.empty()};
}

int run(int argc, char** argv) {
  Settings settings;
  CLI::App app("Many phones at once on a shop with many closed jobs");
  app.add_option("--program", settings.program, "the program that serves")->capture_default_str();
  app.add_option("--shop", settings.shop, "file with the closed jobs; made if it is not there")->capture_default_str();
  app.add_option("--jobs", settings.closed.jobs, "closed jobs in it")
      ->check(CLI::Range(1, 100000))
      ->capture_default_str();
  app.add_option("--phones", settings.load.phones, "at once")->check(CLI::Range(1, 200))->capture_default_str();
  app.add_option("--seconds", settings.load.seconds, "that each load lasts")
      ->check(CLI::Range(1, 3600))
      ->capture_default_str();
  app.add_option("--think", settings.load.think_s, "seconds before each step, in the first load; none in the second")
      ->check(CLI::Range(0.1, 60.0))
      ->capture_default_str();
  app.add_option("--seed", settings.load.seed, "of all dice")->capture_default_str();
  app.add_option("--readme", settings.readme, "text file whose part between the marks is rewritten");
  CLI11_PARSE(app, argc, argv);

  const Knowledge k = load_knowledge(usual_knowledge_folder());
  if (!std::filesystem::exists(settings.shop)) {
    const auto from = Clock::now();
    make_shop(k, settings.shop, settings.closed);
    fmt::print("{} closed jobs made in {:.0f} s: {}\n\n", settings.closed.jobs, seconds_since(from), settings.shop);
  }
  std::string text;
  bool lost = false;
  for (const double think_s : {settings.load.think_s, 0.0}) {
    const Result r = run_load(k, settings, think_s);
    fmt::print("{}", r.text);
    std::fflush(stdout);
    text += r.text;
    lost = lost || r.lost;
  }
  if (!settings.readme.empty())
    write_file(settings.readme, with_part(read_file(settings.readme), "phones", "\n" + text));
  return lost ? 1 : 0;
}

}  // namespace
}  // namespace crankwise::bench

int main(int argc, char** argv) { return crankwise::bench::run_program(crankwise::bench::run, argc, argv); }
