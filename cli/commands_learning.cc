// The commands on what the shop has learned.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/track_record.h"
#include "cli/cli.h"

namespace crankwise::set_up {
namespace {

/// The jobs that had this fault for a cause, as far as they count.
std::vector<int> jobs_with(const std::vector<const Job*>& teachers, const std::string& fault) {
  constexpr double kWorthNaming = 0.05;
  std::vector<int> out;
  for (const Job* j : teachers) {
    const bool named = std::any_of(j->credit.begin(), j->credit.end(), [&](const Chances& c) {
      const auto at = c.find(fault);
      return at != c.end() && at->second >= kWorthNaming;
    });
    if (named) out.push_back(j->number);
  }
  return out;
}

std::string times(double factor) {
  if (factor >= 1.05) return fmt::format("{:.1f} times as often", factor);
  if (factor <= 0.95) return fmt::format("{:.0f} % of that", 100 * factor);
  return "as often";
}

void tell_shares(Cli& cli, const Learned& learned, const std::vector<const Job*>& teachers) {
  cli.output.line("\nCauses, against what is usual for this kind of bike");
  std::vector<std::pair<std::string, double>> order;
  for (const auto& [fault, factor] : learned.share) {
    if (!jobs_with(teachers, fault).empty()) order.emplace_back(fault, factor);
  }
  std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.second > b.second; });
  for (const auto& [fault, factor] : order) {
    cli.output.line(fmt::format("  {:<44} {:<20} job {}", cli.knowledge().faults.find(fault)->name, times(factor),
                                fmt::join(jobs_with(teachers, fault), ", ")));
  }
}

void tell_looks(Cli& cli, const Learned& learned) {
  constexpr double kWorthTelling = 1.5;  // answers
  bool first = true;
  for (const auto& [pair, count] : learned.if_there) {
    const Finding* finding = cli.knowledge().findings.find(pair.second);
    if (count.yes + count.no < kWorthTelling || finding == nullptr) continue;
    if (first) cli.output.line("\nWhat a cause showed (old jobs count less)");
    first = false;
    cli.output.line(fmt::format("  {}: {}: {:.1f} of {:.1f} times yes", cli.knowledge().faults.find(pair.first)->name,
                                finding->name, count.yes, count.yes + count.no));
  }
}

}  // namespace

void learned(CLI::App& app, Cli& cli) {
  auto bike = std::make_shared<std::string>();
  app.add_option("bike", *bike, "for which bike; left out: that of the open job")->type_name("BIKE");
  app.callback([bike, &cli] {
    const std::string id = bike->empty() ? cli.shop().job(cli.job()).bike : cli.shop().bike(*bike).id;
    const std::vector<const Job*> teachers = cli.shop().teachers();
    const Learned learned = cli.shop().learned_now(id);
    std::vector<int> left_out;
    for (const auto& [number, job] : cli.shop().jobs()) {
      if (!job.teaches) left_out.push_back(number);
    }
    if (cli.json) {
      Json out{{"bike", id}, {"jobs", Json::array()}, {"left_out", left_out}, {"causes", Json::array()}};
      for (const Job* j : teachers) out["jobs"].push_back({{"job", j->number}, {"causes", j->credit}});
      for (const auto& [fault, factor] : learned.share)
        out["causes"].push_back({{"fault", fault}, {"factor", factor}, {"jobs", jobs_with(teachers, fault)}});
      for (const auto& [pair, count] : learned.if_there) {
        out["showed"].push_back(
            {{"fault", pair.first}, {"finding", pair.second}, {"yes", count.yes}, {"no", count.no}});
      }
      return cli.output.json(out);
    }
    if (teachers.empty()) return cli.output.line("Nothing yet: a job teaches when it is closed as proven.");
    cli.output.line(
        fmt::format("Learned for {} from {} proven job{}. What is usual counts as {:g} jobs; every later job "
                    "takes {:.0f} % off the weight of the ones before.",
                    cli.shop().bike(id).name, teachers.size(), teachers.size() == 1 ? "" : "s", kJobsWorth,
                    100 * (1 - kKeptPerJob)));
    tell_shares(cli, learned, teachers);
    tell_looks(cli, learned);
    if (!left_out.empty()) cli.output.line(fmt::format("\nLeft out: job {}", fmt::join(left_out, ", ")));
    cli.output.line("\nA job that was wrong: crankwise lesson JOB leave-out");
  });
}

void lesson(CLI::App& app, Cli& cli) {
  struct Args {
    int job = 0;
    std::string how;
  };
  auto a = std::make_shared<Args>();
  app.add_option("number", a->job, "the closed job")->required()->type_name("JOB");
  app.add_option("how", a->how, "leave-out: as if it had never taught anything; count: again as before")
      ->required()
      ->type_name("leave-out|count");
  app.callback([a, &cli] {
    if (a->how != "leave-out" && a->how != "count")
      throw BadInput({"", 0, "how", fmt::format("\"{}\" is neither", a->how), "leave-out or count"});
    cli.shop().let_teach(a->job, a->how == "count");
    if (cli.json) return cli.output.json(Json{{"job", a->job}, {"counts", a->how == "count"}});
    cli.output.line(fmt::format("The lesson of job {} {}.", a->job, a->how == "count" ? "counts" : "is left out"));
  });
}

void track_record(CLI::App& app, Cli& cli) {
  app.callback([&cli] {
    const TrackRecord r = track_record(cli.shop());
    if (cli.json) {
      Json bins = Json::array();
      for (const Reliability::Bin& b : r.leader.bins()) {
        bins.push_back({{"times", b.count}, {"was_so", b.hits}, {"said", b.said}, {"error", b.error()}});
      }
      return cli.output.json({{"jobs", r.jobs},
                              {"likeliest", bins},
                              {"bits", r.bits},
                              {"bits_by_share", r.share_bits},
                              {"brier", r.brier},
                              {"brier_by_share", r.share_brier}});
    }
    if (r.jobs < TrackRecord::kLeastJobs) {
      return cli.output.line(fmt::format("{} proven job{} with a known cause so far; from {} on they say something.",
                                         r.jobs, r.jobs == 1 ? "" : "s", TrackRecord::kLeastJobs));
    }
    cli.output.line(
        fmt::format("{} proven jobs. The likeliest fault at each entry, and whether it was the cause:\n\n"
                    "  said            times   was so   fine would be",
                    r.jobs));
    for (size_t i = 0; i < r.leader.bins().size(); ++i) {
      const Reliability::Bin& b = r.leader.bins()[i];
      if (b.count == 0) continue;
      constexpr double kNinety = 1.645;  // half-width of 90 % of a normal distribution
      const double n = static_cast<double>(b.count), said = b.said / n, half = kNinety * b.error();
      cli.output.line(fmt::format("  {:2} to {:3} %  {:>8}  {:5.0f} %   {:.0f} to {:.0f} %", 10 * i, 10 * i + 10,
                                  b.count, 100 * static_cast<double>(b.hits) / n, 100 * std::max(said - half, 0.0),
                                  100 * std::min(said + half, 1.0)));
    }
    cli.output.line(
        fmt::format("\nSurprise at the cause, bits: {:.2f}; by the usual shares alone {:.2f}\n"
                    "Squared error (Brier):       {:.2f}; by the usual shares alone {:.2f}\n"
                    "Less is better.",
                    r.bits, r.share_bits, r.brier, r.share_brier));
  });
}

}  // namespace crankwise::set_up
