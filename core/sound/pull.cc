#include "core/sound/pull.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace crankwise::sound {
namespace {

constexpr double kWindowS = 0.4, kIndependentS = 0.1, kBandRpm = 250;
constexpr size_t kHalf = 10, kStep = 5;  // frames
constexpr double kMostMS2 = 10;          // above that a motorcycle lifts its front wheel or spins (*common practice*)
constexpr double kGravity = 9.80665;

double rpm_at(const Track& track, size_t i) { return static_cast<double>(track.frames[i].rpm); }

double speed(const PullSetup& s, double rpm) {
  return (1 - s.slip) * road_speed_m_s(s.gearing, s.circumference_m, rpm * 2 * std::numbers::pi / 60);
}

double road_power(const PullSetup& s, double rpm, double rpm_per_s) {
  const double v = speed(s, rpm), a = v * rpm_per_s / rpm;
  return wheel_power_w(s.load, v, a) + s.load.mass_kg * kGravity * std::sin(std::atan(s.slope)) * v;
}

/// What the uncertain figures of the setup together do to the power at a point, as a share of it: each moved by its
/// own.
double common_share(const PullSetup& setup, double rpm, double rpm_per_s) {
  const double power = road_power(setup, rpm, rpm_per_s);
  const PullSpread& u = setup.spread;
  double squares = 0;
  const auto move = [&](auto change) {
    PullSetup moved = setup;
    change(moved);
    squares += std::pow(road_power(moved, rpm, rpm_per_s) - power, 2);
  };
  move([&](PullSetup& s) { s.load.mass_kg *= 1 + u.mass_share; });
  move([&](PullSetup& s) { s.load.rotating_share += u.rotating_share; });
  move([&](PullSetup& s) { s.circumference_m *= 1 + u.circumference_share; });
  move([&](PullSetup& s) { s.load.drag_area_m2 += u.drag_area_m2; });
  move([&](PullSetup& s) { s.load.rolling += u.rolling; });
  move([&](PullSetup& s) { s.slope += u.slope; });
  move([&](PullSetup& s) { s.slip += u.slip; });
  return std::sqrt(squares) / std::abs(power);
}

struct Fit {
  double rpm, rpm_per_s, sigma_rpm_per_s;
};

/// A parabola through the frames around one, by least squares; time runs from -1 to 1, so that its moments are known.
Fit fit_at(const Track& track, size_t middle) {
  constexpr double n = 2 * kHalf + 1;
  double s2 = 0, s4 = 0, y0 = 0, y1 = 0, y2 = 0, sigma = 0;
  const auto each = [&](auto f) {
    for (size_t i = 0; i <= 2 * kHalf; ++i)
      f((static_cast<double>(i) - kHalf) / kHalf, rpm_at(track, middle - kHalf + i));
  };
  each([&](double x, double y) {
    s2 += x * x;
    s4 += x * x * x * x;
    y0 += y;
    y1 += x * y;
    y2 += x * x * y;
  });
  const double curve = (n * y2 - s2 * y0) / (n * s4 - s2 * s2), at = (y0 - curve * s2) / n, slope = y1 / s2;
  double squares = 0;
  each([&](double x, double y) { squares += std::pow(y - at - slope * x - curve * x * x, 2); });
  for (size_t i = middle - kHalf; i <= middle + kHalf; ++i) sigma += static_cast<double>(track.frames[i].sigma_rpm) / n;
  const double each_sigma = std::max(sigma, std::sqrt(squares / (n - 3)));
  const double independent = kWindowS / kIndependentS;
  return {at, slope / (kHalf * kHopS), each_sigma * std::sqrt(12 / independent) / kWindowS};
}

struct Rise {
  size_t from = 0, to = 0;  // frames, `to` the last
};

/// The longest rise of a fifth and more within which the speed never drops by a twentieth (a shift does), with what
/// stays level at its end.
Rise longest_rise(const Track& track) {
  constexpr size_t kGap = 5, kLevel = 75;
  Rise best;
  const size_t n = track.frames.size();
  for (size_t i = 0; i < n; ++i) {
    if (!track.sure(i)) continue;
    size_t low = i, high = i, gap = 0, end = i;
    for (size_t k = i; k < n && gap <= kGap; ++k) {
      gap = track.sure(k) ? 0 : gap + 1;
      if (gap > 0) continue;
      end = k;
      if (rpm_at(track, k) < 0.95 * rpm_at(track, high)) break;
      if (rpm_at(track, k) > rpm_at(track, high)) high = k;
      // A level start belongs to no pull.
      if (rpm_at(track, k) < 1.02 * rpm_at(track, i)) low = k;
    }
    size_t to = high;
    while (to < end && to < high + kLevel && rpm_at(track, to + 1) > 0.98 * rpm_at(track, high)) ++to;
    if (rpm_at(track, high) >= 1.2 * rpm_at(track, low) && high - low > best.to - best.from) best = {low, to};
    i = std::max(i, low < high && rpm_at(track, high) >= 1.2 * rpm_at(track, low) ? high : i + 4);
  }
  return best;
}

}  // namespace

double rotating_share(const Gearing& gearing, double circumference_m, double mass_kg, double wheels_kg_m2,
                      double engine_kg_m2) {
  assert(circumference_m > 0 && mass_kg > 0);
  const double radius = circumference_m / (2 * std::numbers::pi), ratio = overall_ratio(gearing);
  return (wheels_kg_m2 + engine_kg_m2 * ratio * ratio) / (radius * radius * mass_kg);
}

std::vector<PullProblem> problems(const PullSetup& s) {
  using Field = PullProblem::Field;
  std::vector<PullProblem> found;
  const auto hold = [&](Field field, double value, double low, double high) {
    if (!(value >= low && value <= high)) found.push_back({field, value, low, high});
  };
  const size_t before = found.size();
  for (const ToothPair& pair : {s.gearing.primary, s.gearing.gear, s.gearing.final_drive})
    for (const double teeth : {pair.driven, pair.driving}) hold(Field::tooth_pair, teeth, 1, 200);
  if (found.size() == before) hold(Field::overall_ratio, overall_ratio(s.gearing), 3, 60);
  hold(Field::circumference_m, s.circumference_m, 0.8, 2.6);
  hold(Field::mass_kg, s.load.mass_kg, 60, 450);
  hold(Field::drag_area_m2, s.load.drag_area_m2, 0.1, 1.5);
  hold(Field::rolling, s.load.rolling, 0, 0.4);
  hold(Field::air_kg_m3, s.load.air_kg_m3, 0.6, 1.6);
  hold(Field::rotating_share, s.load.rotating_share, 0, 1);
  hold(Field::slope, s.slope, -0.5, 0.5);
  hold(Field::slip, s.slip, 0, 0.5);
  return found;
}

Answer<Pull> pull_of(const Track& track, const PullSetup& setup) {
  assert(problems(setup).empty());
  constexpr double kLeastS = 1;
  if (track.octave == Octave::open) return Why::octave_open;
  const Rise rise = longest_rise(track);
  if (static_cast<double>(rise.to - rise.from) * kHopS < kLeastS) return Why::no_pull;

  std::vector<Fit> fits;
  for (size_t i = rise.from + kHalf; i + kHalf <= rise.to; i += kStep) {
    bool all = true;
    for (size_t k = i - kHalf; k <= i + kHalf; ++k) all = all && track.frames[k].rpm > 0;
    if (all) fits.push_back(fit_at(track, i));
  }
  if (fits.size() < 3) return Why::no_pull;
  std::sort(fits.begin(), fits.end(), [](const Fit& a, const Fit& b) { return a.rpm < b.rpm; });

  Pull pull{.from_s = track.seconds(rise.from), .to_s = track.seconds(rise.to), .points = {}, .peak_w = {}};
  const double m_s_of_rpm = speed(setup, 1);
  const double mass = setup.load.mass_kg * (1 + setup.load.rotating_share);
  for (size_t i = 0; i < fits.size();) {
    const double band = std::floor(fits[i].rpm / kBandRpm);
    Fit mean{0, 0, 0};
    size_t n = 0;
    for (; i < fits.size() && std::floor(fits[i].rpm / kBandRpm) == band; ++i, ++n) {
      mean.rpm += fits[i].rpm;
      mean.rpm_per_s += fits[i].rpm_per_s;
      mean.sigma_rpm_per_s += fits[i].sigma_rpm_per_s;
    }
    const auto count = static_cast<double>(n);
    mean.rpm /= count;
    mean.rpm_per_s /= count;
    const double independent = std::max(1.0, count * kStep * kHopS / kWindowS);
    mean.sigma_rpm_per_s /= count * std::sqrt(independent);
    const double v = speed(setup, mean.rpm), sigma_a = m_s_of_rpm * mean.sigma_rpm_per_s;
    pull.points.push_back({mean.rpm,
                           v,
                           {m_s_of_rpm * mean.rpm_per_s, sigma_a},
                           {road_power(setup, mean.rpm, mean.rpm_per_s), mass * v * sigma_a}});
  }
  double most_a = 0;
  size_t peak = 0;
  for (size_t i = 0; i < pull.points.size(); ++i) {
    most_a = std::max(most_a, pull.points[i].acceleration_m_s2.value);
    if (pull.points[i].road_w.value > pull.points[peak].road_w.value) peak = i;
  }
  if (most_a > kMostMS2) return Why::rises_too_fast;
  const PowerPoint& best = pull.points[peak];
  pull.common_share = common_share(setup, best.rpm, best.acceleration_m_s2.value / m_s_of_rpm);
  pull.peak_rpm = best.rpm;
  pull.peak_w = {best.road_w.value, std::hypot(best.road_w.sigma, pull.common_share * best.road_w.value)};
  size_t flat = pull.points.size();
  while (flat > 0 && pull.points[flat - 1].acceleration_m_s2.value < most_a / 4) --flat;
  if (flat < pull.points.size()) pull.flattens_rpm = pull.points[flat].rpm;
  return pull;
}

}  // namespace crankwise::sound
