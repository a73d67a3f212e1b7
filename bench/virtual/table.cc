#include "bench/virtual/table.h"

#include <fmt/format.h>

#include "bench/virtual/statistics.h"

namespace crankwise::bench {
namespace {

/// One number of each job.
template <class Get>
std::vector<double> column(const Campaign& c, size_t policy, Get get) {
  std::vector<double> out;
  for (const JobResult& j : c.jobs) out.push_back(static_cast<double>(get(j.by_policy[policy].bill)));
  return out;
}

std::string row(const Campaign& c, size_t p) {
  const auto of = [&](auto get) { return column(c, p, get); };
  const auto minutes = of([](const Bill& b) { return b.spent.minutes; });
  const auto joined = of([&](const Bill& b) { return b.spent.joined(c.minutes_per_money); });
  std::vector<double> ms;
  for (const JobResult& j : c.jobs) {
    const auto& more = j.by_policy[p].advice_ms;
    ms.insert(ms.end(), more.begin(), more.end());
  }
  const auto percent = [&](auto get) { return 100 * mean(of(get)); };
  std::string line = fmt::format(
      "| {} | {:.0f} ({:.0f}) | {:.0f} | {:.0f} ({:.0f}) | {:.1f} | {:.1f} | {:.2f} ({:.0f}) | {:.1f} | {:.1f} | "
      "{:.1f} | {:.1f} ({:.1f}) |",
      text(c.policies[p]), mean(minutes), quantile(minutes, 0.9), mean(of([](const Bill& b) { return b.spent.money; })),
      mean(joined), quantile(joined, 0.9), mean(of([](const Bill& b) { return b.steps; })),
      mean(of([](const Bill& b) { return b.parts_off; })), mean(of([](const Bill& b) { return b.bought_in_vain; })),
      mean(of([](const Bill& b) { return b.money_in_vain; })), percent([](const Bill& b) { return b.given_up; }),
      percent([](const Bill& b) { return b.stalled; }), percent([](const Bill& b) { return b.faulty; }),
      quantile(ms, 0.5), quantile(ms, 0.95));
  if (p == 0) return line + " |\n";
  const auto first = column(c, 0, [&](const Bill& b) { return b.spent.joined(c.minutes_per_money); });
  const Interval r = paired_ratio(first, joined);
  return line + fmt::format(" {:.2f} ({:.2f} to {:.2f}) |\n", r.value, r.low, r.high);
}

}  // namespace

std::string class_table(const Campaign& c, const std::string& title) {
  std::string out = fmt::format(
      "{}, {} jobs:\n\n| policy | minutes (90 %) | money | joined (90 %) | steps | parts off | bought in vain (money) "
      "| "
      "given up % | of these stalled % | called fixed while faulty % | ms (95 %) | joined, {} / this (95 % interval) "
      "|\n"
      "|---|---|---|---|---|---|---|---|---|---|---|---|\n",
      title, c.jobs.size(), text(c.policies[0]));
  for (size_t p = 0; p < c.policies.size(); ++p) out += row(c, p);
  std::vector<double> minutes, joined;
  double money = 0;
  for (const JobResult& j : c.jobs) {
    minutes.push_back(j.if_known.minutes);
    money += j.if_known.money / static_cast<double>(c.jobs.size());
    joined.push_back(j.if_known.joined(c.minutes_per_money));
  }
  out += fmt::format("| if the faults were known | {:.0f} ({:.0f}) | {:.0f} | {:.0f} ({:.0f}) | | | | | | | | |\n",
                     mean(minutes), quantile(minutes, 0.9), money, mean(joined), quantile(joined, 0.9));
  return out;
}

}  // namespace crankwise::bench
