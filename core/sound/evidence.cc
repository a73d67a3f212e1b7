#include "core/sound/evidence.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

#include "core/sound/track.h"

namespace crankwise::sound {
namespace {

constexpr float kCombWeight = 0.2F, kEnvelopeWeight = 0.2F;
constexpr double kPeriods = 4;  // in a window
constexpr int kHop = static_cast<int>(kHopS * kRateHz);
constexpr int kEnvelopeHalvings = 2;
constexpr int kMargin = 4096;  // samples on either side of a row that it may need; a multiple of 2^kEnvelopeHalvings

/// Half the rate, in place: a low-pass of 31 taps (sinc under a Hann window).
void halve(std::vector<float>& x) {
  constexpr int kSide = 15;
  std::array<float, kSide + 1> tap{0.5F};
  for (int i = 1; i <= kSide; i += 2) {
    const double a = 0.5 * std::numbers::pi * i;
    tap[static_cast<size_t>(i)] =
        static_cast<float>(0.5 * std::sin(a) / a * (0.5 + 0.5 * std::cos(std::numbers::pi * i / (kSide + 1))));
  }
  std::vector<float> padded(x.size() + 2 * kSide, 0.0F);
  std::copy(x.begin(), x.end(), padded.begin() + kSide);
  x.resize(x.size() / 2);
  for (size_t i = 0; i < x.size(); ++i) {
    const float* at = &padded[2 * i + kSide];
    float sum = tap[0] * at[0];
    for (int k = 1; k <= kSide; k += 2) sum += tap[static_cast<size_t>(k)] * (at[-k] + at[k]);
    x[i] = sum;
  }
}

/// The logarithm of how loud the sound above 500 Hz is (Butterworth of second order), not below a floor.
std::vector<float> envelope_of(std::span<const float> x) {
  constexpr double kCornerHz = 500;
  constexpr float kFloor = 1e-4F;
  const double k = std::tan(std::numbers::pi * kCornerHz / kRateHz), q = std::numbers::sqrt2 * k;
  const double b = 1 / (1 + q + k * k), a1 = 2 * b * (k * k - 1), a2 = b * (1 - q + k * k);
  std::vector<float> out(x.size());
  double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
  for (size_t i = 0; i < x.size(); ++i) {
    const auto now = static_cast<double>(x[i]);
    const double y = b * (now - 2 * x1 + x2) - a1 * y1 - a2 * y2;
    x2 = x1, x1 = now, y2 = y1, y1 = y;
    out[i] = std::abs(static_cast<float>(y));
  }
  for (int h = 0; h < kEnvelopeHalvings; ++h) halve(out);
  for (float& v : out) v = std::log(std::max(v, kFloor));
  return out;
}

}  // namespace

Evidence::Evidence(const Grid& grid, Cycle cycle) : grid_(grid) {
  // seconds, stride in hops, halvings of the rate
  struct Length {
    double seconds;
    int stride, halvings;
  };
  constexpr std::array<Length, 5> lengths = {{{0.8, 4, 1}, {0.4, 2, 1}, {0.2, 1, 1}, {0.1, 1, 0}, {0.05, 1, 0}}};
  int first = 0;
  for (size_t b = 0; b < lengths.size() && first < grid.size; ++b) {
    const Length& l = lengths[b];
    const double up_to_hz = b + 1 < lengths.size() ? std::numbers::sqrt2 * kPeriods / l.seconds : 1e9;
    const int last = std::clamp(static_cast<int>(std::ceil(grid.index(up_to_hz))), first, grid.size);
    if (last == first) continue;
    const double rate = kRateHz / (1 << l.halvings), envelope_rate = kRateHz / (1 << kEnvelopeHalvings);
    const auto size = [&](double hz) { return static_cast<int>(std::lround(hz * l.seconds)); };
    const Window lag{rate, size(rate), 45, 1500}, comb{rate, size(rate), 45, std::min(2200.0, 0.45 * rate)};
    const Window envelope{envelope_rate, size(envelope_rate), 0.6 * grid.hz(first), 800};
    banks_.push_back({first, last, l.stride, l.halvings, Spectrum(lag), Spectrum(envelope),
                      LagJudge(grid, first, last, lag, cycle), LagJudge(grid, first, last, envelope, cycle),
                      CombJudge(grid, first, last, comb)});
    first = last;
  }
}

/// `middle`: of the window, in samples of the take after the start of `sound`.
void Evidence::judge(Bank& bank, std::span<const float> sound, std::span<const float> envelope, std::int64_t middle,
                     std::span<float> row) {
  const auto around = [&](std::span<const float> x, int halvings, const Spectrum& s) {
    const auto size = static_cast<size_t>(s.window().size);
    return x.subspan(static_cast<size_t>(middle >> halvings) - size / 2, size);
  };
  std::fill(row.begin(), row.end(), 0.0F);
  const std::span<const float> magnitude = bank.sound.of(around(sound, bank.halvings, bank.sound));
  bank.lag.add(magnitude, 1, row);
  bank.comb.add(magnitude, kCombWeight, row);
  bank.envelope_lag.add(bank.envelope.of(around(envelope, kEnvelopeHalvings, bank.envelope)), kEnvelopeWeight, row);
}

void Evidence::rows(const Signal& signal, std::int64_t first, std::span<float> out) {
  const auto width = static_cast<size_t>(grid_.size);
  const auto hops = static_cast<std::int64_t>(out.size() / width);
  assert(hops > 0 && out.size() % width == 0);
  constexpr std::int64_t kLongestStride = 4;
  const std::int64_t start = first - first % kLongestStride;  // judged moments are the same however the take is cut
  const std::int64_t last = first + hops + kLongestStride;
  std::vector<float> sound(static_cast<size_t>((last - start) * kHop + 2 * kMargin));
  signal.read(start * kHop - kMargin, sound);
  const std::vector<float> envelope = envelope_of(sound);
  std::vector<float> half = sound;
  halve(half);

  std::vector<float> before, after;
  for (Bank& bank : banks_) {
    const auto rates = static_cast<size_t>(bank.last - bank.first);
    before.resize(rates);
    after.resize(rates);
    const std::span<const float> x = bank.halvings == 0 ? std::span<const float>(sound) : half;
    const auto judged = [&](std::int64_t hop, std::vector<float>& row) {
      judge(bank, x, envelope, (hop - start) * kHop + kMargin, row);
    };
    std::int64_t at = first - first % bank.stride;
    judged(at, before);
    for (; at < first + hops; at += bank.stride) {
      judged(at + bank.stride, after);
      for (std::int64_t hop = std::max(at, first); hop < std::min(at + bank.stride, first + hops); ++hop) {
        const float part = static_cast<float>(hop - at) / static_cast<float>(bank.stride);
        float* const to = &out[static_cast<size_t>(hop - first) * width + static_cast<size_t>(bank.first)];
        for (size_t i = 0; i < rates; ++i) to[i] = before[i] + part * (after[i] - before[i]);
      }
      before.swap(after);
    }
  }
}

}  // namespace crankwise::sound
