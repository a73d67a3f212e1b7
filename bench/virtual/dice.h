// Dice that remember nothing: the same throw of the same job shows the same number, whoever asks and in what order.
// So every policy meets the same luck (common random numbers).
#pragma once

#include <cstdint>

namespace crankwise::bench {

enum class Throw : std::uint64_t { present, so, answer, bad_look, told, cure, run_shows, run_better, noise };

class Dice {
 public:
  Dice(std::uint64_t seed, std::uint64_t job) : key_(mix(mix(seed) ^ (job + 1))) {}

  /// In [0, 1).
  double uniform(Throw what, int a, int b = 0) const {
    const auto number = [](int x) { return static_cast<std::uint64_t>(static_cast<std::int64_t>(x)); };
    const std::uint64_t x = mix(mix(mix(key_ ^ static_cast<std::uint64_t>(what)) ^ number(a)) ^ number(b));
    return static_cast<double>(x >> 11) * 0x1p-53;
  }
  /// Standard normal.
  double normal(int a, int b) const;

 private:
  /// SplitMix64 (Steele, Lea and Flood 2014).
  static constexpr std::uint64_t mix(std::uint64_t x) {
    x += 0x9e3779b97f4a7c15;
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9;
    x = (x ^ (x >> 27)) * 0x94d049bb133111eb;
    return x ^ (x >> 31);
  }
  std::uint64_t key_;
};

}  // namespace crankwise::bench
