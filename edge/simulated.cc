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

}  // namespace crankwise
