#include "core/sound/unlike.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/sound/fft.h"
#include "core/sound/others.h"
#include "core/sound/pulses.h"

namespace crankwise::sound {
namespace {

constexpr int kSize = 1024, kBands = 14, kLag = 6, kEvery = 3;  // samples; a third of an octave each; frames
constexpr double kLowestHz = 100, kHighestHz = 3500;
constexpr double kSamePitch = 0.12;  // of ln rpm over the lag
constexpr double kUnlikeDb = 3.5;
constexpr std::size_t kLeastPairs = 5, kAround = 50;  // a second on either side

using Bands = std::array<float, kBands>;

class Timbre {
 public:
  Timbre() : fft_(kSize), window_(hann(kSize)), samples_(kSize), bins_(static_cast<size_t>(fft_.bins())) {
    for (size_t b = 0; b < edges_.size(); ++b) {
      const double hz = kLowestHz * std::pow(kHighestHz / kLowestHz, static_cast<double>(b) / kBands);
      edges_[b] = static_cast<size_t>(hz * kSize / kRateHz);
    }
  }

  /// Level of each band over their mean, dB.
  Bands at(const Signal& signal, double at_s) {
    signal.read(static_cast<std::int64_t>(at_s * kRateHz) - kSize / 2, samples_);
    for (size_t i = 0; i < samples_.size(); ++i) samples_[i] *= window_[i];
    fft_.forward(samples_, bins_);
    Bands db{};
    float mean = 0;
    for (size_t b = 0; b < db.size(); ++b) {
      float power = 1e-12F;
      for (size_t k = edges_[b]; k <= edges_[b + 1]; ++k) power += std::norm(bins_[k]);
      db[b] = 10 * std::log10(power / static_cast<float>(edges_[b + 1] - edges_[b] + 1));
      mean += db[b] / kBands;
    }
    for (float& v : db) v -= mean;
    return db;
  }

 private:
  Fft fft_;
  std::vector<float> window_, samples_;
  std::vector<std::complex<float>> bins_;
  std::array<size_t, kBands + 1> edges_{};
};

struct Pair {
  std::size_t frame;
  float timbre_db;
};

/// Frames a lag apart at about the same pitch, all sure between.
std::vector<Pair> pairs_of(const Signal& signal, const Track& track) {
  Timbre timbre;
  std::vector<Pair> pairs;
  std::vector<std::pair<std::size_t, Bands>> recent;  // looked at already
  const auto look = [&](std::size_t i) -> Bands {
    for (const auto& [frame, bands] : recent) {
      if (frame == i) return bands;
    }
    if (recent.size() > 4) recent.erase(recent.begin());
    return recent.emplace_back(i, timbre.at(signal, track.seconds(i))).second;
  };
  const auto followed = [&](std::size_t i) { return track.frames[i].rpm > 0 && track.frames[i].confidence >= kSure; };
  for (std::size_t i = 0; i + kLag < track.frames.size(); i += kEvery) {
    if (!followed(i) || !followed(i + kLag / 2) || !followed(i + kLag)) continue;
    const Frame &a = track.frames[i], &b = track.frames[i + kLag];
    if (std::abs(std::log(static_cast<double>(b.rpm) / static_cast<double>(a.rpm))) > kSamePitch) continue;
    const Bands x = look(i), y = look(i + kLag);
    float sum = 0;
    for (size_t n = 0; n < x.size(); ++n) sum += (x[n] - y[n]) * (x[n] - y[n]) / kBands;
    pairs.push_back({i + kLag / 2, std::sqrt(sum)});
  }
  return pairs;
}

double middle_db(std::vector<Pair>::const_iterator from, std::vector<Pair>::const_iterator to) {
  std::vector<float> values;
  for (auto p = from; p != to; ++p) values.push_back(p->timbre_db);
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), at, values.end());
  return static_cast<double>(*at);
}

}  // namespace

std::vector<bool> like_an_engine(const Signal& signal, const Track& track, const Engine& engine,
                                 const std::vector<Firing>& firings) {
  std::vector<bool> like(track.frames.size(), true);
  const Answer<SecondEngine> second = second_engine(signal, track, engine, firings);
  if (second && second->suspected)
    return std::vector<bool>(like.size(), false);  // which of the two it is cannot be known
  const std::vector<Pair> pairs = pairs_of(signal, track);
  if (pairs.size() >= kLeastPairs) {
    const bool whole = middle_db(pairs.begin(), pairs.end()) < kUnlikeDb;
    auto from = pairs.begin(), to = pairs.begin();
    for (std::size_t i = 0; i < like.size(); ++i) {
      while (from != pairs.end() && from->frame + kAround < i) ++from;
      while (to != pairs.end() && to->frame <= i + kAround) ++to;
      const bool enough = to - from >= static_cast<std::ptrdiff_t>(kLeastPairs);
      like[i] = like[i] && (enough ? middle_db(from, to) < kUnlikeDb : whole);
    }
  }
  return like;
}

}  // namespace crankwise::sound
