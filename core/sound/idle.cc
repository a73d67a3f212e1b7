#include "core/sound/idle.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace crankwise::sound {
namespace {

constexpr double kNear = 0.10;       // of ln rpm: still the same speed
constexpr double kLeastS = 0.8;      // a dip is shorter
constexpr double kOwn = 0.003;       // of the method, as a share
constexpr float kHeard = 0.3F;       // an idle is rough, and less sure than the rest
constexpr double kSteadyPerS = 0.6;  // d(ln rpm)/dt over a quarter of a second: faster is a blip or a chop

struct Stretch {
  size_t from = 0, to = 0;
  double seconds() const { return static_cast<double>(to - from) * kHopS; }
};

std::vector<double> logs(const Track& track, Stretch s) {
  std::vector<double> found;
  for (size_t i = s.from; i < s.to; ++i) found.push_back(std::log(static_cast<double>(track.frames[i].rpm)));
  return found;
}

/// Where all frames are in these bounds, with gaps of up to a tenth of a second of others in them.
template <typename In>
std::vector<Stretch> stretches(size_t frames, In in) {
  constexpr size_t kGap = 5;
  std::vector<Stretch> found;
  for (size_t i = 0; i < frames; ++i) {
    if (!in(i)) continue;
    if (!found.empty() && i - found.back().to <= kGap)
      found.back().to = i + 1;
    else
      found.push_back({i, i + 1});
  }
  return found;
}

/// The lowest speed at which the take stays; 0 for none.
double lowest_kept(const Track& track, double least, double most) {
  constexpr int kPerLog = 50;
  const auto heard = [&](size_t i) {
    const Frame& f = track.frames[i];
    return f.rpm > 0 && f.confidence >= kHeard;
  };
  const auto steady = [&](size_t i) {
    constexpr size_t kReach = 6;
    if (i < kReach || i + kReach >= track.frames.size() || !heard(i - kReach) || !heard(i + kReach)) return heard(i);
    const double change = std::log(static_cast<double>(track.frames[i + kReach].rpm / track.frames[i - kReach].rpm));
    return std::abs(change) < 2 * kReach * kHopS * kSteadyPerS;
  };
  const auto steps = static_cast<size_t>(std::ceil(std::log(most / least) * kPerLog)) + 1;
  std::vector<double> seconds(steps);
  for (size_t i = 0; i < track.frames.size(); ++i) {
    const double rpm = track.frames[i].rpm;
    if (!heard(i) || !steady(i) || rpm < least || rpm > most) continue;
    seconds[static_cast<size_t>(std::log(rpm / least) * kPerLog)] += kHopS;
  }
  // The first place with enough time within +-kNear, then its best place nearby.
  constexpr auto kReach = static_cast<size_t>(kNear * kPerLog);
  const auto kept = [&](size_t at) {
    double sum = 0;
    for (size_t i = at > kReach ? at - kReach : 0; i <= std::min(at + kReach, steps - 1); ++i) sum += seconds[i];
    return sum;
  };
  for (size_t at = 0; at < steps; ++at) {
    if (kept(at) < kLeastS) continue;
    size_t best = at;
    for (size_t i = at; i < std::min(at + 2 * kReach + 1, steps); ++i)
      if (kept(i) > kept(best)) best = i;
    return least * std::exp((static_cast<double>(best) + 0.5) / kPerLog);
  }
  return 0;
}

/// From where it first passes the idle to where it last does: without what is still coming down or going up.
Stretch settled(const Track& track, Stretch s, double rpm) {
  const auto passes = [&](size_t i) {
    return (static_cast<double>(track.frames[i].rpm) > rpm) != (static_cast<double>(track.frames[i + 1].rpm) > rpm);
  };
  while (s.from + 1 < s.to && !passes(s.from)) ++s.from;
  while (s.to > s.from + 2 && !passes(s.to - 2)) --s.to;
  return s;
}

/// Spread about a line in each 2 s, the middle of all.
Answer<Value> wander_in(const Track& track, const std::vector<Stretch>& idles, double rpm) {
  constexpr size_t kWindow = 100, kHalf = 50;
  std::vector<double> spreads;
  const auto add = [&](Stretch s) {
    const std::vector<double> y = logs(track, s);
    std::vector<double> x, rest;
    for (size_t i = 0; i < y.size(); ++i) x.push_back(static_cast<double>(i));
    const Line line = line_through(x, y);
    for (size_t i = 0; i < y.size(); ++i) rest.push_back(y[i] - line.at(x[i]));
    spreads.push_back(robust_sigma(rest));
  };
  Stretch longest;
  for (const Stretch& idle : idles) {
    const Stretch s = settled(track, idle, rpm);
    if (s.to - s.from > longest.to - longest.from) longest = s;
    for (size_t from = s.from; from + kWindow <= s.to; from += kHalf) add({from, from + kWindow});
  }
  if (spreads.empty() && longest.to >= longest.from + kHalf) add(longest);
  if (spreads.empty()) return Why::too_short;
  const double middle = median(spreads);
  // A robust spread of some eight independent values in 2 s is itself known to a third.
  return Value{middle, std::hypot(middle / 3 / std::sqrt((static_cast<double>(spreads.size()) + 1) / 2), kOwn / 2)};
}

}  // namespace

Answer<Idle> idle_of(const Track& track, const Engine& engine) {
  const bool any = std::any_of(track.frames.begin(), track.frames.end(),
                               [](const Frame& f) { return f.rpm > 0 && f.confidence >= kHeard; });
  if (!any) return Why::no_engine;
  if (track.octave == Octave::open) return Why::octave_open;
  double least = std::max(300.0, 0.5 * engine.rpm_min), most = kMostIdleRpm;
  if (engine.idle_rpm) least = *engine.idle_rpm / 1.8, most = *engine.idle_rpm * 1.8;
  const double kept = lowest_kept(track, least, most);
  if (!(kept > 0)) return Why::no_idle;

  const auto within = [&](double low, double high) {
    return stretches(track.frames.size(), [&track, low, high](size_t i) {
      const Frame& f = track.frames[i];
      return f.confidence >= kHeard && f.rpm > low && f.rpm < high;
    });
  };
  // One that hunts stays longest at its turning points: it is judged whole.
  Idle idle;
  for (const Stretch& s : within(kept / 1.5, kept * 1.7)) {
    if (s.seconds() < 2) continue;
    auto swing = regular_swing(logs(track, s), kHopS, 0.3, 0.02, 0.1);
    if (swing && (!idle.hunting || s.seconds() > idle.seconds)) {
      idle.hunting = swing;
      idle.seconds = s.seconds();
    }
  }
  const double margin = kNear + (idle.hunting ? 2 * idle.hunting->depth : 0);
  std::vector<Stretch> idles;
  for (const Stretch& s : within(kept * std::exp(-margin), kept * std::exp(margin)))
    if (s.seconds() >= 0.2) idles.push_back(s);
  if (idles.empty()) return Why::no_idle;
  std::vector<double> all, sigmas;
  for (const Stretch& s : idles)
    for (size_t i = s.from; i < s.to; ++i) {
      all.push_back(static_cast<double>(track.frames[i].rpm));
      sigmas.push_back(static_cast<double>(track.frames[i].sigma_rpm));
    }
  idle.seconds = static_cast<double>(all.size()) * kHopS;
  const double rpm = median(all);
  // What wanders is the same for some half a second; a half wave more or less counts in one that hunts.
  const double independent = std::max(1.0, idle.seconds / (idle.hunting ? idle.hunting->period_s : 0.5));
  const double chance = 1.25 * robust_sigma(all) / std::sqrt(independent);
  idle.rpm = {rpm, std::sqrt(chance * chance + kOwn * kOwn * rpm * rpm + std::pow(median(sigmas), 2) / independent)};
  idle.wander = wander_in(track, idles, rpm);
  return idle;
}

}  // namespace crankwise::sound
