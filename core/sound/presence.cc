#include "core/sound/presence.h"

#include <algorithm>
#include <cmath>

#include "core/sound/spread.h"

namespace crankwise::sound {
namespace {

constexpr float kHeard = 0.3F;              // confidence, its median over half a second
constexpr float kSilentDb = -60;            // of full scale
constexpr double kBelowLoudDb = 35;         // what is loud: the 95th percentile
constexpr size_t kReach = 12, kLeast = 15;  // frames: half of half a second; the shortest stretch

Stretch::Kind kind_at(const Track& track, size_t i, double silent_db, std::vector<float>& around) {
  using Kind = Stretch::Kind;
  const Frame& f = track.frames[i];
  around.clear();
  for (size_t k = i > kReach ? i - kReach : 0; k <= std::min(i + kReach, track.frames.size() - 1); ++k)
    around.push_back(track.frames[k].rpm > 0 ? track.frames[k].confidence : 0);
  const auto middle = around.begin() + static_cast<std::ptrdiff_t>(around.size() / 2);
  std::nth_element(around.begin(), middle, around.end());
  if (*middle >= kHeard && f.rpm > 0) return Kind::engine;
  return static_cast<double>(f.level_db) < silent_db ? Kind::silence : Kind::no_engine;
}

struct Run {
  Stretch::Kind kind{};
  size_t from = 0, to = 0;
  size_t length() const { return to - from; }
};

void join_alike(std::vector<Run>& runs) {
  std::vector<Run> joined;
  for (const Run& run : runs) {
    if (!joined.empty() && joined.back().kind == run.kind)
      joined.back().to = run.to;
    else
      joined.push_back(run);
  }
  runs = std::move(joined);
}

/// What an engine cannot do is found over a second and more.
Stretch::Lack lack_between(const Track& track, const std::vector<Firing>& firings, double from_s, double to_s) {
  constexpr int kLeastFirings = 30;
  constexpr double kBangs = 0.15;  // of the firings stand out; of made engines in wind, clipped or beside another, half
  constexpr double kStill =
      0.01;  // of ln rpm: no engine is so steady without a bang to be heard; real ones hide theirs
  int all = 0, visible = 0;
  std::vector<double> speeds;
  for (const Firing& f : firings) {
    if (f.at_s < from_s || f.at_s >= to_s) continue;
    ++all;
    visible += f.visible;
    speeds.push_back(std::log(static_cast<double>(f.rpm)));
  }
  if (all >= kLeastFirings && visible < kBangs * all && robust_sigma(speeds) < kStill) return Stretch::Lack::no_bangs;

  // Loudness over a fifth of a second, against that a fifth of a second before. Engines stay below 7 dB nine times in
  // ten even when blipped.
  constexpr size_t kMean = 11, kApart = 10;
  constexpr double kPauseDb = 12, kPauses = 0.08;
  const auto first = static_cast<size_t>(std::lround(from_s / kHopS)),
             last = static_cast<size_t>(std::lround(to_s / kHopS));
  std::vector<double> level;
  for (size_t i = first; i + kMean <= last; ++i) {
    double power = 1e-12;
    for (size_t k = i; k < i + kMean; ++k) power += std::pow(10, static_cast<double>(track.frames[k].level_db) / 10);
    level.push_back(10 * std::log10(power));
  }
  double pauses = 0;
  for (size_t i = kApart; i < level.size(); ++i) pauses += std::abs(level[i] - level[i - kApart]) > kPauseDb;
  return level.size() > 2 * kApart && pauses > kPauses * static_cast<double>(level.size()) ? Stretch::Lack::with_pauses
                                                                                           : Stretch::Lack::none;
}

/// Takes what was followed and is no engine for what it is; what is parted by short breaks is judged as one.
void judge_engines(const Track& track, const std::vector<Firing>& firings, std::vector<Stretch>& stretches) {
  constexpr double kBreakS = 1.5;
  for (size_t first = 0; first < stretches.size();) {
    size_t last = first;
    if (stretches[first].kind == Stretch::Kind::engine) {
      for (size_t k = first + 1; k < stretches.size(); ++k) {
        if (stretches[k].kind == Stretch::Kind::engine)
          last = k;
        else if (stretches[k].kind == Stretch::Kind::silence || stretches[k].to_s - stretches[k].from_s > kBreakS)
          break;
      }
      const Stretch::Lack lack = lack_between(track, firings, stretches[first].from_s, stretches[last].to_s);
      for (size_t k = first; k <= last && lack != Stretch::Lack::none; ++k) {
        stretches[k].kind = Stretch::Kind::no_engine;
        stretches[k].lack = lack;
      }
    }
    first = last + 1;
  }
  std::vector<Stretch> joined;
  for (const Stretch& s : stretches) {
    if (!joined.empty() && joined.back().kind == s.kind && joined.back().lack == s.lack)
      joined.back().to_s = s.to_s;
    else
      joined.push_back(s);
  }
  stretches = std::move(joined);
}

}  // namespace

std::vector<Stretch> stretches_of(const Track& track, const std::vector<Firing>& firings) {
  if (track.frames.empty()) return {};
  std::vector<double> levels;
  for (const Frame& f : track.frames) levels.push_back(static_cast<double>(f.level_db));
  const double silent_db = std::max(static_cast<double>(kSilentDb), quantile(levels, 0.95) - kBelowLoudDb);
  std::vector<Run> runs;
  std::vector<float> around;
  for (size_t i = 0; i < track.frames.size(); ++i) runs.push_back({kind_at(track, i, silent_db, around), i, i + 1});
  join_alike(runs);
  // What is too short goes to the longer of its neighbours, the shortest first.
  for (size_t least = 2; least <= kLeast; ++least) {
    for (size_t k = 0; k < runs.size() && runs.size() > 1; ++k) {
      if (runs[k].length() >= least) continue;
      const size_t before = k > 0 ? runs[k - 1].length() : 0, after = k + 1 < runs.size() ? runs[k + 1].length() : 0;
      runs[k].kind = before >= after ? runs[k - 1].kind : runs[k + 1].kind;
    }
    join_alike(runs);
  }
  std::vector<Stretch> found;
  for (const Run& run : runs)
    found.push_back({run.kind, track.seconds(run.from), track.seconds(run.to),
                     run.kind == Stretch::Kind::no_engine ? Stretch::Lack::not_sure : Stretch::Lack::none});
  judge_engines(track, firings, found);
  return found;
}

EngineShare engine_share(const Track& track, const std::vector<Stretch>& stretches) {
  EngineShare share;
  if (track.frames.empty()) return share;
  double engine = 0, sure = 0;
  for (const Stretch& s : stretches) {
    if (s.kind != Stretch::Kind::engine) continue;
    const auto from = static_cast<size_t>(std::lround(s.from_s / kHopS));
    const auto to = static_cast<size_t>(std::lround(s.to_s / kHopS));
    for (size_t i = from; i < to; ++i) sure += track.sure(i);
    engine += static_cast<double>(to - from);
  }
  share.engine = engine / static_cast<double>(track.frames.size());
  share.sure = engine > 0 ? sure / engine : 0;
  return share;
}

}  // namespace crankwise::sound
