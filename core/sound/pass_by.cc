#include "core/sound/pass_by.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <vector>

#include "core/calc/gas.h"
#include "core/sound/spread.h"

namespace crankwise::sound {
namespace {

struct Point {
  double at_s, log_rpm, sigma, level_db;
};

struct Step {
  double squares = 1e300, middle = 0, half = 0;  // ln f = middle - half s
  double at_s = 0, tau_s = 1;                    // s = x / sqrt(x^2 + tau^2), x = t - at
};

Step fit(const std::vector<Point>& points, double at_s, double tau_s) {
  double n = 0, s1 = 0, s2 = 0, y1 = 0, sy = 0, yy = 0;
  for (const Point& p : points) {
    const double x = p.at_s - at_s, s = x / std::hypot(x, tau_s);
    n += 1, s1 += s, s2 += s * s, y1 += p.log_rpm, sy += s * p.log_rpm, yy += p.log_rpm * p.log_rpm;
  }
  const double determinant = n * s2 - s1 * s1;
  if (!(determinant > 1e-6 * n * n)) return {};
  const double slope = (n * sy - s1 * y1) / determinant, middle = (y1 - slope * s1) / n;
  return {yy - middle * y1 - slope * sy, middle, -slope, at_s, tau_s};
}

/// Over when and how fast it went by: a coarse grid, then ever finer about the best.
Step best_step(const std::vector<Point>& points) {
  const double first = points.front().at_s, last = points.back().at_s;
  Step best;
  const auto consider = [&](double at, double tau) {
    const Step step = fit(points, at, tau);
    if (step.squares < best.squares) best = step;
  };
  constexpr int kSteps = 40;
  for (int i = 1; i < kSteps; ++i)
    for (double tau = 0.1; tau < 4; tau *= 1.3) consider(first + (last - first) * i / kSteps, tau);
  double by_s = (last - first) / kSteps, by = 1.3;
  for (int round = 0; round < 12; ++round, by_s *= 0.6, by = std::pow(by, 0.6)) {
    const Step from = best;
    for (const double at : {-1, 0, 1})
      for (const double tau : {-1, 0, 1}) consider(from.at_s + at * by_s, from.tau_s * std::pow(by, tau));
  }
  return best;
}

double level_about(const std::vector<Point>& points, double from_s, double to_s) {
  std::vector<double> levels;
  for (const Point& p : points)
    if (p.at_s >= from_s && p.at_s < to_s) levels.push_back(p.level_db);
  return levels.empty() ? -200 : median(levels);
}

}  // namespace

Answer<PassBy> pass_by_of(const Track& track, double air_k) {
  assert(air_k > 200 && air_k < 350);
  constexpr double kLeastS = 2, kIndependentS = 0.1, kOwn = 0.003;
  if (track.octave == Octave::open) return Why::octave_open;
  std::vector<Point> points;
  // A passing takes seconds: of a long take every so many frames are enough.
  const size_t stride = 1 + track.frames.size() / 2000;
  for (size_t i = 0; i < track.frames.size(); i += stride) {
    const Frame& f = track.frames[i];
    if (!track.sure(i)) continue;
    points.push_back({track.seconds(i), std::log(static_cast<double>(f.rpm)), static_cast<double>(f.sigma_rpm / f.rpm),
                      static_cast<double>(f.level_db)});
  }
  if (points.size() * stride < 50) return Why::no_engine;
  if (points.back().at_s - points.front().at_s < kLeastS) return Why::too_short;
  const Step step = best_step(points);
  const double ratio = std::exp(2 * step.half);  // f1 / f2
  if (ratio < 1.02 || ratio > 1.18) return Why::not_passing;

  // Nothing of it may be left over that an engine on the move would not leave: a throttle that moves does not fit.
  const auto n = static_cast<double>(points.size());
  double mean = 0, all = 0;
  for (const Point& p : points) mean += p.log_rpm / n;
  for (const Point& p : points) all += (p.log_rpm - mean) * (p.log_rpm - mean);
  const double rest = std::sqrt(step.squares / n);
  if (step.squares > 0.15 * all || rest > 0.01) return Why::not_passing;
  // It was heard well before and after, and loudest in between.
  const double first = points.front().at_s, last = points.back().at_s;
  const double before = step.at_s - first, after = last - step.at_s;
  if (before < 1.5 * step.tau_s || after < 1.5 * step.tau_s) return Why::not_passing;
  const double there =
      level_about(points, step.at_s - std::max(0.1, step.tau_s / 2), step.at_s + std::max(0.1, step.tau_s / 2));
  if (there < level_about(points, first, first + before / 3) + 3 ||
      there < level_about(points, last - after / 3, last) + 3)
    return Why::not_passing;

  std::vector<double> sigmas;
  for (const Point& p : points) sigmas.push_back(p.sigma);
  const double each = std::max(rest, median(sigmas));
  // Half the values lie on each side; those near the step and its reach beyond the take cost some more.
  const double apart_s = static_cast<double>(stride) * kHopS;
  const double sides = std::max(2.0, n * apart_s / std::max(kIndependentS, apart_s) / 2);
  const double sigma_half = 1.5 * each * std::sqrt(1 / sides), sigma_middle = each / std::sqrt(2 * sides);
  const double c = sound_speed_m_s(kDryAir, air_k), v = c * std::tanh(step.half);
  const double rest_rpm = std::exp(step.middle) * std::sqrt(1 - std::pow(v / c, 2));
  // Ten kelvin more or less are 1.7 % of c.
  const double speed_sigma = std::hypot(c * sigma_half, 0.017 * v);
  const double closest = v * step.tau_s;
  return PassBy{{v, speed_sigma},
                {rest_rpm, rest_rpm * std::hypot(sigma_middle, kOwn)},
                step.at_s,
                {closest, closest * std::hypot(speed_sigma / v, 0.15)}};
}

}  // namespace crankwise::sound
