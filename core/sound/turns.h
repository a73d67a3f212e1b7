// Sound cut by the cycles of an engine instead of by time: the samples between firings are spread evenly over the cycle
// while the speed changes, so that what repeats every cycle gives sharp orders even in a fast rise (order tracking by
// angular resampling).
#pragma once

#include <complex>
#include <span>
#include <utility>
#include <vector>

#include "core/sound/fft.h"
#include "core/sound/signal.h"

namespace crankwise::sound {

/// The firing around a moment: its rate changes evenly over time.
struct Pace {
  double at_s = 0;
  double rate_hz = 0;  // of the firing there; above 0
  double slope_hz_per_s = 0;
};

/// Fills `out` with the sound around the moment, out.size() samples over `cycles` cycles, the moment in the middle.
/// Cubic interpolation. With fewer samples a second than the take has, what lies above half of them folds down.
void cut_by_cycle(const Signal&, const Pace&, double cycles, std::span<float> out);

/// Power by order: what of the sound comes so many times a cycle.
class OrderSpectrum {
 public:
  /// `cycles` under one Hann window; orders up to `most_order`.
  OrderSpectrum(int cycles, int most_order);

  int cycles() const { return cycles_; }
  int lines() const { return cycles_ * most_order_ + 1; }
  /// Line i is order i / cycles(). Valid until the next call.
  std::span<const float> at(const Signal&, const Pace&);

 private:
  /// For so many samples a cycle: a power of two, or three quarters of one.
  struct Cut {
    explicit Cut(int size);
    Fft fft;
    std::vector<float> window, samples;
    std::vector<std::complex<float>> spectrum;
  };
  Cut& cut_for(double rate_hz);

  int cycles_, most_order_;
  std::vector<std::pair<int, Cut>> cuts_;  // by samples a cycle, made when first needed
  std::vector<float> power_;
};

}  // namespace crankwise::sound
