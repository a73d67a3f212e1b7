#include "core/sound/bank.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>
#include <numeric>

namespace crankwise::sound {
namespace {

constexpr int kTeeth = 24;
constexpr int kLogPerOctave = 4 * Grid::kPerOctave;
constexpr double kLogBelow = 1.05;   // octaves of the logarithmic axis below the lowest rate
constexpr float kMostOfTooth = 2.5;  // times the sound around; one strong line must not decide
constexpr float kLeastTaper = 0.05F;
constexpr float kLeastSound = 0.01F;  // the sum of a window's magnitudes; below it is only rounding

}  // namespace

void Reads::add(double position, int size, float scale) {
  const double whole = std::clamp(std::floor(position), 1.0, size - 3.0);
  const auto x = static_cast<float>(std::clamp(position - whole, 0.0, 1.0));
  const float x2 = x * x, x3 = x2 * x;
  at.push_back(static_cast<int>(whole) - 1);
  weights.push_back({scale * 0.5F * (-x3 + 2 * x2 - x), scale * 0.5F * (3 * x3 - 5 * x2 + 2),
                     scale * 0.5F * (-3 * x3 + 4 * x2 + x), scale * 0.5F * (x3 - x2)});
}

Spectrum::Spectrum(const Window& window)
    : window_(window),
      fft_(window.size),
      hann_(hann(window.size)),
      samples_(hann_.size()),
      magnitude_(static_cast<size_t>(fft_.bins())),
      bins_(magnitude_.size()) {}

std::span<const float> Spectrum::of(std::span<const float> samples) {
  assert(samples.size() == samples_.size());
  for (size_t i = 0; i < samples_.size(); ++i) samples_[i] = samples[i] * hann_[i];
  fft_.forward(samples_, bins_);
  for (size_t i = 0; i < magnitude_.size(); ++i) {
    const float re = bins_[i].real(), im = bins_[i].imag();
    magnitude_[i] = std::sqrt(re * re + im * im);
  }
  return magnitude_;
}

LagJudge::LagJudge(const Grid& grid, int first, int last, const Window& w, Cycle cycle)
    : rates_(last - first),
      low_bin_(std::max(1, static_cast<int>(std::ceil(w.low_hz * w.size / w.rate_hz)))),
      high_bin_(std::min(w.size / 2, static_cast<int>(w.high_hz * w.size / w.rate_hz))),
      fft_(w.size),
      bins_(static_cast<size_t>(fft_.bins())),
      lags_(static_cast<size_t>(w.size)) {
  std::vector<int> parts = {1, 2, 3};
  penalties_ = {0, 0.5F, 0.5F};
  if (cycle == Cycle::four_stroke) {  // many even pulses of the valve train lie within its long cycle
    for (int m = 4; m <= 8; ++m) {
      parts.push_back(m);
      penalties_.push_back(0.8F);
    }
  }
  for (const int part : parts) {
    Reads reads;
    for (int i = first; i < last; ++i) {
      const double lag = w.rate_hz / grid.hz(i) / part;
      // The window's own likeness with itself fades with the lag.
      const double taper = 0.5 + 0.5 * std::cos(2 * std::numbers::pi * lag / w.size);
      const bool within = lag < 0.5 * w.size;
      reads.add(lag, w.size / 2 + 3, within ? 1 / std::max(kLeastTaper, static_cast<float>(taper)) : 0.0F);
    }
    reads_.push_back(std::move(reads));
  }
}

void LagJudge::add(std::span<const float> magnitude, float weight, std::span<float> row) {
  std::fill(bins_.begin(), bins_.end(), 0.0F);
  for (int k = low_bin_; k <= high_bin_; ++k) bins_[static_cast<size_t>(k)] = magnitude[static_cast<size_t>(k)];
  fft_.back(bins_, lags_);
  if (lags_[0] < kLeastSound) return;
  const float scale = 1 / lags_[0];
  for (int i = 0; i < rates_; ++i) {
    const auto r = static_cast<size_t>(i);
    float shorter = 0;
    for (size_t p = 1; p < reads_.size(); ++p)
      shorter = std::max(shorter, penalties_[p] * reads_[p].read(lags_.data(), r));
    row[r] += weight * scale * (reads_[0].read(lags_.data(), r) - shorter);
  }
}

CombJudge::CombJudge(const Grid& grid, int first, int last, const Window& w) : rates_(last - first) {
  const double per_bin = w.rate_hz / w.size, low = grid.hz(first);
  half_spacing_ = std::max(2, static_cast<int>(std::lround(0.6 * std::sqrt(low * grid.hz(last - 1)) / per_bin)));
  low_bin_ = std::max(1, static_cast<int>(w.low_hz / per_bin));
  high_bin_ = std::min(w.size / 2, static_cast<int>(std::ceil(w.high_hz / per_bin)));
  running_.resize(static_cast<size_t>(w.size / 2 + 2));
  whitened_.resize(static_cast<size_t>(w.size / 2 + 1));

  const auto below = static_cast<int>(kLogBelow * kLogPerOctave);
  const auto places = below + 4 * rates_ + static_cast<int>(std::ceil(kLogPerOctave * std::log2(kTeeth + 1.0))) + 4;
  for (int j = 0; j < places; ++j) {
    const double hz = low * std::exp2(static_cast<double>(j - below) / kLogPerOctave);
    const bool in = hz >= w.low_hz && hz <= w.high_hz && hz < 0.5 * w.rate_hz;
    if (in && band_end_ == 0) band_first_ = static_cast<size_t>(j);
    if (in) band_end_ = static_cast<size_t>(j) + 1;
    reads_.add(in ? hz / per_bin : 1, w.size / 2 + 1, in ? 1.0F : 0.0F);
  }
  for (auto& phase : log_) phase.resize(static_cast<size_t>(places / 4 + 1));

  std::vector<std::pair<double, double>> all, odd, not_third, half, thirds, quarters;
  for (int k = 1; k <= kTeeth; ++k) {
    const double weight = 1.0 / k;
    all.emplace_back(k, weight);
    if (k % 2 == 1) odd.emplace_back(k, weight);
    if (k % 3 != 0) not_third.emplace_back(k, weight);
    half.emplace_back(k - 0.5, weight);
    for (const double side : {-1.0, 1.0}) {
      thirds.emplace_back(k + side / 3, weight);
      quarters.emplace_back(k + side / 4, weight);
    }
  }
  sets_ = {teeth(all), teeth(odd), teeth(not_third), teeth(half), teeth(thirds), teeth(quarters)};
  for (auto& s : sums_) s.resize(static_cast<size_t>(rates_));
}

CombJudge::Teeth CombJudge::teeth(const std::vector<std::pair<double, double>>& factor_and_weight) {
  const auto below = static_cast<int>(kLogBelow * kLogPerOctave);
  Teeth set;
  std::vector<double> sum(static_cast<size_t>(rates_));
  for (const auto& [factor, weight] : factor_and_weight) {
    const auto place = below + static_cast<int>(std::lround(kLogPerOctave * std::log2(factor)));
    assert(place >= 0);
    set.teeth.push_back({place % 4, place / 4, static_cast<float>(weight)});
    for (int i = 0; i < rates_; ++i) {
      const auto at = static_cast<size_t>(place + 4 * i);
      if (at >= band_first_ && at < band_end_) sum[static_cast<size_t>(i)] += weight;
    }
  }
  for (const double s : sum) set.scale.push_back(s > 0 ? static_cast<float>(1 / s) : 0);
  return set;
}

void CombJudge::sum(const Teeth& set, std::vector<float>& out) const {
  std::fill(out.begin(), out.end(), 0.0F);
  for (const Tooth& t : set.teeth) {
    const std::vector<float>& values = log_[static_cast<size_t>(t.phase)];
    const int last = std::min(rates_, static_cast<int>(values.size()) - t.offset);
    const float* const from = values.data() + t.offset;
    for (int i = 0; i < last; ++i) out[static_cast<size_t>(i)] += t.weight * from[i];
  }
  for (size_t i = 0; i < out.size(); ++i) out[i] *= set.scale[i];
}

void CombJudge::add(std::span<const float> magnitude, float weight, std::span<float> row) {
  for (size_t k = 0; k < magnitude.size(); ++k) running_[k + 1] = running_[k] + static_cast<double>(magnitude[k]);
  const auto bins = static_cast<int>(magnitude.size());
  for (int k = low_bin_; k <= std::min(high_bin_ + 2, bins - 1); ++k) {
    const int from = std::max(1, k - half_spacing_), to = std::min(bins, k + half_spacing_ + 1);
    const auto around = static_cast<float>(running_[static_cast<size_t>(to)] - running_[static_cast<size_t>(from)]);
    const float value = magnitude[static_cast<size_t>(k)] * static_cast<float>(to - from);
    whitened_[static_cast<size_t>(k)] = around > 0 ? std::min(value / around, kMostOfTooth) : 1.0F;
  }
  for (size_t j = band_first_; j < band_end_; ++j) log_[j % 4][j / 4] = reads_.read(whitened_.data(), j);
  for (size_t s = 0; s < sets_.size(); ++s) sum(sets_[s], sums_[s]);
  for (size_t i = 0; i < static_cast<size_t>(rates_); ++i) {
    const float on = std::min({sums_[0][i], sums_[1][i], sums_[2][i]});
    row[i] += weight * (on - 0.35F * sums_[3][i] - 0.3F * sums_[4][i] - 0.35F * sums_[5][i]);
  }
}

}  // namespace crankwise::sound
