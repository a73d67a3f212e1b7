#include "app/engine/evidence.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace crankwise {
namespace {

constexpr double kSlight = 0.15;  // strengths below are not worth a line, by hand or here
constexpr double kWritten = 0.05;
constexpr int kLeastDraws = 8;
/// Of a simulated ceiling, as a share of itself: its engine is one of the class, not this one (a judgement).
constexpr double kModelError = 0.03;

double odds(double p) { return p / (1 - p); }

template <class Shares>
std::string table(const Shares& shares, double least) {
  std::vector<std::string> out;
  for (const auto& [finding, share] : shares)
    if (share >= least) out.push_back(fmt::format("{} = {:.2f}", finding, share));
  return out.empty() ? "{}" : fmt::format("{{ {} }}", fmt::join(out, ", "));
}

std::string lines(const char* field, const SimulatedClass::Stops& s) {
  std::string out;
  if (s.never > 0) out += fmt::format("never_{} = {:.2f}\n", field, s.never);
  if (s.at) out += fmt::format("{} = [{:.2f}]\n", field, fmt::join(*s.at, ", "));
  return out;
}

/// The quantile function through the percentiles, straight between them and on by a quarter at both ends.
double quantile(const std::array<double, 5>& p, double u) {
  constexpr std::array<double, 5> kAt = {0.05, 0.25, 0.5, 0.75, 0.95};
  size_t i = 1;
  while (i + 1 < kAt.size() && u > kAt[i]) ++i;
  return p[i - 1] + (p[i] - p[i - 1]) * (u - kAt[i - 1]) / (kAt[i] - kAt[i - 1]);
}

/// Of stopping at x, by those that do.
double density(const SimulatedClass::Stops& stops, double x, double sd) {
  constexpr int kPoints = 40;
  // One in fifty stops anywhere up to the healthy speed, whatever the simulation says; of one that is not known, all.
  constexpr double kAnywhere = 0.02, kSqrt2Pi = 2.5066282746310002;
  if (!stops.at) return 1 - (1 - kAnywhere) * stops.never;
  const std::array<double, 5>& p = *stops.at;
  double sum = 0;
  for (int i = 0; i < kPoints; ++i) {
    const double z = (x - quantile(p, (i + 0.5) / kPoints)) / sd;
    sum += std::exp(-0.5 * z * z);
  }
  return (1 - kAnywhere) * (1 - stops.never) * sum / (kPoints * sd * kSqrt2Pi) + kAnywhere;
}

}  // namespace

std::string as_knowledge(const std::vector<EngineEvidence>& all, const EnsembleOptions& o) {
  std::string out =
      "# Made by build/release/bench/strengths --write knowledge/simulated.toml; not to be edited.\n"
      "# How often each fault shows each finding on simulated bikes of a class, and where the engine then stops in "
      "neutral\n"
      "# and in a middle gear, as a share of where the same bike stops healthy (5th, 25th, 50th, 75th, 95th "
      "percentile\n# of those that pull at all).\n"
      "source = \"simulation\"\n";
  for (const EngineEvidence& e : all) {
    out += fmt::format("\n[simulated.{}]\ndraws = {}\nseed = {}\n", e.engine, o.draws, o.seed);
    out += fmt::format("decides = [\"{}\"]\n", fmt::join(findings_of_physics(), "\", \""));
    out += fmt::format("by_chance = {}\n", table(e.leak, kWritten));
    for (const FaultEvidence& f : e.faults) {
      if (f.draws < kLeastDraws) continue;
      out += fmt::format("\n[simulated.{}.faults.{}]\ndraws = {}\n", e.engine, f.fault, f.draws);
      if (f.failed > 0) out += fmt::format("failed = {}\n", f.failed);
      out += lines("in_neutral", f.neutral) + lines("in_a_gear", f.gear);
      out += fmt::format("shows = {}\n", table(f.shows, kWritten));
    }
  }
  return out;
}

Disagreements disagreements(const Knowledge& k, const std::string& class_id, double odds_ratio) {
  Disagreements out;
  for (const SimulatedClass& simulated : k.simulated) {
    const BikeClass* c = k.classes.find(simulated.id);
    if (c == nullptr || (!class_id.empty() && class_id != c->id)) continue;
    for (const auto& f : simulated.faults) {
      const Fault* fault = k.faults.find(f.fault);
      if (fault == nullptr || !fault->applies.holds(Traits(c->traits))) continue;
      const std::map<std::string, double> by_hand = strengths_by_hand(k, *fault, Traits(c->traits));
      for (const std::string& finding : simulated.decides) {
        const auto of = [&](const std::map<std::string, double>& strengths) {
          const auto at = strengths.find(finding);
          return at == strengths.end() ? 0 : at->second;
        };
        const double hand = of(by_hand), share = of(f.shows);
        ++out.compared;
        const auto held = [](double p) { return std::clamp(p, 0.02, 0.98); };
        if (std::max(hand, share) < kSlight) continue;
        if (std::abs(std::log(odds(held(share)) / odds(held(hand)))) >= std::log(odds_ratio))
          out.all.push_back({c->id, fault->id, finding, hand, share});
      }
    }
  }
  std::stable_sort(out.all.begin(), out.all.end(), [](const Disagreement& a, const Disagreement& b) {
    return std::abs(a.by_hand - a.simulated) > std::abs(b.by_hand - b.simulated);
  });
  return out;
}

std::vector<FitsCeiling> that_fit(const Knowledge& k, const SimulatedClass& c, double share, bool in_neutral,
                                  double sd) {
  const BikeClass* of = k.classes.find(c.id);
  const Traits traits(of == nullptr ? std::vector<std::string>{} : of->traits);
  std::vector<FitsCeiling> out;
  double all = 0, weights = 0;
  for (const auto& f : c.faults) {
    const Fault* fault = k.faults.find(f.fault);
    if (fault == nullptr || !fault->applies.holds(traits)) continue;
    const double weight = fault->share.of(traits);
    const double fits = density(in_neutral ? f.in_neutral : f.in_a_gear, share, std::hypot(sd, kModelError * share));
    out.push_back({&f, weight * fits, fits});
    all += weight * fits;
    weights += weight;
  }
  for (FitsCeiling& f : out) f.chance /= all, f.factor *= weights / all;
  std::stable_sort(out.begin(), out.end(),
                   [](const FitsCeiling& a, const FitsCeiling& b) { return a.chance > b.chance; });
  return out;
}

}  // namespace crankwise
