#include "core/sound/turns.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>

namespace crankwise::sound {
namespace {

/// Seconds from the moment until the phase (in cycles) has passed: p = f t + s t^2 / 2.
double time_of(const Pace& pace, double cycles) {
  const double f = pace.rate_hz;
  // A slope that would stop the engine within the cut is held to one that does not.
  const double inside = std::max(0.04 * f * f, f * f + 2 * pace.slope_hz_per_s * cycles);
  return 2 * cycles / (f + std::sqrt(inside));
}

}  // namespace

void cut_by_cycle(const Signal& signal, const Pace& pace, double cycles, std::span<float> out) {
  assert(pace.rate_hz > 0 && cycles > 0 && !out.empty());
  // Where the samples are is exact at every kRun-th and halfway; a parabola through these lies between.
  constexpr size_t kRun = 64;
  const double middle = pace.at_s * kRateHz;
  const double step = cycles / static_cast<double>(out.size());
  const auto position = [&](double i) { return middle + kRateHz * time_of(pace, (i + 0.5) * step - cycles / 2); };
  const auto first = static_cast<std::int64_t>(std::floor(position(0))) - 2;
  const auto last = static_cast<std::int64_t>(std::floor(position(static_cast<double>(out.size() - 1)))) + 4;
  std::vector<float> raw(static_cast<size_t>(last - first));
  signal.read(first, raw);
  const double whole = static_cast<double>(first);
  for (size_t begin = 0; begin < out.size(); begin += kRun) {
    const size_t count = std::min(kRun, out.size() - begin);
    const double at = static_cast<double>(begin), half = 0.5 * static_cast<double>(count);
    const double start = position(at) - whole, between = position(at + half) - whole,
                 end = position(at + 2 * half) - whole;
    const double a2 = (start - 2 * between + end) / (2 * half * half), a1 = (end - start) / (2 * half) - 2 * half * a2;
    for (size_t i = 0; i < count; ++i) {
      const double n = static_cast<double>(i), place = start + n * (a1 + n * a2);
      const auto k = static_cast<int>(place);  // above 1
      const auto x = static_cast<float>(place - k);
      const float* const r = raw.data() + k;
      const float a = r[-1], b = r[0], c = r[1], d = r[2];
      out[begin + i] = b + 0.5F * x * (c - a + x * (2 * a - 5 * b + 4 * c - d + x * (3 * (b - c) + d - a)));
    }
  }
}

OrderSpectrum::Cut::Cut(int size)
    : fft(size), window(hann(size)), samples(window.size()), spectrum(static_cast<size_t>(fft.bins())) {}

OrderSpectrum::OrderSpectrum(int cycles, int most_order)
    : cycles_(cycles), most_order_(most_order), power_(static_cast<size_t>(lines())) {}

OrderSpectrum::Cut& OrderSpectrum::cut_for(double rate_hz) {
  const double wanted = std::max(2.0 * (most_order_ + 1), kRateHz / rate_hz);
  const unsigned power = std::bit_ceil(static_cast<unsigned>(std::ceil(wanted)));
  const unsigned three_quarters = power / 4 * 3;  // of a power above 50
  const auto per_cycle = static_cast<int>(wanted <= three_quarters ? three_quarters : power);
  const auto found = std::find_if(cuts_.begin(), cuts_.end(), [&](const auto& c) { return c.first == per_cycle; });
  return found != cuts_.end() ? found->second : cuts_.emplace_back(per_cycle, Cut(cycles_ * per_cycle)).second;
}

std::span<const float> OrderSpectrum::at(const Signal& signal, const Pace& pace) {
  Cut& cut = cut_for(pace.rate_hz);
  cut_by_cycle(signal, pace, cycles_, cut.samples);
  for (size_t i = 0; i < cut.samples.size(); ++i) cut.samples[i] *= cut.window[i];
  cut.fft.forward(cut.samples, cut.spectrum);
  const float scale = 1 / static_cast<float>(cut.samples.size());
  for (size_t i = 0; i < power_.size(); ++i) power_[i] = std::norm(scale * cut.spectrum[i]);
  return power_;
}

}  // namespace crankwise::sound
