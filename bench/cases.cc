// Where the confirmed cause of published repairs stands among the suspects: from what the rider told and what went
// before, and after what was then tried and measured. Cases: tests/cases/*.json, or the files named.
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "app/case_file.h"
#include "edge/problem.h"
#include "tests/real_repair.h"

namespace crankwise {
namespace {

struct Place {
  std::string fault;
  size_t rank = 0;  // from 1; 0: none of the causes applies to the bike
  double probability = 0;
};

/// The likeliest of the confirmed causes.
Place place_of(const Diagnosis& d, const std::set<std::string>& causes) {
  const auto suspects = d.suspects(d.bike().faults.size());
  for (size_t i = 0; i < suspects.size(); ++i) {
    const std::string& id = d.fault(suspects[i].fault).id;
    if (causes.count(id) > 0) return {id, i + 1, suspects[i].probability};
  }
  return {};
}

Place judge(const Knowledge& k, const Json& c, bool with_later) {
  const Case read = parse_case(k, case_file_of(c, with_later).dump(), c.at("id"));
  std::set<std::string> causes = c.at("causes");
  if (c.contains("or")) causes.merge(c["or"].get<std::set<std::string>>());
  return place_of(diagnose(k, read.bike, read.entries, read.shop), causes);
}

void summary(const char* name, std::vector<size_t> ranks) {
  if (ranks.empty()) return;
  std::sort(ranks.begin(), ranks.end());
  const auto within = [&](size_t n) {
    const auto end = std::upper_bound(ranks.begin(), ranks.end(), n);
    return 100.0 * static_cast<double>(end - ranks.begin()) / static_cast<double>(ranks.size());
  };
  fmt::print("{:<34} {:>3} cases  median rank {:>2}   first {:3.0f} %   first 3 {:3.0f} %   first 10 {:3.0f} %\n", name,
             ranks.size(), ranks[(ranks.size() - 1) / 2], within(1), within(3), within(10));
}

int run(std::vector<std::filesystem::path> files) {
  const Knowledge k = load_knowledge(CRANKWISE_SOURCE_DIR "/knowledge");
  if (files.empty()) {
    for (const auto& entry : std::filesystem::directory_iterator(CRANKWISE_SOURCE_DIR "/tests/cases")) {
      if (entry.path().extension() == ".json") files.push_back(entry.path());
    }
    std::sort(files.begin(), files.end());
  }
  std::vector<size_t> at_first, at_first_of_later, after, at_end;
  fmt::print("{:<14} {:<30} {:>16}   {:>16}\n", "case", "cause", "as told", "after evidence");
  for (const auto& file : files) {
    std::ifstream in(file);
    for (const Json& c : Json::parse(in)) {
      const Place told = judge(k, c, false);
      fmt::print("{:<14} {:<30} {:>7} {:7.2f}%", c.at("id").get<std::string>(), told.fault, told.rank,
                 100 * told.probability);
      at_first.push_back(told.rank);
      if (!c.contains("later")) {
        at_end.push_back(told.rank);
        fmt::print("\n");
        continue;
      }
      const Place later = judge(k, c, true);
      at_first_of_later.push_back(told.rank);
      after.push_back(later.rank);
      at_end.push_back(later.rank);
      fmt::print("   {:>7} {:7.2f}%{}\n", later.rank, 100 * later.probability,
                 later.fault == told.fault ? "" : "  " + later.fault);
    }
  }
  fmt::print("\n");
  summary("as told, all", at_first);
  summary("as told, those with evidence", at_first_of_later);
  summary("after evidence, those with it", after);
  summary("at the end of what is known, all", at_end);
  return 0;
}

}  // namespace
}  // namespace crankwise

int main(int argc, char** argv) {
  try {
    return crankwise::run({argv + 1, argv + argc});
  } catch (const std::exception& e) {
    fmt::print(stderr, "{}\n", e.what());
    return 1;
  }
}
