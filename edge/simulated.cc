#include "edge/simulated.h"

#include <algorithm>

namespace crankwise {
namespace {

std::map<std::string, double> shares(TomlReader& t, const std::string& field) {
  std::map<std::string, double> out;
  for (const auto& [id, share] : t.chances(field)) out[id] = share.two_stroke;
  return out;
}

std::array<double, 5> percentiles(TomlReader& t, const std::string& field) {
  std::array<double, 5> out{};
  const std::vector<double> read = t.rising(field, out.size(), 0, 3);
  std::copy(read.begin(), read.end(), out.begin());
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
    fault.in_neutral = percentiles(f, "in_neutral");
    fault.in_a_gear = percentiles(f, "in_a_gear");
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
