#include "core/wear/wear.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise {
namespace {

constexpr double kFromZ = -6, kStepZ = 0.125;
constexpr int kNodes = 97;
constexpr double kDensity = 0.3989422804014327;  // 1 / sqrt(2 pi)

[[maybe_unused]] bool good(const Life& l) { return l.scale > 0 && l.shape > 0 && l.spread >= 0 && l.spread <= 1; }

/// (age / scale)^shape; on a bike whose eta is not `scale` it is that times the bike's factor (scale / eta)^shape.
double power(const Life& life, double age) { return std::pow(age / life.scale, life.shape); }

/// Calls use(weight, factor) for bikes of all sorts; the weights sum to 1. The rule is the trapezoidal one, which
/// converges exponentially for a smooth integrand that dies out at both ends (Trefethen and Weideman, SIAM Review 56,
/// 2014): within 1e-8 for shape * spread up to 4.
template <class Use>
void over_bikes(const Life& life, Use use) {
  if (life.spread == 0) return use(1.0, 1.0);
  const double step = std::exp(-life.shape * life.spread * kStepZ);
  double factor = std::exp(-life.shape * life.spread * kFromZ);
  for (int k = 0; k < kNodes; ++k, factor *= step) {
    const double z = kFromZ + kStepZ * k;
    use(kStepZ * kDensity * std::exp(-0.5 * z * z), factor);
  }
}

/// The same for what has lived to the age: the weights sum to anything above 0, at a great age too.
template <class Use>
void over_living(const Life& life, double age, Use use) {
  const double p = power(life, age);
  double least = INFINITY;
  over_bikes(life, [&](double, double factor) { least = std::min(least, factor); });
  over_bikes(life, [&](double weight, double factor) { use(weight * std::exp(p * (least - factor)), factor); });
}

}  // namespace

double survival(const Life& life, double age) {
  assert(good(life) && age >= 0);
  const double p = power(life, age);
  double alive = 0;
  over_bikes(life, [&](double weight, double factor) { alive += weight * std::exp(-p * factor); });
  return std::min(alive, 1.0);
}

double hazard(const Life& life, double age) {
  assert(good(life) && age >= 0);
  double alive = 0, rate = 0;
  over_living(life, age, [&](double weight, double factor) {
    alive += weight;
    rate += weight * factor;
  });
  return life.shape / life.scale * std::pow(age / life.scale, life.shape - 1) * rate / alive;
}

double mean_life(const Life& life) {
  assert(good(life));
  return life.scale * std::exp(0.5 * life.spread * life.spread) * std::tgamma(1 + 1 / life.shape);
}

double age_at_share(const Life& life, double share) {
  assert(good(life) && share > 0 && share < 1);
  double low = 0, high = life.scale;
  while (1 - survival(life, high) < share) high *= 2;
  for (int k = 0; k < 60; ++k) {
    const double mid = 0.5 * (low + high);
    (1 - survival(life, mid) < share ? low : high) = mid;
  }
  return 0.5 * (low + high);
}

double chance_within(const Life& life, double age, double more) {
  assert(good(life) && age >= 0 && more >= 0);
  const double step = power(life, age + more) - power(life, age);
  double alive = 0, gone = 0;
  over_living(life, age, [&](double weight, double factor) {
    alive += weight;
    gone -= weight * std::expm1(-step * factor);
  });
  return gone / alive;
}

double chance_within_unknown_age(const Life& life, double oldest, double more) {
  constexpr int kAges = 16;
  double sum = 0;
  for (int k = 0; k < kAges; ++k) sum += chance_within(life, oldest * (k + 0.5) / kAges, more);
  return sum / kAges;
}

double wear_factor(const Life& life, double age) {
  const double mean = -std::log(survival(life, life.scale)) / life.scale;
  return std::clamp(hazard(life, age) / mean, 0.1, 8.0);
}

}  // namespace crankwise
