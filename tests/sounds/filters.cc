#include "tests/sounds/filters.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace crankwise::sounds {
namespace {

constexpr double kPi = std::numbers::pi;

struct Biquad {
  double b0, b1, b2, a1, a2;

  Sound operator()(const Sound& in) const {
    Sound out(in.size());
    double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
    for (std::size_t i = 0; i < in.size(); ++i) {
      const double y = b0 * in[i] + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2;
      x2 = x1, x1 = in[i], y2 = y1, y1 = y;
      out[i] = y;
    }
    return out;
  }
};

/// The three of the cookbook share their poles.
Biquad biquad(double hz, double q, double b0, double b1, double b2) {
  const double w = 2 * kPi * hz / kInsideHz, alpha = std::sin(w) / (2 * q), a0 = 1 + alpha;
  return {b0 / a0, b1 / a0, b2 / a0, -2 * std::cos(w) / a0, (1 - alpha) / a0};
}

double cosine(double hz) { return std::cos(2 * kPi * hz / kInsideHz); }

/// Modified Bessel function of the first kind, order 0.
double bessel(double x) {
  double sum = 1, term = 1;
  for (int k = 1; term > 1e-12 * sum; ++k) sum += term *= (x / (2 * k)) * (x / (2 * k));
  return sum;
}

/// Low pass at 3.8 kHz. Kaiser's formula for 80 dB and 0.4 kHz: 2.285 * 2 pi * 0.4 / 32 * N = 72.05, N = 402.
std::vector<double> decimator() {
  constexpr int kHalf = 208;
  constexpr double kBeta = 0.1102 * (80 - 8.7), kCut = 3800 / kInsideHz;
  std::vector<double> h(2 * kHalf + 1);
  double sum = 0;
  for (int i = -kHalf; i <= kHalf; ++i) {
    const double x = 2 * kCut * i, r = static_cast<double>(i) / kHalf;
    const double sinc = i == 0 ? 1 : std::sin(kPi * x) / (kPi * x);
    sum += h[static_cast<std::size_t>(i + kHalf)] = sinc * bessel(kBeta * std::sqrt(1 - r * r));
  }
  for (double& v : h) v /= sum;
  return h;
}

}  // namespace

double power(const Sound& s) {
  double sum = 0;
  for (const double v : s) sum += v * v;
  return s.empty() ? 0 : sum / static_cast<double>(s.size());
}

void add(Sound& to, const Sound& what, double gain) {
  for (std::size_t i = 0; i < std::min(to.size(), what.size()); ++i) to[i] += gain * what[i];
}

Sound resonance(const Sound& s, double hz, double q) {
  const double alpha = std::sin(2 * kPi * hz / kInsideHz) / (2 * q);
  return biquad(hz, q, alpha, 0, -alpha)(s);
}

Sound high_pass(Sound s, double hz, int times) {
  const double c = cosine(hz);
  for (int i = 0; i < times; ++i) s = biquad(hz, std::sqrt(0.5), (1 + c) / 2, -(1 + c), (1 + c) / 2)(s);
  return s;
}

Sound low_pass(Sound s, double hz, int times) {
  const double c = cosine(hz);
  for (int i = 0; i < times; ++i) s = biquad(hz, std::sqrt(0.5), (1 - c) / 2, 1 - c, (1 - c) / 2)(s);
  return s;
}

std::vector<float> to_8_khz(const Sound& s) {
  static const std::vector<double> h = decimator();
  const auto half = static_cast<std::ptrdiff_t>(h.size() / 2), n = static_cast<std::ptrdiff_t>(s.size());
  std::vector<float> out(s.size() / 4);
  for (std::size_t o = 0; o < out.size(); ++o) {
    const auto middle = static_cast<std::ptrdiff_t>(4 * o);
    double sum = 0;
    for (std::ptrdiff_t i = std::max(-half, -middle); i <= std::min(half, n - 1 - middle); ++i) {
      sum += h[static_cast<std::size_t>(i + half)] * s[static_cast<std::size_t>(middle + i)];
    }
    out[o] = static_cast<float>(sum);
  }
  return out;
}

}  // namespace crankwise::sounds
