#include "core/sound/spread.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace crankwise::sound {

double quantile(std::vector<double> values, double share) {
  assert(!values.empty() && share >= 0 && share <= 1);
  const double place = share * static_cast<double>(values.size() - 1);
  const auto low = values.begin() + static_cast<std::ptrdiff_t>(place);
  std::nth_element(values.begin(), low, values.end());
  const double part = place - std::floor(place);
  if (part == 0) return *low;
  return *low + part * (*std::min_element(low + 1, values.end()) - *low);
}

double median(std::vector<double> values) { return quantile(std::move(values), 0.5); }

double robust_sigma(const std::vector<double>& values) {
  const double middle = median(values);
  std::vector<double> away;
  away.reserve(values.size());
  for (const double v : values) away.push_back(std::abs(v - middle));
  return 1.4826 * median(std::move(away));
}

Line line_through(std::span<const double> x, std::span<const double> y) {
  assert(x.size() == y.size() && x.size() >= 2);
  const auto n = static_cast<double>(x.size());
  Line line;
  for (size_t i = 0; i < x.size(); ++i) {
    line.x_middle += x[i] / n;
    line.middle += y[i] / n;
  }
  double xx = 0, xy = 0;
  for (size_t i = 0; i < x.size(); ++i) {
    xx += (x[i] - line.x_middle) * (x[i] - line.x_middle);
    xy += (x[i] - line.x_middle) * (y[i] - line.middle);
  }
  line.slope = xx > 0 ? xy / xx : 0;
  return line;
}

Share share_of(int hits, int n) {
  assert(n > 0 && hits >= 0 && hits <= n);
  constexpr double z = 1.959964;
  const double p = static_cast<double>(hits) / n;
  const double middle = (p + z * z / (2 * n)) / (1 + z * z / n);
  const double half = z / (1 + z * z / n) * std::sqrt(p * (1 - p) / n + z * z / (4.0 * n * n));
  return {hits, n, p, hits == 0 ? 0 : middle - half, hits == n ? 1 : middle + half};
}

namespace {

struct Sine {
  double explained = 0, amplitude = 0;
};

/// Least squares of a cos and a sin of this many turns a sample to values with mean 0.
Sine sine_at(const std::vector<double>& values, double turns) {
  double cc = 0, ss = 0, cs = 0, yc = 0, ys = 0, yy = 0;
  for (size_t i = 0; i < values.size(); ++i) {
    const double phase = 2 * std::numbers::pi * turns * static_cast<double>(i);
    const double c = std::cos(phase), s = std::sin(phase);
    cc += c * c;
    ss += s * s;
    cs += c * s;
    yc += values[i] * c;
    ys += values[i] * s;
    yy += values[i] * values[i];
  }
  const double determinant = cc * ss - cs * cs;
  if (!(determinant > 0) || !(yy > 0)) return {};
  const double a = (yc * ss - ys * cs) / determinant, b = (ys * cc - yc * cs) / determinant;
  return {(a * yc + b * ys) / yy, std::hypot(a, b)};
}

}  // namespace

std::optional<Swing> regular_swing(std::span<const double> values, double hop_s, double least_period_s,
                                   double least_depth, double independent_s) {
  assert(hop_s > 0 && least_period_s > 0 && independent_s >= hop_s);
  // Long stretches are judged by their first part: no swing is the slower for more of it.
  constexpr size_t kMost = 1500;
  values = values.first(std::min(values.size(), kMost));
  const double length = static_cast<double>(values.size()) * hop_s;
  if (length < 3 * least_period_s || values.size() < 8) return std::nullopt;
  std::vector<double> x(values.size()), rest(values.begin(), values.end());
  for (size_t i = 0; i < x.size(); ++i) x[i] = static_cast<double>(i);
  const Line line = line_through(x, values);
  for (size_t i = 0; i < x.size(); ++i) rest[i] -= line.at(x[i]);

  Sine best;
  double turns = 0;
  const auto consider = [&](double at) {
    const Sine sine = sine_at(rest, at);
    if (sine.explained > best.explained) best = sine, turns = at;
  };
  const double most_turns = std::min(0.5, hop_s / least_period_s), step = hop_s / length / 4;
  for (double at = hop_s / length; at <= most_turns; at += step) consider(at);
  for (double by = step / 2; by > step / 64; by /= 2) {
    const double middle = turns;
    consider(middle - by);
    consider(middle + by);
  }
  if (turns < 3 * hop_s / length) return std::nullopt;  // slower than it can be known to come back
  if (best.explained < 0.6 || best.amplitude < least_depth) return std::nullopt;

  double variance = 0;
  for (const double v : rest) variance += v * v / static_cast<double>(rest.size());
  variance *= 1 - best.explained;
  const double independent = std::max(4.0, length / independent_s);
  const double sigma_hz = std::sqrt(6 * variance / independent) / (std::numbers::pi * best.amplitude * length);
  const double period = hop_s / turns;
  return Swing{period, sigma_hz * period * period, best.amplitude, std::sqrt(2 * variance / independent),
               best.explained};
}

}  // namespace crankwise::sound
