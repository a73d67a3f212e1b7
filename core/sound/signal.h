// One take of sound: mono, at a fixed rate, read in any part and any order, so that an hour need not be held in memory.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <vector>

namespace crankwise::sound {

inline constexpr double kRateHz = 8000;

struct Signal {
  std::int64_t samples = 0;
  /// Fills `out` with the samples from `first` on, full scale 1; those before the beginning and after the end are 0.
  std::function<void(std::int64_t first, std::span<float> out)> read;

  double seconds() const { return static_cast<double>(samples) / kRateHz; }
};

/// Of samples in memory, which must outlive it.
Signal signal_of(std::span<const float> samples);

}  // namespace crankwise::sound
