#include "bench/virtual/table.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "bench/virtual/statistics.h"

namespace crankwise::bench {
namespace {

/// Some jobs of one or more campaigns with the same policies.
using Jobs = std::vector<const JobResult*>;

/// One number of each job.
template <class Get>
std::vector<double> column(const Jobs& jobs, size_t policy, Get get) {
  std::vector<double> out;
  for (const JobResult* j : jobs) out.push_back(static_cast<double>(get(j->by_policy[policy].bill)));
  return out;
}

std::vector<double> joined(const Jobs& jobs, size_t policy, double minutes_per_money) {
  return column(jobs, policy, [&](const Bill& b) { return b.spent.joined(minutes_per_money); });
}

std::string mean_and_high(const std::vector<double>& values) {
  return fmt::format("{:.0f} ({:.0f})", mean(values), quantile(values, 0.9));
}

std::string ratio(const std::vector<double>& ours, const std::vector<double>& other) {
  if (ours.size() < 2) return "";
  const Interval r = paired_ratio(ours, other);
  return fmt::format("{:.2f} ({:.2f} to {:.2f})", r.value, r.low, r.high);
}

std::string times(const Jobs& jobs, size_t policy, std::vector<double> Played::*which) {
  std::vector<double> ms;
  for (const JobResult* j : jobs) {
    const auto& more = j->by_policy[policy].*which;
    ms.insert(ms.end(), more.begin(), more.end());
  }
  return fmt::format("{:.1f} ({:.1f})", quantile(ms, 0.5), quantile(ms, 0.95));
}

std::string row(const Campaign& c, const Jobs& jobs, size_t p) {
  const auto average = [&](auto get) { return mean(column(jobs, p, get)); };
  const auto minutes = column(jobs, p, [](const Bill& b) { return b.spent.minutes; });
  const auto money = column(jobs, p, [](const Bill& b) { return b.spent.money; });
  const auto both = joined(jobs, p, c.minutes_per_money);
  return fmt::format(
      "| {} | {} | {} | {} | {:.1f} | {:.1f} | {:.2f} ({:.0f}) | {:.1f} | {:.1f} | {:.1f} | {} | {} | {} |\n",
      text(c.policies[p]), mean_and_high(minutes), mean_and_high(money), mean_and_high(both),
      average([](const Bill& b) { return b.steps; }), average([](const Bill& b) { return b.parts_off; }),
      average([](const Bill& b) { return b.bought_in_vain; }), average([](const Bill& b) { return b.money_in_vain; }),
      100 * average([](const Bill& b) { return b.given_up; }), 100 * average([](const Bill& b) { return b.stalled; }),
      100 * average([](const Bill& b) { return b.faulty; }), times(jobs, p, &Played::advice_ms),
      times(jobs, p, &Played::judging_ms), p == 0 ? "" : ratio(joined(jobs, 0, c.minutes_per_money), both));
}

Jobs all_jobs(const Campaign& c) {
  Jobs jobs;
  for (const JobResult& j : c.jobs) jobs.push_back(&j);
  return jobs;
}

std::string reliability_rows(const Reliability& r) {
  std::string out;
  for (size_t i = 0; i < r.bins().size(); ++i) {
    const auto& b = r.bins()[i];
    if (b.count == 0) continue;
    constexpr double kNinety = 1.645;  // half-width of 90 % of a normal distribution
    const double n = static_cast<double>(b.count), said = b.said / n, half = kNinety * b.error();
    out += fmt::format("| {} to {} | {} | {:.1f} | {:.1f} | {:.1f} to {:.1f} |\n", 10 * i, 10 * i + 10, b.count,
                       100 * said, 100 * static_cast<double>(b.hits) / n, 100 * std::max(said - half, 0.0),
                       100 * std::min(said + half, 1.0));
  }
  return out;
}

std::string score_row(const char* what, const Reliability& r) {
  const Reliability::Split s = r.split();
  return fmt::format("| {} | {:.5f} | {:.5f} | {:.5f} | {:.5f} | {:.5f} |\n", what, r.brier(), s.reliability,
                     s.resolution, s.uncertainty, r.log_bits());
}

}  // namespace

std::string class_table(const Campaign& c) {
  std::string out = fmt::format(
      "{}, {} jobs:\n\n"
      "| policy | minutes (90 %) | money (90 %) | joined (90 %) | steps | parts off | in vain (money) | given up % | "
      "stalled % | faulty % | advice ms (95 %) | judging ms (95 %) | {} / this (95 % interval) |\n"
      "|---|---|---|---|---|---|---|---|---|---|---|---|---|\n",
      c.name, c.jobs.size(), text(c.policies[0]));
  const Jobs jobs = all_jobs(c);
  for (size_t p = 0; p < c.policies.size(); ++p) out += row(c, jobs, p);
  std::vector<double> minutes, money, both;
  for (const JobResult* j : jobs) {
    minutes.push_back(j->if_known.minutes);
    money.push_back(j->if_known.money);
    both.push_back(j->if_known.joined(c.minutes_per_money));
  }
  return out + fmt::format("| if the faults were known | {} | {} | {} | | | | | | | | | {} |\n", mean_and_high(minutes),
                           mean_and_high(money), mean_and_high(both),
                           ratio(joined(jobs, 0, c.minutes_per_money), both));
}

std::string complaint_table(std::span<const Campaign> campaigns, int least_jobs) {
  const auto& policies = campaigns[0].policies;
  std::map<std::string, Jobs> by_complaint;
  for (const Campaign& c : campaigns) {
    for (const JobResult& j : c.jobs) {
      for (const std::string& told : j.told) by_complaint[told].push_back(&j);
    }
  }
  std::vector<std::pair<std::string, Jobs>> order(by_complaint.begin(), by_complaint.end());
  std::stable_sort(order.begin(), order.end(),
                   [](const auto& a, const auto& b) { return a.second.size() > b.second.size(); });
  std::string out = "Joined mean (90 %) by complaint:\n\n| complaint | jobs |", line = "|---|---|";
  for (PolicyKind kind : policies) out += fmt::format(" {} |", text(kind)), line += "---|";
  for (size_t p = 1; p < policies.size(); ++p)
    out += fmt::format(" {} / {} |", text(policies[0]), text(policies[p])), line += "---|";
  out += "\n" + line + "\n";
  for (const auto& [complaint, jobs] : order) {
    if (static_cast<int>(jobs.size()) < least_jobs) continue;
    out += fmt::format("| {} | {} |", complaint, jobs.size());
    const double rate = campaigns[0].minutes_per_money;
    for (size_t p = 0; p < policies.size(); ++p) out += fmt::format(" {} |", mean_and_high(joined(jobs, p, rate)));
    for (size_t p = 1; p < policies.size(); ++p)
      out += fmt::format(" {} |", ratio(joined(jobs, 0, rate), joined(jobs, p, rate)));
    out += "\n";
  }
  return out;
}

std::string calibration_table(std::span<const Campaign> campaigns) {
  Calibration all;
  for (const Campaign& c : campaigns) {
    for (const JobResult& j : c.jobs) all.add_job(j.calibration);
  }
  std::string out =
      "Calibration, at every advice (the expected band counts jobs, not advices, since those of one job share their "
      "truth):\n\n";
  const std::string head =
      "| said, % | times | said, mean % | was so, % | expected 5 to 95 % |\n|---|---|---|---|---|\n";
  out += "Likeliest fault:\n\n" + head + reliability_rows(all.leader);
  out += "\nEvery fault:\n\n" + head + reliability_rows(all.faults);
  out +=
      "\n| forecast | Brier | reliability | resolution | uncertainty | log score, bits |\n|---|---|---|---|---|---|\n";
  out += score_row("likeliest fault", all.leader);
  out += score_row("every fault", all.faults);
  out += score_row("every fault, by its share alone", all.by_share);
  return out;
}

}  // namespace crankwise::bench
