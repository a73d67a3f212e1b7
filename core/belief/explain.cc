#include "core/belief/explain.h"

#include <algorithm>
#include <cmath>

namespace crankwise {
namespace {

bool is_seen(const Happening& h) { return std::holds_alternative<Answered>(h) || std::holds_alternative<Measured>(h); }

}  // namespace

double decibans(double p) {
  const double held = std::clamp(p, 1e-9, 1 - 1e-9);
  return 10 * std::log10(held / (1 - held));
}

double after_weight(double prior, double weight_db) {
  const double odds = std::pow(10.0, (decibans(prior) + weight_db) / 10);
  return odds / (1 + odds);
}

std::vector<EvidenceWeight> weigh_evidence(const Model& model, std::span<const Happening> history, int fault) {
  const size_t f = static_cast<size_t>(fault);
  const double all = decibans(believe(model, history).still_there()[f]);
  std::vector<EvidenceWeight> weights;
  for (size_t i = 0; i < history.size(); ++i) {
    if (!is_seen(history[i]) && !std::holds_alternative<Ran>(history[i])) continue;
    std::vector<Happening> without(history.begin(), history.end());
    without.erase(without.begin() + static_cast<std::ptrdiff_t>(i));
    weights.push_back({i, all - decibans(believe(model, without).still_there()[f])});
  }
  return weights;
}

double conflict_bits(const Model& model, std::span<const Happening> history) {
  std::vector<Happening> seen;
  for (const Happening& h : history) {
    if (std::holds_alternative<Repaired>(h)) break;
    if (is_seen(h)) seen.push_back(h);
  }
  if (seen.size() < 2) return 0;
  const double complaint = believe(model, {}).log_evidence();
  double apart = 0;
  for (const Happening& h : seen) apart += believe(model, std::span(&h, 1)).log_evidence() - complaint;
  return (apart - (believe(model, seen).log_evidence() - complaint)) / std::log(2.0);
}

}  // namespace crankwise
