#include "edge/simulated.h"

#include <algorithm>

namespace crankwise {
namespace {

std::map<std::string, double> shares(TomlReader& t, const std::string& field) {
  std::map<std::string, double> out;
  for (const auto& [id, share] : t.chances(field)) out[id] = share.two_stroke;
  return out;
}

SimulatedClass::Stops stops(TomlReader& t, const std::string& field) {
  SimulatedClass::Stops out;
  out.never = t.number("never_" + field, 0, 1, 0);
  if (!t.has(field)) return out;
  out.at.emplace();
  const std::vector<double> read = t.rising(field, out.at->size(), 0, 3);
  std::copy(read.begin(), read.end(), out.at->begin());
  return out;
}

}  // namespace

void read(TomlReader& t, SimulatedClass& x) {
  x.draws = static_cast<int>(t.number("draws", 1, 1e6));
  x.seed = t.number("seed", 0, 1e15);
  x.decides = t.list("decides");
  x.by_chance = shares(t, "by_chance");
  auto faults = t.table("faults");
  if (!faults) return t.note(nullptr, "faults", "is missing", "[simulated.CLASS.faults.FAULT]");
  for (auto& [id, f] : faults->tables_by_name()) {
    SimulatedClass::SimulatedFault fault{.fault = id, .draws = 0, .shows = {}};
    fault.draws = static_cast<int>(f.number("draws", 1, 1e6));
    fault.failed = static_cast<int>(f.number("failed", 0, fault.draws, 0));
    fault.in_neutral = stops(f, "in_neutral");
    fault.in_a_gear = stops(f, "in_a_gear");
    fault.shows = shares(f, "shows");
    f.finish();
    x.faults.push_back(std::move(fault));
  }
}

const SimulatedClass::SimulatedFault* SimulatedClass::find(const std::string& fault) const {
  const auto found = std::ranges::find(faults, fault, &SimulatedFault::fault);
  return found == faults.end() ? nullptr : &*found;
}

std::map<std::string, double> pooled_strengths(std::map<std::string, double> strengths, double hand_worth,
                                               const SimulatedClass* c, const std::string& fault,
                                               double simulated_worth) {
  constexpr double kLeast = 0.05;  // a strength below is not worth a link
  const auto* simulated = c == nullptr || simulated_worth <= 0 ? nullptr : c->find(fault);
  if (simulated == nullptr) return strengths;
  for (const std::string& finding : c->decides) {
    const auto shown = simulated->shows.find(finding);
    const double share = shown == simulated->shows.end() ? 0 : shown->second;
    double& strength = strengths[finding];
    strength = (hand_worth * strength + simulated_worth * share) / (hand_worth + simulated_worth);
    if (strength < kLeast) strengths.erase(finding);
  }
  return strengths;
}

}  // namespace crankwise
