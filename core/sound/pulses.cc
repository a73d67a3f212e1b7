#include "core/sound/pulses.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace crankwise::sound {
namespace {

constexpr int kParts = 16;       // of a cycle
constexpr int kBlock = 8;        // cycles for which the onset is found
constexpr int kAround = 6;       // firings on each side that one is set beside
constexpr double kHidden = 0.4;  // what rings on over what there is after the onset

struct Cut {
  double at_s, rpm;
  bool sure;
};

/// Energy of the first difference up to each sample of a stretch, to be asked for any two moments.
class Energy {
 public:
  Energy(const Signal& signal, double from_s, double to_s)
      : first_(static_cast<std::int64_t>(std::floor(from_s * kRateHz)) - 1) {
    const auto count = static_cast<size_t>(static_cast<std::int64_t>(std::ceil(to_s * kRateHz)) + 2 - first_);
    std::vector<float> samples(count);
    signal.read(first_, samples);
    sum_.resize(count);
    for (size_t i = 1; i < count; ++i) {
      const double rise = static_cast<double>(samples[i]) - static_cast<double>(samples[i - 1]);
      sum_[i] = sum_[i - 1] + rise * rise;
    }
  }
  double between(double from_s, double to_s) const { return upto(to_s) - upto(from_s); }

 private:
  double upto(double at_s) const {
    const double place =
        std::clamp(at_s * kRateHz - static_cast<double>(first_), 0.0, static_cast<double>(sum_.size() - 1));
    const auto whole = std::min(static_cast<size_t>(place), sum_.size() - 2);
    return sum_[whole] + (place - static_cast<double>(whole)) * (sum_[whole + 1] - sum_[whole]);
  }
  std::int64_t first_;
  std::vector<double> sum_;
};

/// The moments at which each part of each cycle of frames [from, to) begins.
std::vector<Cut> cuts(const Track& track, const Engine& engine, size_t from, size_t to) {
  std::vector<Cut> found;
  double phase = 0, next = 0;  // in parts
  for (size_t i = from; i + 1 < to; ++i) {
    const double rpm = track.frames[i].rpm, more = track.frames[i + 1].rpm - rpm;
    const double begin = engine.firing_hz(rpm) * kParts, end = engine.firing_hz(rpm + more) * kParts;
    const double whole = (begin + end) / 2 * kHopS;
    while (next < phase + whole) {
      // begin x + (end - begin) x^2 / 2 = (next - phase) / hop, x within the hop
      const double parts = (next - phase) / kHopS;
      const double x = 2 * parts / (begin + std::sqrt(begin * begin + 2 * (end - begin) * parts));
      found.push_back({track.seconds(i) + x * kHopS, rpm + x * more, track.sure(i)});
      ++next;
    }
    phase += whole;
  }
  return found;
}

using Profile = std::array<double, kParts>;

/// By how much the loudness rises at each part: the quarter cycle after it against the one before.
Profile rises(const Profile& profile) {
  Profile rise{};
  for (int p = 0; p < kParts; ++p)
    for (int q = 0; q < kParts / 4; ++q)
      rise[static_cast<size_t>(p)] +=
          profile[static_cast<size_t>((p + q) % kParts)] - profile[static_cast<size_t>((p - 1 - q + kParts) % kParts)];
  return rise;
}

/// Where each block's cycles are cut, in parts from the first cut on: just before the onset, followed from block to
/// block.
std::vector<long> onsets(const std::vector<double>& parts, size_t cycles) {
  const size_t blocks = (cycles + kBlock - 1) / kBlock;
  std::vector<Profile> profiles(blocks);
  for (size_t c = 0; c < cycles; ++c) {
    double all = 1e-12;
    for (size_t p = 0; p < kParts; ++p) all += parts[c * kParts + p];
    // Each cycle counts alike, so that a loud one does not decide alone.
    for (size_t p = 0; p < kParts; ++p) profiles[c / kBlock][p] += parts[c * kParts + p] / all;
  }
  std::vector<long> onset(blocks);
  for (size_t b = 0; b < blocks; ++b) {
    Profile around{};
    for (size_t n = b > 0 ? b - 1 : 0; n <= std::min(b + 1, blocks - 1); ++n)
      for (size_t p = 0; p < kParts; ++p) around[p] += profiles[n][p];
    const Profile rise = rises(around);
    const auto best = std::max_element(rise.begin(), rise.end());
    auto at = static_cast<long>(best - rise.begin()) - 1;
    if (b > 0) {
      const long before = onset[b - 1];
      // Near the last one, unless another place is much better; then by the shorter way round.
      for (const long near : {before, before - 1, before + 1}) {
        const auto place = static_cast<size_t>((((near + 1) % kParts) + kParts) % kParts);
        if (rise[place] > 0.8 * *best) {
          at = near;
          break;
        }
      }
      while (at - before > kParts / 2) at -= kParts;
      while (before - at > kParts / 2) at += kParts;
    }
    onset[b] = at;
  }
  return onset;
}

double sum(const std::vector<double>& parts, long from, long to) {
  double all = 0;
  for (long p = std::max(0L, from); p < std::min(to, static_cast<long>(parts.size())); ++p)
    all += parts[static_cast<size_t>(p)];
  return all;
}

/// The median, or the upper one of two.
double middle_of(std::vector<double>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

void add_stretch(const Signal& signal, const Track& track, const Engine& engine, size_t from, size_t to,
                 std::vector<Firing>& out) {
  const std::vector<Cut> cut = cuts(track, engine, from, to);
  const size_t cycles = cut.empty() ? 0 : (cut.size() - 1) / kParts;
  if (cycles < 2 * kBlock) return;
  std::vector<double> parts(cycles * kParts);
  {
    const Energy energy(signal, cut.front().at_s, cut.back().at_s);
    for (size_t p = 0; p < parts.size(); ++p) parts[p] = energy.between(cut[p].at_s, cut[p + 1].at_s);
  }
  const std::vector<long> onset = onsets(parts, cycles);
  struct Raw {
    double energy, ringing;
    size_t part;
  };
  std::vector<Raw> raw;
  for (size_t c = 0; c < cycles; ++c) {
    const long begin = static_cast<long>(c * kParts) + onset[c / kBlock];
    if (begin < kParts / 4 || begin + kParts / 2 > static_cast<long>(parts.size())) continue;
    if (!raw.empty() && begin < static_cast<long>(raw.back().part) + kParts / 2) continue;  // cut a second time
    raw.push_back(
        {sum(parts, begin, begin + kParts / 2), 2 * sum(parts, begin - kParts / 4, begin), static_cast<size_t>(begin)});
  }
  std::vector<double> energies, wholes, ringings;
  for (size_t k = 0; k < raw.size(); ++k) {
    energies.clear();
    wholes.clear();
    ringings.clear();
    const size_t low = k > kAround ? k - kAround : 0, high = std::min(k + kAround + 1, raw.size());
    for (size_t n = low; n < high; ++n) {
      energies.push_back(std::max(0.0, raw[n].energy - raw[n].ringing));
      wholes.push_back(raw[n].energy);
      ringings.push_back(raw[n].ringing / (raw[n].energy + 1e-12));
    }
    const double own = energies[k - low], usual = middle_of(energies), usual_whole = middle_of(wholes);
    const Cut& at = cut[raw[k].part];
    double share = 1;
    // What rang on before may be another sound: it must not make a weak firing of a whole one.
    if (usual > 0) share = std::max(own / usual, raw[k].energy / usual_whole / 2);
    out.push_back({at.at_s, static_cast<float>(at.rpm), static_cast<float>(10 * std::log10(share + 1e-3)), at.sure,
                   usual > 0 && middle_of(ringings) < kHidden});
  }
}

}  // namespace

std::vector<Firing> firings_along(const Signal& signal, const Track& track, const Engine& engine) {
  std::vector<Firing> found;
  constexpr size_t kMostFrames = 3000;  // a minute at a time
  for (size_t from = 0; from < track.frames.size();) {
    size_t to = from;
    while (to < track.frames.size() && track.frames[to].rpm > 0 && to - from < kMostFrames) ++to;
    if (to > from + 1) add_stretch(signal, track, engine, from, to, found);
    from = std::max(to, from + 1);
  }
  return found;
}

}  // namespace crankwise::sound
