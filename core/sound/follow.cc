#include <algorithm>
#include <cassert>
#include <cmath>
#include <optional>

#include "core/sound/even.h"
#include "core/sound/evidence.h"
#include "core/sound/octave.h"
#include "core/sound/path.h"
#include "core/sound/refine.h"
#include "core/sound/track.h"
#include "core/sound/unlike.h"

namespace crankwise::sound {
namespace {

constexpr std::int64_t kBlock = 3000, kAhead = 250;  // hops decided at once, and looked at beyond them
constexpr int kHop = static_cast<int>(kHopS * kRateHz);
constexpr double kTold = 1.05;  // a ceiling that was told is not passed by more
constexpr float kSureStrength = 0.34F;
constexpr float kUnlike = 0.2F;       // of the confidence, where it sounds like no engine
constexpr double kSureSigma = 0.013;  // of the logarithm
constexpr float kSilenceDb = -75, kBelowLoudDb = 35;
constexpr double kBelowIdle = 0.5;  // a blip's fall dips below the idle that was told, not to less than this of it

/// The path as bins, and how strong the evidence for it is.
struct Coarse {
  std::vector<double> rate_hz;
  std::vector<float> strength;
  std::vector<int> rough;  // firings until the sound repeats
};

/// `about_hz`: by hop, where the firing is known to be within half an octave; empty if it is not.
Coarse coarse_path(const Signal& signal, const Grid& grid, Cycle cycle, const std::vector<double>& about_hz,
                   const std::function<void(double)>& progress) {
  const auto hops = std::max<std::int64_t>(1, signal.samples / kHop);
  const auto width = static_cast<size_t>(grid.size);
  Evidence evidence(grid, cycle);
  const std::vector<int> roughness = cycle == Cycle::two_stroke ? std::vector<int>{1, 2, 3, 4} : std::vector<int>{1, 2};
  PathFinder finder(grid, roughness);
  Coarse out;
  std::vector<float> rows;
  std::vector<int> about;
  PathFinder::Place before;
  for (std::int64_t first = 0; first < hops; first += kBlock) {
    const std::int64_t here = std::min(kBlock, hops - first), looked = std::min(here + kAhead, hops - first);
    rows.resize(static_cast<size_t>(looked) * width);
    evidence.rows(signal, first, rows);
    about.clear();
    for (std::int64_t i = 0; i < looked && !about_hz.empty(); ++i)
      about.push_back(static_cast<int>(std::lround(grid.index(about_hz[static_cast<size_t>(first + i)]))));
    const std::vector<PathFinder::Place> path = finder.through(rows, before, about);
    for (std::int64_t i = 0; i < here; ++i) {
      const auto f = static_cast<size_t>(i);
      out.rough.push_back(roughness[static_cast<size_t>(path[f].rough)]);
      out.rate_hz.push_back(grid.hz(path[f].bin));
      out.strength.push_back(finder.evidence(std::span(rows).subspan(f * width, width), path[f]));
    }
    before = path[static_cast<size_t>(here - 1)];
    if (progress) progress(static_cast<double>(first + here) / static_cast<double>(hops));
  }
  return out;
}

/// Of each hop, in dB to full scale.
std::vector<float> levels(const Signal& signal, std::size_t hops) {
  std::vector<float> out(hops), samples(static_cast<size_t>(kHop));
  for (std::size_t i = 0; i < hops; ++i) {
    signal.read(static_cast<std::int64_t>(i) * kHop - kHop / 2, samples);
    double sum = 0;
    for (const float x : samples) sum += static_cast<double>(x) * static_cast<double>(x);
    out[i] = std::max(-120.0F, static_cast<float>(10 * std::log10(sum / kHop + 1e-12)));
  }
  return out;
}

/// The level that this share of the hops is below.
float level_at(std::vector<float> db, double share) {
  const auto at = db.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(db.size() - 1));
  std::nth_element(db.begin(), at, db.end());
  return *at;
}

/// The looks made one even line.
struct Fine {
  std::vector<double> log_hz, log_sigma;
};

Fine fine_path(const std::vector<OrderLook>& looks) {
  constexpr double kReachS = 0.07, kReachCycles = 2.5, kScatterReachS = 0.125;
  constexpr double kLeastSigma = 0.0012, kSigmaOfSlope = 0.003, kSigmaOfScatter = 0.8;
  std::vector<LinePoint> points;
  for (const OrderLook& l : looks) {
    if (l.heard) points.push_back({l.at_s, std::log(l.rate_hz)});
  }
  Fine fine;
  std::size_t near = 0, wide = 0;
  double rate_hz = 10;
  for (std::size_t i = 0; i < looks.size(); ++i) {
    const double at_s = static_cast<double>(i) * kHopS;
    if (looks[i].heard) rate_hz = looks[i].rate_hz;
    const LineFit fit = fit_at(points, at_s, std::max(kReachS, kReachCycles / rate_hz), near);
    const double scatter = fit_at(points, at_s, std::max(kScatterReachS, 1.8 * kReachCycles / rate_hz), wide).scatter;
    fine.log_hz.push_back(fit.value);
    fine.log_sigma.push_back(std::sqrt(std::pow(kSigmaOfScatter * scatter, 2) + kLeastSigma * kLeastSigma +
                                       std::pow(kSigmaOfSlope * fit.slope_per_s, 2)));
  }
  return fine;
}

/// The sure looks' signs, and how fast they turn.
OctaveVerdict octave_of(const Engine& engine, const Coarse& coarse, const std::vector<OrderLook>& looks) {
  std::vector<OrderSigns> signs;
  std::vector<float> rpm;
  for (std::size_t i = 0; i < looks.size(); ++i) {
    if (!looks[i].heard || coarse.strength[i] < kSureStrength) continue;
    signs.push_back(looks[i].signs);
    rpm.push_back(static_cast<float>(engine.rpm_of(looks[i].rate_hz)));
  }
  if (signs.empty()) return {};
  return judge_octave(engine, signs, level_at(rpm, 0.02), level_at(rpm, 0.98));
}

struct Found {
  Coarse coarse;
  std::vector<OrderLook> looks;
  OctaveVerdict verdict;
};

Found find(const Signal& signal, const Engine& engine, const Grid& grid, const std::function<void(double)>& progress) {
  Found f;
  f.coarse = coarse_path(signal, grid, engine.cycle, {}, progress);
  f.looks = look_along(signal, f.coarse.rate_hz, f.coarse.rough);
  f.verdict = octave_of(engine, f.coarse, f.looks);
  if (f.verdict.factor == 1) return f;
  for (double& hz : f.coarse.rate_hz) hz *= f.verdict.factor;
  f.coarse = coarse_path(signal, grid, engine.cycle, f.coarse.rate_hz, {});
  f.looks = look_along(signal, f.coarse.rate_hz, f.coarse.rough);
  return f;
}

}  // namespace

Track follow(const Signal& signal, const Engine& engine, const std::function<void(double)>& progress) {
  const double most = engine.ceiling_rpm ? std::min(engine.rpm_max, *engine.ceiling_rpm * kTold) : engine.rpm_max;
  const double least = engine.idle_rpm ? std::max(engine.rpm_min, *engine.idle_rpm * kBelowIdle) : engine.rpm_min;
  const Grid grid = Grid::over(engine.firing_hz(least), engine.firing_hz(most));
  const auto [coarse, looks, verdict] = find(signal, engine, grid, progress);
  const Fine fine = fine_path(looks);
  const std::size_t hops = coarse.rate_hz.size();
  const std::vector<float> db = levels(signal, hops);
  const float silence = std::max(kSilenceDb, level_at(db, 0.95) - kBelowLoudDb);
  Track track;
  track.frames.resize(hops);
  track.octave = verdict.open ? Octave::open : Octave::settled;
  track.other = verdict.other;
  for (std::size_t i = 0; i < hops; ++i) {
    Frame& f = track.frames[i];
    f.level_db = db[i];
    if (db[i] < silence) continue;
    const double rpm = engine.rpm_of(std::exp(fine.log_hz[i]));
    f.rpm = static_cast<float>(rpm);
    f.sigma_rpm = static_cast<float>(rpm * fine.log_sigma[i]);
    float strength = 0;
    const std::size_t from = i < 2 ? 0 : i - 2, to = std::min(hops, i + 3);
    for (std::size_t k = from; k < to; ++k) strength += coarse.strength[k] / static_cast<float>(to - from);
    const auto blur = static_cast<float>(std::min(1.0, kSureSigma / fine.log_sigma[i]));
    f.confidence = std::clamp(kSure * std::min(strength / kSureStrength, 1 / kSure) * blur, 0.0F, 1.0F);
  }
  const std::vector<bool> like = like_an_engine(signal, track, engine);
  for (std::size_t i = 0; i < hops; ++i) {
    if (!like[i]) track.frames[i].confidence *= kUnlike;
  }
  return track;
}

}  // namespace crankwise::sound
