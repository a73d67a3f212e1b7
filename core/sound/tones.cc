#include "core/sound/tones.h"

#include <algorithm>
#include <cmath>

#include "core/sound/fft.h"
#include "core/sound/spread.h"

namespace crankwise::sound {
namespace {

/// No bangs stand out around there, though many firings were looked at, and the speed stays.
void mark_without_bangs(const std::vector<Firing>& firings, std::vector<bool>& tone) {
  constexpr double kAroundS = 1, kBangs = 0.15, kStill = 0.01;
  constexpr int kLeast = 20;
  auto from = firings.begin(), to = firings.begin();
  int visible = 0;
  for (std::size_t i = 0; i < tone.size(); ++i) {
    const double at_s = static_cast<double>(i) * kHopS;
    for (; to != firings.end() && to->at_s <= at_s + kAroundS; ++to) visible += to->visible ? 1 : 0;
    for (; from != to && from->at_s < at_s - kAroundS; ++from) visible -= from->visible ? 1 : 0;
    const auto all = static_cast<int>(to - from);
    if (all < kLeast || visible >= kBangs * all) continue;
    std::vector<double> speeds;
    for (auto f = from; f != to; ++f) speeds.push_back(std::log(static_cast<double>(f->rpm)));
    if (robust_sigma(speeds) < kStill) tone[i] = true;
  }
}

constexpr int kSize = 32768;  // samples: about four seconds, 0.25 Hz a bin

/// Where most rates lie within 2 %, and how many.
struct Dwell {
  double rate_hz = 0;
  std::size_t frames = 0;
};

Dwell dwell_in(std::vector<double> rates) {
  constexpr double kWithin = 1.02;
  std::sort(rates.begin(), rates.end());
  Dwell found;
  for (std::size_t i = 0, end = 0; i < rates.size(); ++i) {
    while (end < rates.size() && rates[end] <= kWithin * rates[i]) ++end;
    if (end - i > found.frames) found = {rates[i + (end - i) / 2], end - i};
  }
  return found;
}

double rate_at(const Track& track, const Engine& engine, std::size_t frame) {
  return engine.firing_hz(static_cast<double>(track.frames[frame].rpm));
}

/// How far the fourth strongest of the first orders stands over what is beside it, in dB.
double sharpness_db(std::span<const std::complex<float>> spectrum, double rate_hz) {
  constexpr int kOrders = 12, kStrongest = 4, kMainLobe = 3;
  constexpr double kReach = 0.015, kLowestHz = 45, kHighestHz = 2200;
  std::vector<double> over, level, beside;
  for (int k = 1; k <= kOrders; ++k) {
    const double hz = k * rate_hz;
    if (hz < kLowestHz || hz > kHighestHz) continue;
    const auto middle = static_cast<int>(std::lround(hz * kSize / kRateHz));
    const int reach = std::max(14, static_cast<int>(kReach * middle));
    level.clear();
    for (int b = middle - reach; b <= middle + reach; ++b)
      level.push_back(10 * std::log10(static_cast<double>(std::norm(spectrum[static_cast<size_t>(b)])) + 1e-12));
    const auto peak = std::max_element(level.begin(), level.end());
    beside.clear();
    for (auto b = level.begin(); b != level.end(); ++b)
      if (std::abs(b - peak) > kMainLobe) beside.push_back(*b);
    over.push_back(*peak - quantile(beside, 0.75));
  }
  if (over.size() < kStrongest) return 0;
  std::nth_element(over.begin(), over.begin() + kStrongest - 1, over.end(), std::greater<>());
  return over[kStrongest - 1];
}

void mark_sharp(const Signal& signal, const Track& track, const Engine& engine, std::vector<bool>& tone) {
  constexpr double kLeastShare = 0.6;
  constexpr double kSharpDb = 30;  // made and real engines: 24 at most; made hum: 40 and more
  if (signal.samples < kSize) return;
  Fft fft(kSize);
  const std::vector<float> window = hann(kSize);
  std::vector<float> samples(kSize);
  std::vector<std::complex<float>> spectrum(static_cast<size_t>(fft.bins()));
  const std::int64_t last = signal.samples - kSize;
  for (std::int64_t first = 0;; first = std::min(first + kSize / 2, last)) {
    const auto frame = [&](std::int64_t sample) {
      return std::min(tone.size(), static_cast<size_t>(static_cast<double>(sample) / (kHopS * kRateHz)));
    };
    const std::size_t from = frame(first), to = frame(first + kSize);
    std::vector<double> rates;
    for (std::size_t i = from; i < to; ++i)
      if (track.frames[i].rpm > 0) rates.push_back(rate_at(track, engine, i));
    const Dwell dwell = dwell_in(std::move(rates));
    if (static_cast<double>(dwell.frames) > kLeastShare * static_cast<double>(to - from)) {
      signal.read(first, samples);
      for (size_t i = 0; i < samples.size(); ++i) samples[i] *= window[i];
      fft.forward(samples, spectrum);
      if (sharpness_db(spectrum, dwell.rate_hz) > kSharpDb) {
        for (size_t i = from; i < to; ++i)
          if (std::abs(rate_at(track, engine, i) / dwell.rate_hz - 1) < 0.02) tone[i] = true;
      }
    }
    if (first == last) return;
  }
}

/// What follows on a tone, or comes before it, at its pitch.
void spread_along(const Track& track, std::vector<bool>& tone) {
  constexpr double kSamePitch = 0.015;
  const std::vector<bool> found = tone;
  for (size_t i = 0; i < tone.size(); ++i) {
    if (!found[i] || (i > 0 && found[i - 1])) continue;
    size_t end = i;
    std::vector<double> rpm;
    for (; end < tone.size() && found[end]; ++end) rpm.push_back(static_cast<double>(track.frames[end].rpm));
    const double pitch = median(rpm);
    const auto same = [&](size_t f) {
      return std::abs(static_cast<double>(track.frames[f].rpm) / pitch - 1) < kSamePitch;
    };
    for (size_t f = end; f < tone.size() && same(f); ++f) tone[f] = true;
    for (size_t f = i; f-- > 0 && same(f);) tone[f] = true;
  }
}

}  // namespace

std::vector<bool> tones_in(const Signal& signal, const Track& track, const Engine& engine,
                           const std::vector<Firing>& firings) {
  std::vector<bool> tone(track.frames.size(), false);
  mark_without_bangs(firings, tone);
  mark_sharp(signal, track, engine, tone);
  spread_along(track, tone);
  return tone;
}

double dwelt_at(const Track& track, const Engine& engine, const std::vector<bool>& frames) {
  constexpr std::size_t kLeast = 45;
  std::vector<double> rates;
  for (std::size_t i = 0; i < frames.size(); ++i)
    if (frames[i] && track.frames[i].rpm > 0) rates.push_back(rate_at(track, engine, i));
  const Dwell dwell = dwell_in(std::move(rates));
  return dwell.frames < kLeast ? 0 : dwell.rate_hz;
}

}  // namespace crankwise::sound
