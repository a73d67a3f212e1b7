#include "bench/virtual/disturb.h"

#include <algorithm>
#include <cmath>
#include <random>

namespace crankwise::bench {
namespace {

/// Noise for one number after the other, in the order of the knowledge.
class Noise {
 public:
  Noise(const Dice& dice, double sigma) : dice_(dice), sigma_(sigma) {}

  /// Of a share, which is a weight among others.
  void share(PerCycle& p) { scale(p, std::exp(next(sigma_))); }
  void cost(PerCycle& p) { scale(p, std::exp(next(sigma_ / 2))); }
  void chance(double& p) { p = moved(p, next(sigma_)); }
  void chance(PerCycle& p) {
    const double z = next(sigma_);
    p = {moved(p.two_stroke, z), moved(p.four_stroke, z)};
  }

 private:
  double next(double sigma) { return sigma * dice_.normal(count_++, 0); }
  static void scale(PerCycle& p, double factor) { p.two_stroke *= factor, p.four_stroke *= factor; }
  static double moved(double p, double z) {
    if (p <= 0) return p;
    constexpr double kSure = 0.9999;
    const double q = std::min(p, kSure);
    const double odds = q / (1 - q) * std::exp(z);
    return odds / (1 + odds);
  }

  const Dice& dice_;
  double sigma_;
  int count_ = 0;
};

template <class T, class Change>
void change_all(Shelf<T>& shelf, Change change) {
  Shelf<T> out;
  for (T thing : shelf) {
    change(thing);
    out.add(std::move(thing));
  }
  shelf = std::move(out);
}

}  // namespace

Knowledge disturbed(const Knowledge& knowledge, const Dice& dice, double sigma) {
  Knowledge k = knowledge;
  if (sigma <= 0) return k;
  Noise noise(dice, sigma);
  change_all(k.faults, [&](Fault& f) {
    noise.share(f.share);
    for (auto& [id, strength] : f.causes) noise.chance(strength);
    for (auto& [kind, strength] : f.causes_every) noise.chance(strength);
  });
  change_all(k.findings, [&](Finding& f) { noise.chance(f.background); });
  change_all(k.steps, [&](Step& s) { noise.cost(s.minutes), noise.cost(s.money); });
  change_all(k.parts, [&](Part& p) { noise.cost(p.off_min), noise.cost(p.on_min), noise.cost(p.money); });
  return k;
}

Knowledge with_own_shares(const Knowledge& knowledge, const Traits& traits, std::uint64_t seed, double worth) {
  double all = 0;
  for (const Fault& f : knowledge.faults) {
    if (f.applies.holds(traits)) all += f.share.of(traits);
  }
  Knowledge k = knowledge;
  std::mt19937_64 random(seed);
  change_all(k.faults, [&](Fault& f) {
    constexpr double kLeast = 1e-9;  // a share must be above 0
    if (!f.applies.holds(traits)) return;
    const double share = f.share.of(traits) / all;
    const double own = std::gamma_distribution(worth * share, 1 / worth)(random);
    f.share = {std::max(own, kLeast * share), std::max(own, kLeast * share)};
  });
  return k;
}

}  // namespace crankwise::bench
