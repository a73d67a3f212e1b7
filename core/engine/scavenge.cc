#include "core/engine/scavenge.h"

#include <cassert>
#include <cmath>

namespace crankwise::engine {

double scavenge_ratio(double delivered_kg_s, double density_kg_m3, double volume_m3, double cycles_per_s) {
  assert(delivered_kg_s >= 0 && density_kg_m3 > 0 && volume_m3 > 0 && cycles_per_s > 0);
  return delivered_kg_s / (density_kg_m3 * volume_m3 * cycles_per_s);
}

double scavenging_efficiency(const ScavengeRule& rule, double ratio) {
  assert(ratio >= 0);
  const double in = (1 - rule.short_circuit) * ratio;
  return in <= rule.displaces_to ? in : 1 - (1 - rule.displaces_to) * std::exp(rule.displaces_to - in);
}

double trapping_efficiency(const ScavengeRule& rule, double ratio) {
  assert(ratio > 0);
  return scavenging_efficiency(rule, ratio) / ratio;
}

}  // namespace crankwise::engine
