#include "tests/sounds/noises.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace crankwise::sounds {
namespace {

constexpr double kTwoPi = 2 * std::numbers::pi;

Sound white(std::size_t n, Random& random) {
  Sound s(n);
  for (double& v : s) v = random.white();
  return s;
}

Sound air(std::size_t n, Random& random) {  // three one-pole filters: pink to about 1 dB (Kellet, from memory)
  Sound s(n);
  double a = 0, b = 0, c = 0;
  for (double& v : s) {
    const double w = random.white();
    a = 0.99765 * a + w * 0.0990460, b = 0.96300 * b + w * 0.2965164, c = 0.57000 * c + w * 1.0526913;
    v = a + b + c + w * 0.1848;
  }
  return high_pass(std::move(s), 20);
}

Sound wind(std::size_t n, double swell, Random& random) {
  const double corner_hz = random.uniform(100, 180);
  Sound low = low_pass(white(n, random), corner_hz);
  const Sound rest = white(n, random);
  const double gain = 0.03 * std::sqrt(power(low));
  std::array<double, 8> hz{}, phase{};
  for (std::size_t k = 0; k < hz.size(); ++k) hz[k] = random.uniform(0.1, 2.5), phase[k] = random.uniform(0, kTwoPi);
  for (std::size_t i = 0; i < n; ++i) {
    double g = 0;
    for (std::size_t k = 0; k < hz.size(); ++k) {
      g += 0.5 * std::sin(kTwoPi * hz[k] * static_cast<double>(i) / kInsideHz + phase[k]);
    }
    low[i] = (low[i] + gain * rest[i]) * std::exp(swell * g);
  }
  return high_pass(std::move(low), 15);
}

/// A sum of harmonics of hz, the k-th falling as k^-fall; what is above 4 kHz would be lost anyway.
void tone(Sound& to, std::size_t from, std::size_t n, double hz, double fall, double gain, double decay_s) {
  const std::size_t last = std::min(from + n, to.size());
  for (int k = 1; k <= 12 && k * hz < 4000; ++k) {
    const double part = gain * std::pow(k, -fall);
    for (std::size_t i = from; i < last; ++i) {
      const double t = static_cast<double>(i - from) / kInsideHz;
      to[i] += part * std::exp(-t / decay_s) * std::min(1.0, t / 0.005) * std::sin(kTwoPi * hz * k * t + k);
    }
  }
}

Sound speech(std::size_t n, Random& random) {
  struct Vowel {
    double f1, f2, f3;
  };
  constexpr std::array<Vowel, 5> kVowels{
      {{730, 1090, 2440}, {530, 1840, 2480}, {270, 2290, 3010}, {570, 840, 2410}, {300, 870, 2240}}};  // Peterson and
  Sound out(n);                                                                                        // Barney 1952
  const double middle = random.uniform(95, 210);
  std::size_t i = 0;
  while (i < n) {
    const auto syllable = static_cast<std::size_t>(random.uniform(0.1, 0.3) * kInsideHz);
    const Vowel v = kVowels[static_cast<std::size_t>(random.index(5))];
    Sound source(std::min(syllable, n - i));
    const double from = middle * random.uniform(0.8, 1.3), to = middle * random.uniform(0.75, 1.2);
    double phase = 0;
    for (std::size_t j = 0; j < source.size(); ++j) {
      const double x = static_cast<double>(j) / static_cast<double>(syllable);
      const double before = phase;
      phase += (from + (to - from) * x) / kInsideHz;
      source[j] = (std::floor(phase) > std::floor(before) ? 8.0 : 0.0) + 0.05 * random.white();
      source[j] *= std::sin(std::numbers::pi * std::min(x, 1.0));
    }
    source = low_pass(std::move(source), 900);
    for (const auto& [hz, gain] : {std::pair{v.f1, 1.0}, std::pair{v.f2, 0.6}, std::pair{v.f3, 0.3}}) {
      const Sound r = resonance(source, hz, hz / 90);
      for (std::size_t j = 0; j < r.size(); ++j) out[i + j] += gain * r[j];
    }
    const auto hush = random.uniform() < 0.2 ? random.uniform(0.3, 0.9) : random.uniform(0.02, 0.08);
    i += syllable + static_cast<std::size_t>(hush * kInsideHz);
  }
  return out;
}

Sound music(std::size_t n, Random& random) {
  Sound out(n);
  const double beat_s = 60 / random.uniform(90, 140), root = 110 * std::pow(2, random.index(12) / 12.0);
  const auto beat = static_cast<std::size_t>(beat_s * kInsideHz);
  constexpr std::array<int, 4> kSteps{0, 5, 7, 9};
  int chord = 0;
  for (std::size_t from = 0, count = 0; from < n; from += beat, ++count) {
    if (count % 4 == 0) chord = kSteps[static_cast<std::size_t>(random.index(4))];
    for (const int third : {0, 4, 7}) tone(out, from, beat, root * std::pow(2, (chord + third) / 12.0), 1.2, 0.5, 0.5);
    tone(out, from, beat / 2, root / 2 * std::pow(2, chord / 12.0), 1.0, 1.0, 0.3);
    const std::size_t drum = from + (count % 2 == 1 ? beat / 2 : 0);
    for (std::size_t j = drum; j < std::min(drum + beat / 4, n); ++j) {
      out[j] += 2 * random.white() * std::exp(-static_cast<double>(j - drum) / (0.03 * kInsideHz));
    }
  }
  return out;
}

Sound hum(std::size_t n, double hz, Random& random) {
  Sound out(n);
  const std::array<double, 9> gains{1, 0.8, 0.5, 0.5, 0.3, 0.3, 0.15, 0.2, 0.1};
  for (std::size_t k = 0; k < gains.size(); ++k) {
    const double phase = random.uniform(0, kTwoPi), f = hz * static_cast<double>(k + 1);
    for (std::size_t i = 0; i < n; ++i)
      out[i] += gains[k] * std::sin(kTwoPi * f * static_cast<double>(i) / kInsideHz + phase);
  }
  return out;
}

Sound saw(std::size_t n, Random& random) {
  Sound out = white(n, random);
  for (double& v : out) v *= 0.7;
  tone(out, 0, n, random.uniform(900, 1400), 0.8, 1.0, 1e9);
  return out;
}

Sound compressor(std::size_t n, Random& random) {
  Sound out = air(n, random);
  const double hz = random.uniform(11, 19), motor = random.uniform(48, 50);
  for (std::size_t i = 0; i < n; ++i) {
    const double t = static_cast<double>(i) / kInsideHz, x = hz * t - std::floor(hz * t);
    out[i] = 0.4 * out[i] * (1 + std::exp(-8 * x)) + std::exp(-10 * x) * std::sin(kTwoPi * 130 * x / hz) +
             0.3 * std::sin(kTwoPi * 2 * motor * t);
  }
  return out;
}

Sound hammer(std::size_t n, Random& random) {
  Sound out(n);
  for (double t = random.uniform(0.1, 0.4); t * kInsideHz < static_cast<double>(n); t += random.uniform(0.35, 0.8)) {
    const auto from = static_cast<std::size_t>(t * kInsideHz);
    const double gain = random.uniform(0.5, 1);
    for (const double hz : {410.0, 1130.0, 1870.0, 2950.0}) {
      tone(out, from, static_cast<std::size_t>(0.4 * kInsideHz), hz * random.uniform(0.98, 1.02), 9, gain, 0.05);
    }
    for (std::size_t j = from; j < std::min(from + 640, n); ++j)
      out[j] += 3 * gain * random.white() * std::exp(-static_cast<double>(j - from) / 90);
  }
  return out;
}

Sound shape(Noise kind, std::size_t n, Random& random) {
  switch (kind) {
    case Noise::wind:
      return wind(n, 0.35, random);
    case Noise::gusts:
      return wind(n, 1.0, random);
    case Noise::air:
      return air(n, random);
    case Noise::white:
      return white(n, random);
    case Noise::speech:
      return speech(n, random);
    case Noise::music:
      return music(n, random);
    case Noise::hum_50:
      return hum(n, 50, random);
    case Noise::hum_60:
      return hum(n, 60, random);
    case Noise::saw:
      return saw(n, random);
    case Noise::compressor:
      return compressor(n, random);
    case Noise::hammer:
      return hammer(n, random);
  }
  return {};
}

}  // namespace

Sound noise(Noise kind, std::size_t n, Random& random) {
  Sound s = shape(kind, n, random);
  const double mean_square = power(s);
  if (mean_square > 0) {
    for (double& v : s) v /= std::sqrt(mean_square);
  }
  return s;
}

}  // namespace crankwise::sounds
