#include "core/sound/blips.h"

#include <algorithm>
#include <cmath>

#include "core/sound/spread.h"

namespace crankwise::sound {
namespace {

constexpr double kRise = 0.405, kFall = 0.288;  // ln 1.5, ln 4/3
constexpr double kTimingS = 0.02;               // of a moment on the track: half the smoothing of its rates
constexpr size_t kNone = static_cast<size_t>(-1);

struct Turning {
  size_t low, peak, next_low;
};

double rpm_at(const Track& track, size_t i) { return static_cast<double>(track.frames[i].rpm); }

/// Rises and falls in one stretch of frames: low, peak, low.
void add_turnings(const Track& track, size_t from, size_t to, std::vector<Turning>& out) {
  size_t low = from, peak = kNone;
  for (size_t i = from; i < to; ++i) {
    const double rpm = rpm_at(track, i);
    if (peak == kNone) {
      if (rpm <= rpm_at(track, low)) low = i;
      if (rpm > rpm_at(track, low) * std::exp(kRise)) peak = i;
      continue;
    }
    if (rpm > rpm_at(track, peak)) peak = i;
    if (rpm >= rpm_at(track, peak) * std::exp(-kFall)) continue;
    // Down to where it turns up again.
    size_t next = i;
    for (size_t n = i; n < to && rpm_at(track, n) < rpm_at(track, next) * std::exp(kRise); ++n)
      if (rpm_at(track, n) < rpm_at(track, next)) next = n;
    out.push_back({low, peak, next});
    low = next;
    peak = kNone;
    i = next;
  }
}

/// Where the speed last passes `rpm` going up before `before`, or first going down after `from`; between frames.
double passes_up_s(const Track& track, size_t from, size_t before, double rpm) {
  for (size_t i = before; i > from; --i) {
    const double low = rpm_at(track, i - 1), high = rpm_at(track, i);
    if (low < rpm && high >= rpm) return track.seconds(i - 1) + kHopS * (rpm - low) / (high - low);
  }
  return track.seconds(from);
}
double passes_down_s(const Track& track, size_t from, size_t to, double rpm) {
  for (size_t i = from; i < to; ++i) {
    const double high = rpm_at(track, i), low = rpm_at(track, i + 1);
    if (high > rpm && low <= rpm) return track.seconds(i) + kHopS * (high - rpm) / (high - low);
  }
  return track.seconds(to);
}

Value fastest(const Track& track, size_t from, size_t to) {
  constexpr size_t kWindow = 6;
  Value best;
  for (size_t i = from; i + kWindow <= to + 1; ++i) {
    std::vector<double> x, y;
    double sigma = 0;
    for (size_t n = i; n < i + kWindow; ++n) {
      x.push_back(track.seconds(n));
      y.push_back(rpm_at(track, n));
      sigma += static_cast<double>(track.frames[n].sigma_rpm) / kWindow;
    }
    const double slope = line_through(x, y).slope;
    // Two independent values in a tenth of a second.
    if (slope > best.value) best = {slope, sigma * std::sqrt(2.0) / ((kWindow - 1) * kHopS)};
  }
  return best;
}

size_t frame_at(double seconds) { return static_cast<size_t>(seconds / kHopS); }

/// ln of what is above idle falls along a line.
Answer<Value> time_constant(const Track& track, const Turning& t, double idle) {
  const double way = rpm_at(track, t.peak) - idle;
  if (rpm_at(track, t.next_low) > idle + 0.25 * way) return Why::never_fell;
  const size_t from = frame_at(passes_down_s(track, t.peak, t.next_low, idle + 0.8 * way)) + 1;
  std::vector<double> x, y;
  for (size_t i = from; i <= t.next_low; ++i) {
    const double above = (rpm_at(track, i) - idle) / way;
    if (above < 0.2) break;
    x.push_back(track.seconds(i));
    y.push_back(std::log(above));
  }
  if (x.size() < 4) return Why::too_short;
  const Line line = line_through(x, y);
  if (line.slope >= 0) return Why::never_fell;
  double squares = 0, xx = 0;
  for (size_t i = 0; i < x.size(); ++i) {
    squares += std::pow(y[i] - line.at(x[i]), 2);
    xx += std::pow(x[i] - line.x_middle, 2);
  }
  if (squares > 0.2 * 0.2 * static_cast<double>(x.size())) return Why::not_chopped;
  // Neighbouring frames share what they look at: three of them are one value.
  const double sigma = std::sqrt(3 * squares / static_cast<double>(x.size() - 2) / xx);
  const double tau = -1 / line.slope;
  if (tau > 3) return Why::not_chopped;  // a single without load comes down in a second or two (*common practice*)
  return Value{tau, std::hypot(sigma * tau * tau, kTimingS)};
}

Answer<Settling> settling(const Track& track, const Turning& t, size_t end, bool more, double idle) {
  if (!(idle > 0)) return Why::idle_unknown;
  constexpr size_t kStays = 15, kDip = 100, kHang = 100;
  const double half_way = idle + (rpm_at(track, t.peak) - idle) / 2;
  if (rpm_at(track, t.next_low) > half_way) return Why::never_fell;
  const double half_s = passes_down_s(track, t.peak, t.next_low, half_way);
  const auto near = [&](size_t i) { return std::abs(rpm_at(track, i) / idle - 1) <= 0.12; };
  size_t there = kNone, high = 0;
  Settling is;
  for (size_t i = frame_at(half_s), run = 0; i < end && there == kNone; ++i) {
    run = near(i) ? run + 1 : 0;
    if (run == kStays) there = i + 1 - kStays;
    const double above = rpm_at(track, i) / idle;
    high = above >= 1.15 && above < 2 ? high + 1 : 0;
    is.hanging = is.hanging || high > kHang;
  }
  if (there == kNone) {
    if (!is.hanging) return more ? Why::next_blip_first : Why::ended_first;
    there = end;
  }
  is.hang_s = {track.seconds(there) - half_s, std::hypot(kTimingS, kHopS)};
  const size_t low_from = frame_at(half_s), low_to = std::min(end, there + kDip);
  for (size_t i = low_from; i < low_to; ++i) is.dip.value = std::max(is.dip.value, 1 - rpm_at(track, i) / idle);
  is.dip.sigma = 0.01;
  for (size_t i = low_from; i < low_to; ++i)
    if (1 - rpm_at(track, i) / idle == is.dip.value)
      is.dip.sigma = std::hypot(0.005, static_cast<double>(track.frames[i].sigma_rpm) / idle);
  return is;
}

}  // namespace

Answer<std::vector<Blip>> blips_of(const Track& track, double idle_rpm) {
  if (track.octave == Octave::open) return Why::octave_open;
  std::vector<Blip> found;
  bool any = false;
  for (size_t from = 0; from < track.frames.size();) {
    size_t to = from;
    while (to < track.frames.size() && track.frames[to].rpm > 0) ++to;
    any = any || to > from;
    std::vector<Turning> turnings;
    if (to > from) add_turnings(track, from, to, turnings);
    for (size_t k = 0; k < turnings.size(); ++k) {
      const Turning& t = turnings[k];
      const double low = rpm_at(track, t.low), peak = rpm_at(track, t.peak), way = peak - low;
      const double t10 = passes_up_s(track, t.low, t.peak, low + 0.1 * way);
      const size_t first = std::max(t.low, frame_at(t10));
      size_t rise_end = first;
      while (rise_end < t.peak && rpm_at(track, rise_end) < low + 0.9 * way) ++rise_end;
      const double t90 = passes_up_s(track, first, rise_end, low + 0.9 * way);
      size_t sure = 0;
      for (size_t i = first; i <= t.peak; ++i) sure += track.sure(i);
      if (2 * sure < t.peak - first + 1) continue;
      Blip blip;
      blip.start_s = t10;
      blip.peak_s = track.seconds(t.peak);
      blip.end_s = track.seconds(t.next_low);
      blip.from_rpm = low;
      blip.peak_rpm = {peak, std::hypot(static_cast<double>(track.frames[t.peak].sigma_rpm), 0.003 * peak)};
      blip.rise_s = {t90 - t10, kTimingS * std::sqrt(2.0)};
      blip.fastest_rpm_s = fastest(track, first, t.peak);
      const double down = peak - rpm_at(track, t.next_low);
      if (down > 0.5 * way) {
        const double f90 = passes_down_s(track, t.peak, t.next_low, peak - 0.1 * down);
        const double f10 = passes_down_s(track, frame_at(f90), t.next_low, peak - 0.9 * down);
        blip.fall_s = Value{f10 - f90, kTimingS * std::sqrt(2.0)};
      }
      if (idle_rpm > 0) blip.time_constant_s = time_constant(track, t, idle_rpm);
      const bool more = k + 1 < turnings.size();
      size_t end = to;
      if (more)
        end = frame_at(
            passes_up_s(track, turnings[k + 1].low, turnings[k + 1].peak, 1.15 * rpm_at(track, turnings[k + 1].low)));
      blip.settling = settling(track, t, end, more, idle_rpm);
      found.push_back(blip);
    }
    from = std::max(to, from + 1);
  }
  if (!any) return Why::no_engine;
  if (found.empty()) return Why::no_blip;
  return found;
}

}  // namespace crankwise::sound
