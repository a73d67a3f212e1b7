#include "core/sound/ceiling.h"

#include <algorithm>
#include <cmath>

namespace crankwise::sound {
namespace {

constexpr size_t kFlatFrames = 25;                            // half a second: a blip's peak is shorter
constexpr double kFlatWithin = 0.04;                          // of the speed, over that time
constexpr double kMostRisePerS = 0.04, kMostSinkPerS = 0.12;  // d(ln rpm)/dt of what counts as flat
constexpr double kMany = 0.08, kFew = 0.02;                   // weak firings at the top

struct Hold {
  size_t from = 0, to = 0;  // frames within 4 % of the top, first and past the last
};

double rpm_at(const Track& track, size_t i) { return static_cast<double>(track.frames[i].rpm); }

/// The highest speed that sure frames reach for 0.3 s together; 0 for none.
double highest(const Track& track) {
  constexpr size_t kFrames = 15;
  std::vector<double> rpm;
  for (size_t i = 0; i < track.frames.size(); ++i)
    if (track.sure(i)) rpm.push_back(rpm_at(track, i));
  if (rpm.size() < kFrames) return 0;
  std::nth_element(rpm.begin(), rpm.begin() + kFrames - 1, rpm.end(), std::greater<>());
  return rpm[kFrames - 1];
}

/// Level for half a second, by a line through it.
bool flat(const Track& track, size_t from) {
  std::vector<double> x, y;
  for (size_t i = from; i < from + kFlatFrames; ++i) {
    if (!track.sure(i)) return false;
    x.push_back(track.seconds(i));
    y.push_back(std::log(rpm_at(track, i)));
  }
  const auto [low, high] = std::minmax_element(y.begin(), y.end());
  const double slope = line_through(x, y).slope;
  return *high - *low < kFlatWithin && slope < kMostRisePerS && slope > -kMostSinkPerS;
}

/// Longest stay near the top that is no mere peak.
std::optional<Hold> hold_at(const Track& track, double top) {
  constexpr size_t kGap = 15, kLong = 75;
  std::optional<Hold> best;
  for (size_t i = 0; i < track.frames.size();) {
    const auto near = [&](size_t n) { return track.sure(n) && rpm_at(track, n) >= 0.85 * top; };
    if (!near(i)) {
      ++i;
      continue;
    }
    size_t end = i + 1, gap = 0;
    for (size_t n = i + 1; n < track.frames.size() && gap <= kGap; ++n) {
      gap = near(n) ? 0 : gap + 1;
      if (gap == 0) end = n + 1;
    }
    Hold hold{end, i};
    size_t beside = 0;
    for (size_t n = i; n < end; ++n) {
      if (!track.sure(n) || rpm_at(track, n) < 0.96 * top) continue;
      hold.from = std::min(hold.from, n);
      hold.to = n + 1;
      ++beside;
    }
    bool stays = beside * 4 > kLong && hold.to > hold.from + kLong;  // for 1.5 s, a quarter of it at the very top
    for (size_t n = hold.from; !stays && n + kFlatFrames <= hold.to; ++n) stays = flat(track, n);
    if (stays && (!best || hold.to - hold.from > best->to - best->from)) best = hold;
    i = end;
  }
  return best;
}

/// Of a cut the speed at which it comes, which is where the ripple turns; else the middle of what is near the top.
Value ceiling_in(const Track& track, const Hold& hold, bool cut) {
  std::vector<double> rpm, upper, sigmas;
  for (size_t i = hold.from; i < hold.to; ++i)
    if (track.sure(i)) rpm.push_back(rpm_at(track, i));
  const double high = quantile(rpm, 0.97), least = cut ? quantile(rpm, 0.94) : 0.97 * high;
  // What lies in dips below is not the ceiling, nor is a part that sinks away.
  for (size_t i = hold.from; i < hold.to; ++i) {
    if (!track.sure(i) || rpm_at(track, i) < least) continue;
    upper.push_back(rpm_at(track, i));
    sigmas.push_back(static_cast<double>(track.frames[i].sigma_rpm));
  }
  constexpr double kOwn = 0.004;
  const double middle = median(upper);
  const double independent = std::max(1.0, static_cast<double>(upper.size()) * kHopS / 0.25);
  return {middle, std::sqrt((std::pow(robust_sigma(upper), 2) + std::pow(median(sigmas), 2)) / independent +
                            std::pow(kOwn * middle, 2))};
}

bool rose_to_it(const Track& track, const Hold& hold, double top) {
  constexpr size_t kReach = 500;  // ten seconds: a pull in a high gear is slow
  const size_t from = hold.from > kReach ? hold.from - kReach : 0;
  const size_t to = std::min(track.frames.size(), hold.to + kReach);
  for (size_t i = from; i < to; ++i)
    if (track.frames[i].rpm > 0 && track.frames[i].confidence >= kSure && rpm_at(track, i) < 0.8 * top) return true;
  return false;
}

/// It sinks slowly after a second or more and goes on turning fast: a closed throttle brings it down within a second.
bool sinks_away(const Track& track, const Hold& hold, double top) {
  constexpr double kSlowS = 0.3, kAfterS = 0.5, kWaitS = 1.5;
  size_t high = hold.from, low = 0;
  for (size_t i = hold.from; i < track.frames.size() && low == 0; ++i) {
    if (!(track.frames[i].rpm > 0)) return false;
    if (rpm_at(track, i) >= 0.98 * top) high = i;
    if (rpm_at(track, i) < 0.90 * top) low = i;
  }
  if (low == 0 || track.seconds(high) - track.seconds(hold.from) < 0.8) return false;
  if (track.seconds(low) - track.seconds(high) < kSlowS) return false;
  size_t after = 0;
  for (size_t i = low; i < track.frames.size() && track.frames[i].rpm > 0; ++i, ++after) {
    if (static_cast<double>(after) * kHopS >= kWaitS) break;
    if (rpm_at(track, i) < 0.5 * top || rpm_at(track, i) > 0.96 * top) return false;
  }
  return static_cast<double>(after) * kHopS >= kAfterS;
}

/// Sure speeds of some frames, as logarithms.
std::vector<double> logs_of(const Track& track, size_t from, size_t to) {
  std::vector<double> logs;
  for (size_t i = from; i < std::min(to, track.frames.size()); ++i)
    if (track.sure(i)) logs.push_back(std::log(rpm_at(track, i)));
  return logs;
}

/// From the first third of what is held to its last, or to the lowest half second of what it sinks to.
Value sink_of(const Track& track, const Hold& hold, bool sinks) {
  constexpr double kOwn = 0.004;
  const size_t third = std::max<size_t>(1, (hold.to - hold.from) / 3);
  const std::vector<double> first = logs_of(track, hold.from, hold.from + third);
  double low = 0;
  if (sinks) {
    for (size_t i = hold.to; i + kFlatFrames < track.frames.size(); ++i) {
      const std::vector<double> half = logs_of(track, i, i + kFlatFrames);
      if (half.size() < kFlatFrames / 2 || median(half) < std::log(0.5) + median(first)) continue;
      low = low == 0 ? median(half) : std::min(low, median(half));
    }
  }
  const std::vector<double> last = logs_of(track, hold.to - third, hold.to);
  if (first.empty() || (low == 0 && last.empty())) return {0, 0.05};
  const double sunk = 1 - std::exp((low == 0 ? median(last) : low) - median(first));
  const double independent = std::max(1.0, static_cast<double>(first.size()) * kHopS / 0.25);
  return {std::max(0.0, sunk), std::hypot(kOwn, robust_sigma(first) * std::sqrt(2 / independent))};
}

/// Beside a straight line through what is held.
Value ripple_of(const Track& track, const Hold& hold) {
  std::vector<double> x, y, beside;
  for (size_t i = hold.from; i < hold.to; ++i) {
    if (!track.sure(i)) continue;
    x.push_back(track.seconds(i));
    y.push_back(std::log(rpm_at(track, i)));
  }
  if (x.size() < 3) return {0, 0.05};
  const Line line = line_through(x, y);
  for (size_t i = 0; i < x.size(); ++i) beside.push_back(y[i] - line.at(x[i]));
  const double sigma = robust_sigma(beside), independent = std::max(2.0, static_cast<double>(x.size()) * kHopS / 0.25);
  return {sigma, std::hypot(0.002, sigma / std::sqrt(2 * independent))};
}

/// Weak firings follow one another, or come back evenly: not by chance.
bool weak_in_order(const std::vector<Firing>& firings, double share) {
  int weak = 0, following = 0;
  std::vector<double> starts;
  bool before = false;
  for (const Firing& firing : firings) {
    weak += firing.weak();
    following += before && firing.weak();
    if (firing.weak() && !before) starts.push_back(firing.at_s);
    before = firing.weak();
  }
  if (weak < 8) return false;
  const double again = static_cast<double>(following) / weak;
  if (again > 0.5 && again > 2 * share) return true;
  // One at a time, at even distances: those of chance spread about as much as they are long.
  if (starts.size() < 8) return false;
  std::vector<double> gaps;
  for (size_t i = 1; i < starts.size(); ++i) gaps.push_back(starts[i] - starts[i - 1]);
  return robust_sigma(gaps) < 0.3 * median(gaps);
}

Answer<Top> shape_of(const Ceiling& c, const std::vector<Firing>& at_top, bool sinks) {
  if (sinks) return Top::falls_away;
  if (c.surge) return Top::surging;
  const bool rich = c.alternation && c.alternation->regular;
  if (rich) return Top::flattening;
  if (!c.weak) return c.weak.why_not();
  const Share& weak = c.weak->seen;
  if (weak.share > kMany && c.weak->more_than_scatter()) {
    const bool below = c.weak_below && c.weak_below->more_than_scatter() && c.weak_below->seen.share > weak.share / 2;
    return weak_in_order(at_top, weak.share) && !below ? Top::hard_cut : Top::breaking_up;
  }
  if (weak.share < kFew || (!c.weak->more_than_scatter() && weak.high < kMany)) return Top::flattening;
  return Why::between_the_shapes;
}

}  // namespace

Answer<Ceiling> ceiling_of(const Track& track, const std::vector<Firing>& firings,
                           const std::vector<HalfOrders>& moments) {
  if (track.octave == Octave::open) return Why::octave_open;
  const double top = highest(track);
  if (!(top > 0)) return Why::no_engine;
  const std::optional<Hold> hold = hold_at(track, top);
  if (!hold) return Why::not_held_at_top;
  if (!rose_to_it(track, *hold, top)) return Why::never_rose_to_it;

  Ceiling c;
  c.reached_s = track.seconds(hold->from);
  c.held_s = static_cast<double>(hold->to - hold->from) * kHopS;
  const double until_s = track.seconds(hold->to);
  const auto inside = [&](double at_s) { return at_s >= c.reached_s && at_s < until_s; };
  std::vector<Firing> at_top;
  for (const Firing& f : firings)
    if (inside(f.at_s) && f.rpm >= 0.85 * top) at_top.push_back(f);
  std::vector<HalfOrders> moments_there;
  for (const HalfOrders& m : moments)
    if (inside(m.at_s)) moments_there.push_back(m);
  c.weak = weak_share(at_top, 0, 1e9);
  c.weak_below = weak_share(firings, 0.6 * top, 0.85 * top);
  c.alternation = alternation(moments_there, 0, 1e9);
  const bool sinks = sinks_away(track, *hold, top);
  if (!sinks) {
    std::vector<double> logs;
    double last = std::log(rpm_at(track, hold->from));
    for (size_t i = hold->from; i < hold->to; ++i) {
      if (track.frames[i].rpm > 0) last = std::log(rpm_at(track, i));
      logs.push_back(last);
    }
    c.surge = regular_swing(logs, kHopS, 0.25, 0.015, 0.1);
  }
  c.sink = sink_of(track, *hold, sinks);
  c.ripple = ripple_of(track, *hold);
  c.shape = shape_of(c, at_top, sinks);
  c.rpm = ceiling_in(track, *hold, c.shape && *c.shape == Top::hard_cut);
  return c;
}

}  // namespace crankwise::sound
