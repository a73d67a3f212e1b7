// Firing rates judged in windows of one length (see core/sound/evidence.h).
#pragma once

#include <array>
#include <complex>
#include <span>
#include <vector>

#include "core/calc/cycle.h"
#include "core/sound/fft.h"
#include "core/sound/grid.h"

namespace crankwise::sound {

struct Window {
  double rate_hz;          // of the samples
  int size;                // samples
  double low_hz, high_hz;  // of the sound that is looked at
};

/// Where evenly spaced values are read: a cubic through the four around.
struct Reads {
  std::vector<int> at;
  std::vector<std::array<float, 4>> weights;

  void add(double position, int size, float scale);
  float read(const float* values, size_t i) const {
    const float* v = values + at[i];
    const std::array<float, 4>& w = weights[i];
    return w[0] * v[0] + w[1] * v[1] + w[2] * v[2] + w[3] * v[3];
  }
};

/// The magnitudes of a window's spectrum.
class Spectrum {
 public:
  explicit Spectrum(const Window&);
  const Window& window() const { return window_; }
  std::span<const float> of(std::span<const float> samples);

 private:
  Window window_;
  Fft fft_;
  std::vector<float> hann_, samples_, magnitude_;
  std::vector<std::complex<float>> bins_;
};

/// How much the sound is like itself one firing later.
class LagJudge {
 public:
  LagJudge(const Grid&, int first, int last, const Window&, Cycle);
  /// Adds `weight` times the score of the rates from `first` on to `row`.
  void add(std::span<const float> magnitude, float weight, std::span<float> row);

 private:
  int rates_, low_bin_, high_bin_;
  Fft fft_;
  std::vector<Reads> reads_;      // at one firing, a half, a third ... of it
  std::vector<float> penalties_;  // of each but the first
  std::vector<std::complex<float>> bins_;
  std::vector<float> lags_;
};

/// How much more there is at multiples of a rate than between them.
class CombJudge {
 public:
  CombJudge(const Grid&, int first, int last, const Window&);
  void add(std::span<const float> magnitude, float weight, std::span<float> row);

 private:
  struct Tooth {
    int phase, offset;
    float weight;
  };
  struct Teeth {
    std::vector<Tooth> teeth;
    std::vector<float> scale;  // by rate: one over the weight of those within the band
  };
  void sum(const Teeth&, std::vector<float>& out) const;
  Teeth teeth(const std::vector<std::pair<double, double>>& factor_and_weight);

  int rates_, half_spacing_, low_bin_, high_bin_;
  std::vector<double> running_;
  std::vector<float> whitened_;
  Reads reads_;                            // of the whitened spectrum, on the logarithmic axis
  std::array<std::vector<float>, 4> log_;  // by phase: every fourth
  size_t band_first_ = 0, band_end_ = 0;   // places of the logarithmic axis within the band
  std::array<Teeth, 6> sets_;
  std::array<std::vector<float>, 6> sums_;
};

}  // namespace crankwise::sound
