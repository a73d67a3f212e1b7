#include "core/sound/spectrogram.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "core/sound/fft.h"

namespace crankwise::sound {

Spectrogram spectrogram(const Signal& signal, int columns, int rows, double highest_hz) {
  assert(columns > 0 && rows > 0 && highest_hz > 0 && highest_hz <= kRateHz / 2);
  constexpr int kSize = 1024, kMostLooks = 4;
  constexpr float kLowestDb = -90;
  Fft fft(kSize);
  const std::vector<float> window = hann(kSize);
  std::vector<float> samples(kSize);
  std::vector<std::complex<float>> bins(static_cast<size_t>(fft.bins()));
  Spectrogram out{columns, rows, signal.seconds(), highest_hz, {}};
  out.db.assign(static_cast<size_t>(columns) * static_cast<size_t>(rows), kLowestDb);
  const double width = static_cast<double>(signal.samples) / columns;
  const int looks = std::clamp(static_cast<int>(std::ceil(width / kSize)), 1, kMostLooks);
  for (int c = 0; c < columns; ++c) {
    float* const column = &out.db[static_cast<size_t>(c) * static_cast<size_t>(rows)];
    for (int look = 0; look < looks; ++look) {
      const double middle = width * (c + (look + 0.5) / looks);
      signal.read(static_cast<std::int64_t>(middle) - kSize / 2, samples);
      for (size_t i = 0; i < samples.size(); ++i) samples[i] *= window[i];
      fft.forward(samples, bins);
      for (int r = 0; r < rows; ++r) {
        const auto bin_at = [&](double row) { return row / rows * highest_hz * kSize / kRateHz; };
        const auto from = static_cast<size_t>(bin_at(r));
        const auto to = std::min(std::max(from + 1, static_cast<size_t>(std::ceil(bin_at(r + 1)))), bins.size());
        float most = 0;
        for (size_t k = from; k < to; ++k) most = std::max(most, std::norm(bins[k]));
        column[r] = std::max(column[r], 10 * std::log10(most + 1e-12F));
      }
    }
  }
  const float loudest = *std::max_element(out.db.begin(), out.db.end());
  for (float& v : out.db) v = std::clamp(v - loudest, kLowestDb, 0.0F);
  return out;
}

}  // namespace crankwise::sound
