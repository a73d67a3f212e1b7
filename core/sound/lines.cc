#include "core/sound/lines.h"

#include <algorithm>
#include <cmath>

#include "core/sound/fft.h"
#include "core/sound/spread.h"

namespace crankwise::sound {
namespace {

constexpr int kSize = 8192;  // about a second: 1 Hz
constexpr double kBinHz = kRateHz / kSize;
constexpr size_t kFirst = 40, kPast = 2048, kAround = 20, kBlock = 8;  // bins
constexpr double kLeastDb = 12;

struct Rates {
  double low = 0, high = 0;  // of the firing while the window lasts
};

/// Within 2 Hz of a multiple of half the firing rate: anywhere in what it passes through while the speed only wanders,
/// or at the ends of a sweep, where it dwells.
bool of_engine(double hz, const Rates& rates) {
  const double order = std::max(1.0, std::round(4 * hz / (rates.low + rates.high))) / 2;
  if (rates.high < 1.04 * rates.low) return hz > order * rates.low - 2 && hz < order * rates.high + 2;
  const auto near = [hz](double rate) {
    return std::abs(hz - std::max(1.0, std::round(2 * hz / rate)) / 2 * rate) < 2;
  };
  return near(rates.low) || near(rates.high);
}

Rates rates_in(const Track& track, const Engine& engine, double from_s, double to_s) {
  Rates rates{1e9, 0};
  for (auto i = static_cast<size_t>(from_s / kHopS);
       i < std::min(track.frames.size(), static_cast<size_t>(to_s / kHopS)); ++i) {
    if (!(track.frames[i].rpm > 0)) continue;
    const double rate = engine.firing_hz(static_cast<double>(track.frames[i].rpm));
    rates.low = std::min(rates.low, rate);
    rates.high = std::max(rates.high, rate);
  }
  return rates;
}

}  // namespace

std::vector<FixedLine> fixed_lines(const Signal& signal, const Track& track, const Engine& engine) {
  constexpr std::int64_t kMost = 60;
  if (signal.samples < 2 * kSize) return {};
  const std::int64_t count = std::min(kMost, 2 * signal.samples / kSize - 1);
  Fft fft(kSize);
  const std::vector<float> window = hann(kSize);
  std::vector<float> samples(kSize);
  std::vector<std::complex<float>> spectrum(static_cast<size_t>(fft.bins()));
  std::vector<std::vector<double>> over(kPast);
  std::vector<Rates> firing;
  for (std::int64_t k = 0; k < count; ++k) {
    const std::int64_t first = count > 1 ? k * (signal.samples - kSize) / (count - 1) : 0;
    signal.read(first, samples);
    for (size_t i = 0; i < samples.size(); ++i) samples[i] *= window[i];
    fft.forward(samples, spectrum);
    std::vector<double> db(kPast + kBlock + kAround);
    for (size_t b = 0; b < db.size(); ++b) db[b] = 10 * std::log10(static_cast<double>(std::norm(spectrum[b])) + 1e-12);
    for (size_t block = kFirst; block < kPast; block += kBlock) {
      const double around = median({db.begin() + static_cast<std::ptrdiff_t>(block + kBlock / 2 - kAround),
                                    db.begin() + static_cast<std::ptrdiff_t>(block + kBlock / 2 + kAround)});
      for (size_t b = block; b < std::min(block + kBlock, kPast); ++b) over[b].push_back(db[b] - around);
    }
    const double from_s = static_cast<double>(first) / kRateHz;
    firing.push_back(rates_in(track, engine, from_s, from_s + kSize / kRateHz));
  }
  std::vector<double> usual(kPast);
  for (size_t b = kFirst; b < kPast; ++b) usual[b] = median(over[b]);
  std::vector<FixedLine> found;
  for (size_t b = kFirst + 2; b + 2 < kPast; ++b) {
    if (usual[b] < kLeastDb || usual[b] < *std::max_element(usual.begin() + static_cast<std::ptrdiff_t>(b - 2),
                                                            usual.begin() + static_cast<std::ptrdiff_t>(b + 3)))
      continue;
    const double hz = static_cast<double>(b) * kBinHz;
    const auto own =
        std::count_if(firing.begin(), firing.end(), [hz](const Rates& r) { return r.high > 0 && of_engine(hz, r); });
    if (2 * own < std::ssize(firing)) found.push_back({hz, usual[b]});
  }
  std::sort(found.begin(), found.end(), [](const FixedLine& a, const FixedLine& b) { return a.over_db > b.over_db; });
  if (found.size() > 10) found.resize(10);
  return found;
}

}  // namespace crankwise::sound
