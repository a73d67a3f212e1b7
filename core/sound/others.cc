#include "core/sound/others.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numeric>
#include <vector>

#include "core/sound/grid.h"
#include "core/sound/spread.h"
#include "core/sound/turns.h"

namespace crankwise::sound {
namespace {

struct Moment {
  Pace pace;
  double rpm;
};

/// Sure moments, `apart_s` and more apart, with `cycles` about them in which the speed changes by no more than this
/// share.
std::vector<Moment> moments(const Track& track, const Engine& engine, double apart_s, int cycles, double most_change) {
  std::vector<Moment> found;
  double next_s = 0;
  for (size_t i = 0; i < track.frames.size(); ++i) {
    if (track.seconds(i) < next_s || !track.sure(i)) continue;
    const double rpm = static_cast<double>(track.frames[i].rpm), rate = engine.firing_hz(rpm);
    const auto reach = static_cast<size_t>(std::ceil(cycles / rate / 2 / kHopS));
    if (i < reach || i + reach >= track.frames.size() || !track.sure(i - reach) || !track.sure(i + reach)) continue;
    float least = track.frames[i].rpm, most = least;
    for (size_t k = i - reach; k <= i + reach; ++k) {
      least = std::min(least, track.frames[k].rpm);
      most = std::max(most, track.frames[k].rpm);
    }
    if (static_cast<double>(most - least) > most_change * rpm) continue;
    const double change = static_cast<double>(track.frames[i + reach].rpm - track.frames[i - reach].rpm);
    found.push_back(
        {{track.seconds(i), rate, engine.firing_hz(change) / (2 * static_cast<double>(reach) * kHopS)}, rpm});
    next_s = track.seconds(i) + apart_s;
  }
  return found;
}

/// A twelfth and more of the firings within so long of a moment are weak.
bool cut_about(const std::vector<Firing>& firings, double at_s, double reach_s) {
  auto f = std::lower_bound(firings.begin(), firings.end(), at_s - reach_s,
                            [](const Firing& firing, double t) { return firing.at_s < t; });
  int all = 0, weak = 0;
  for (; f != firings.end() && f->at_s < at_s + reach_s; ++f) {
    ++all;
    weak += f->weak();
  }
  return 12 * weak > all;
}

constexpr int kCycles = 24, kOrders = 12;
constexpr double kLeastHz = 8, kMostHz = 300;

/// How much stands at the multiples of each rate, of what is no order or half order of the first engine: amplitude over
/// the median about it, less 1, in the mean; -1 where too few multiples can be judged.
/// Returns how much more stands at eighths of the order than beside them.
float add_row(std::span<const float> power, double rate_hz, const Grid& grid, std::vector<float>& rows) {
  const size_t lines = power.size();
  std::vector<float> over(lines, 0), amplitude(lines), around;
  for (size_t i = 0; i < lines; ++i) amplitude[i] = std::sqrt(power[i]);
  std::vector<char> own(lines);
  for (size_t i = 0; i < lines; ++i) {
    // Two lines are the window's; what else the speed wanders smears the higher orders.
    const size_t part = i % (kCycles / 2), wide = 2 + i / 100;
    own[i] = part <= wide || part + wide >= kCycles / 2 ? 1 : 0;
  }
  constexpr size_t kBlock = kCycles / 4;  // lines that are set beside the same surroundings
  for (size_t block = kBlock; block + kBlock < lines; block += kBlock) {
    const size_t middle_line = block + kBlock / 2;
    around.clear();
    for (size_t k = middle_line > kCycles ? middle_line - kCycles : 0; k < std::min(lines, middle_line + kCycles); ++k)
      if (own[k] == 0) around.push_back(amplitude[k]);
    const auto middle = around.begin() + static_cast<std::ptrdiff_t>(around.size() / 2);
    std::nth_element(around.begin(), middle, around.end());
    for (size_t i = block; i < std::min(block + kBlock, lines - kBlock); ++i)
      if (own[i] == 0) over[i] = std::min(4.0F, amplitude[i] / (*middle + 1e-9F));
  }
  std::array<float, 2> sums{}, counts{};  // beside eighths, at eighths
  for (size_t i = 0; i < lines; ++i) {
    if (over[i] <= 0) continue;
    const size_t kind = i % (kCycles / 8) == 0 ? 1 : 0;
    sums[kind] += over[i];
    counts[kind] += 1;
  }
  for (int g = 0; g < grid.size; ++g) {
    const double ratio = grid.hz(g) / rate_hz, spacing = ratio * kCycles;  // lines
    // Its own rate, its parts and multiples; what is far slower may be a limiter's cuts or a misfire's pattern.
    const double multiple = std::max(1.0, std::round(2 * ratio)) / 2;
    if (ratio < 0.28 || std::abs(ratio / multiple - 1) < 0.06) {
      rows.push_back(0);
      continue;
    }
    float sum = 0;
    int teeth = 0;
    for (int k = 1; k <= 16; ++k) {
      const auto at = static_cast<size_t>(std::lround(k * spacing));
      if (at + 1 >= lines) break;
      if (at < 1 || over[at] <= 0) continue;
      sum += std::max({over[at], over[at - 1], over[at + 1]}) - 1.5F;
      ++teeth;
    }
    rows.push_back(teeth >= 5 ? sum / static_cast<float>(teeth) : -1.0F);
  }
  return counts[0] > 0 && counts[1] > 0 ? sums[1] / counts[1] / (sums[0] / counts[0]) : 1;
}

}  // namespace

Answer<SecondEngine> second_engine(const Signal& signal, const Track& track, const Engine& engine,
                                   const std::vector<Firing>& firings) {
  constexpr size_t kMost = 400;
  constexpr double kApartS = 0.15, kSuspected = 0.72, kUneven = 1.1;
  constexpr int kMoves = 5;  // bins of 1.45 % from moment to moment
  if (track.octave == Octave::open) return Why::octave_open;
  std::vector<Moment> at = moments(track, engine, kApartS, kCycles, 0.06);
  std::erase_if(at, [&](const Moment& m) { return cut_about(firings, m.pace.at_s, kCycles / m.pace.rate_hz / 2); });
  if (at.size() < 8) return Why::too_short;
  if (at.size() > kMost) at.resize(kMost);
  const Grid grid = Grid::over(kLeastHz, kMostHz);
  const auto size = static_cast<size_t>(grid.size);
  OrderSpectrum orders(kCycles, kOrders);
  std::vector<float> rows;
  std::vector<double> eighths;
  for (const Moment& m : at)
    eighths.push_back(static_cast<double>(add_row(orders.at(signal, m.pace), m.pace.rate_hz, grid, rows)));
  if (median(eighths) > kUneven) return Why::fires_unevenly;

  // The best path over all moments.
  std::vector<float> best(rows.begin(), rows.begin() + static_cast<std::ptrdiff_t>(size)), next(size);
  std::vector<std::vector<int>> from(at.size(), std::vector<int>(size));
  for (size_t t = 1; t < at.size(); ++t) {
    for (int g = 0; g < grid.size; ++g) {
      int source = g;
      float most = -1e9F;
      for (int s = std::max(0, g - kMoves); s <= std::min(grid.size - 1, g + kMoves); ++s) {
        const float value = best[static_cast<size_t>(s)] - 0.02F * static_cast<float>((s - g) * (s - g));
        if (value > most) most = value, source = s;
      }
      from[t][static_cast<size_t>(g)] = source;
      next[static_cast<size_t>(g)] = most + rows[t * size + static_cast<size_t>(g)];
    }
    best.swap(next);
  }
  auto g = static_cast<int>(std::max_element(best.begin(), best.end()) - best.begin());
  std::vector<double> rates, scores;
  for (size_t t = at.size(); t-- > 0;) {
    rates.push_back(grid.hz(g));
    scores.push_back(static_cast<double>(rows[t * size + static_cast<size_t>(g)]));
    g = from[t][static_cast<size_t>(g)];
  }
  SecondEngine found;
  found.strength = std::accumulate(scores.begin(), scores.end(), 0.0) / static_cast<double>(scores.size());
  found.suspected = found.strength > kSuspected;
  found.firing_hz = median(rates);
  found.from_s = at.front().pace.at_s;
  found.to_s = at.back().pace.at_s;
  return found;
}

namespace {

constexpr int kParts = 32;  // of a cycle
using Profile = std::array<double, kParts>;

/// By how much it gets louder at each part, an eighth of a cycle against the eighth before, as a share of the whole.
Profile rises(const Profile& profile) {
  constexpr int kReach = kParts / 8;
  const double all = std::accumulate(profile.begin(), profile.end(), 1e-12);
  Profile rise{};
  for (int p = 0; p < kParts; ++p)
    for (int q = 0; q < kReach; ++q)
      rise[static_cast<size_t>(p)] += (profile[static_cast<size_t>((p + q) % kParts)] -
                                       profile[static_cast<size_t>((p - 1 - q + kParts) % kParts)]) /
                                      all;
  return rise;
}

}  // namespace

Answer<Bangs> bangs_per_cycle(const Signal& signal, const Track& track, const Engine& engine) {
  constexpr int kFolded = 8, kSamples = 256, kApart = 5;
  if (track.octave == Octave::open) return Why::octave_open;
  const std::vector<Moment> at = moments(track, engine, 0.2, kFolded, 0.2);
  if (at.size() < 10) return Why::too_short;
  struct Seen {
    double rpm, second, distance;
  };
  std::vector<Seen> seen;
  std::vector<float> samples(kFolded * kSamples);
  for (const Moment& m : at) {
    cut_by_cycle(signal, m.pace, kFolded, samples);
    // A bang is one both in the whole sound and in its upper part: valves tick high up, a pipe rings low down.
    Profile whole{}, upper{};
    for (size_t i = 1; i < samples.size(); ++i) {
      const double value = static_cast<double>(samples[i]), change = value - static_cast<double>(samples[i - 1]);
      whole[i % kSamples * kParts / kSamples] += value * value;
      upper[i % kSamples * kParts / kSamples] += change * change;
    }
    Profile rise = rises(whole);
    const Profile upper_rise = rises(upper);
    for (size_t p = 0; p < rise.size(); ++p) rise[p] = std::min(rise[p], upper_rise[p]);
    const auto first = static_cast<int>(std::max_element(rise.begin(), rise.end()) - rise.begin());
    int second = -1;
    for (int d = kApart; d <= kParts - kApart; ++d) {
      const int p = (first + d) % kParts;
      if (second < 0 || rise[static_cast<size_t>(p)] > rise[static_cast<size_t>(second)]) second = p;
    }
    const int apart = (second - first + kParts) % kParts;
    seen.push_back({m.rpm, rise[static_cast<size_t>(second)] / (rise[static_cast<size_t>(first)] + 1e-12),
                    static_cast<double>(std::min(apart, kParts - apart)) / kParts});
  }
  std::sort(seen.begin(), seen.end(), [](const Seen& a, const Seen& b) { return a.rpm < b.rpm; });
  const auto middle = [&](auto of, size_t from, size_t to) {
    std::vector<double> values;
    for (size_t i = from; i < to; ++i) values.push_back(of(seen[i]));
    return std::pair{median(values), robust_sigma(values)};
  };
  const auto distance = [](const Seen& s) { return s.distance; };
  Bangs bangs;
  bangs.second = middle([](const Seen& s) { return s.second; }, 0, seen.size()).first;
  const auto [place, spread] = middle(distance, 0, seen.size());
  bangs.distance = place;
  if (bangs.second < 0.4) return bangs;
  const size_t third = seen.size() / 3;
  if (seen[seen.size() - 1 - third / 2].rpm < 1.25 * seen[third / 2].rpm) return Why::one_speed_only;
  const double moved =
      std::abs(middle(distance, 0, third).first - middle(distance, seen.size() - third, seen.size()).first);
  bangs.more_than_one = spread < 0.04 && moved < 0.04;
  return bangs;
}

}  // namespace crankwise::sound
