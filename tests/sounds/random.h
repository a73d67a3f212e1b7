// Random numbers that are the same on every machine: the Mersenne twister is fixed by the standard, the distributions
// of <random> are not, so they are made here.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace crankwise::sounds {

class Random {
 public:
  explicit Random(std::uint64_t seed) : twister_(seed) {}

  /// In [0, 1).
  double uniform() { return static_cast<double>(twister_() >> 11) * 0x1p-53; }
  double uniform(double low, double high) { return low + (high - low) * uniform(); }
  /// In {0, .. below - 1}.
  int index(int below) { return static_cast<int>(uniform() * below); }
  /// Standard normal (Box and Muller 1958).
  double normal() {
    const double u = 1 - uniform(), v = uniform();
    return std::sqrt(-2 * std::log(u)) * std::cos(2 * std::numbers::pi * v);
  }
  /// White, mean square 1; cheaper than normal() and just as white.
  double white() { return uniform(-std::numbers::sqrt3, std::numbers::sqrt3); }

 private:
  std::mt19937_64 twister_;
};

}  // namespace crankwise::sounds
