// How near the planner comes to the best plan there is, on small jobs that can be solved: `certificate [JOBS
// [CERTIFIED]]` (200 and 50). Jobs are those of tests/exact/instances.h with seeds from 1; everything is summed
// exactly, nothing drawn.
#include <fmt/format.h>

#include <cstdlib>
#include <string>
#include <utility>
#include <vector>

#include "tests/exact/certificate.h"
#include "tests/exact/instances.h"
#include "tests/exact/policies.h"

namespace crankwise::exact {
namespace {

using Rows = std::vector<std::pair<std::string, std::vector<double>>>;

/// Adds to the row of that name, made when it is new.
void note(Rows& rows, const std::string& name, double x) {
  for (auto& [known, numbers] : rows) {
    if (known == name) return numbers.push_back(x);
  }
  rows.emplace_back(name, std::vector<double>{x});
}

void print(const std::string& title, const Rows& rows) {
  fmt::print("| {} | mean | median | 90 % | worst |\n|---|---|---|---|---|\n", title);
  for (const auto& [name, numbers] : rows) {
    const Spread s = spread_of(numbers);
    fmt::print("| {} | {:.3f} | {:.3f} | {:.3f} | {:.2f} |\n", name, s.mean, s.median, s.nine_in_ten, s.worst);
  }
  fmt::print("\n");
}

void print_ratios(unsigned jobs) {
  Rows rows, bounds;
  for (unsigned seed = 1; seed <= jobs; ++seed) {
    const Job job = random_job(seed);
    const Game game(job.plan, job.model);
    const Graph graph(game);
    const double best = optimum(graph).back();
    const auto value = [&](const Policy& policy) { return PolicyValue(game, policy).of(game.start()); };
    const auto stepped = [&](const Policy& policy) {
      PolicyValue behind(game, policy);
      return rollout(graph, values(graph, [&](const Position& p) { return behind.of(p); })).back();
    };
    note(rows, "check list, likeliest look first", value(check_list(game, likeliest_look_first(game))) / best);
    note(rows, "P/C, repairs only", value(repair_and_test(game)) / best);
    note(rows, "block index", value(block_index(game)) / best);
    note(rows, "one-step lookahead on P/C", stepped(repair_and_test(game)) / best);
    note(rows, "rollout of block index", stepped(block_index(game)) / best);
    note(rows, "**advice followed**", value(follow_advice(game)) / best);
    const std::vector<double> full = known_fault(graph);
    note(bounds, "full information", best / full.back());
    note(bounds, "three exact steps before it", best / tightened(graph, full, 3).back());
  }
  print(fmt::format("policy, {} random jobs with 5 faults: ratio to V*", jobs), rows);
  print("V* over a lower bound", bounds);
}

void print_certificates(unsigned jobs) {
  Rows rows;
  for (unsigned seed = 1; seed <= jobs; ++seed) {
    const Job job = random_job(seed);
    const Game game(job.plan, job.model);
    const Certificate c = certify(Graph(game), follow_advice(game));
    note(rows, "advice / bound (certified)", c.policy / c.bound);
    note(rows, "advice / V*", c.policy / c.optimum);
    note(rows, "V* / bound", c.optimum / c.bound);
  }
  print(fmt::format("penalised information relaxation, {} random jobs", jobs), rows);
}

void print_known() {
  fmt::print("| job | V* | advice followed | ratio |\n|---|---|---|---|\n");
  for (const auto& [name, job] : {std::pair("strip-down", strip_down()),
                                  {"cover that may stay off", behind_a_cover(0, 0, false)},
                                  {"cover back on at the end", behind_a_cover(10, 0, false)},
                                  {"cover on for every run", behind_a_cover(10, 4, true)},
                                  {"will not start, no test", car_start(false)},
                                  {"will not start, with a test", car_start(true)}}) {
    const Game game(job.plan, job.model);
    const double best = optimum(Graph(game)).back();
    const double ours = PolicyValue(game, follow_advice(game)).of(game.start());
    fmt::print("| {} | {:.4f} | {:.4f} | {:.4f} |\n", name, best, ours, ours / best);
  }
  fmt::print("\n");
}

}  // namespace
}  // namespace crankwise::exact

int main(int count, char** words) {
  const auto number = [&](int i, unsigned otherwise) {
    return count > i ? static_cast<unsigned>(std::strtoul(words[i], nullptr, 10)) : otherwise;
  };
  crankwise::exact::print_known();
  if (const unsigned jobs = number(1, 200)) crankwise::exact::print_ratios(jobs);
  if (const unsigned jobs = number(2, 50)) crankwise::exact::print_certificates(jobs);
}
