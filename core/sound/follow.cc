#include <algorithm>
#include <cassert>
#include <cmath>
#include <optional>

#include "core/sound/coarse.h"
#include "core/sound/even.h"
#include "core/sound/grid.h"
#include "core/sound/octave.h"
#include "core/sound/refine.h"
#include "core/sound/tones.h"
#include "core/sound/track.h"
#include "core/sound/unlike.h"

namespace crankwise::sound {
namespace {

constexpr int kHop = static_cast<int>(kHopS * kRateHz);
constexpr double kTold = 1.05;  // a ceiling that was told is not passed by more
constexpr float kSureStrength = 0.34F;
constexpr double kSureSigma = 0.013;  // of the logarithm
constexpr float kSilenceDb = -75, kBelowLoudDb = 35;
constexpr double kBelowIdle = 0.5;  // a blip's fall dips below the idle that was told, not to less than this of it

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

/// The signs of the sure looks, or of all if hardly any is sure, and how fast they turn.
OctaveVerdict octave_of(const Engine& engine, const Coarse& coarse, const std::vector<OrderLook>& looks) {
  constexpr std::size_t kFew = 10;
  std::vector<OrderSigns> signs;
  std::vector<float> rpm;
  for (const float least : {kSureStrength, 0.0F}) {
    if (signs.size() >= kFew) break;
    signs.clear(), rpm.clear();
    for (std::size_t i = 0; i < looks.size(); ++i) {
      if (!looks[i].heard || coarse.strength[i] < least) continue;
      signs.push_back(looks[i].signs);
      rpm.push_back(static_cast<float>(engine.rpm_of(looks[i].rate_hz)));
    }
  }
  if (signs.empty()) return {};
  return judge_octave(engine, signs, level_at(rpm, 0.02), level_at(rpm, 0.98));
}

struct Found {
  Coarse coarse;
  std::vector<OrderLook> looks;
  OctaveVerdict verdict;
};

Found find(const Signal& signal, const Engine& engine, const Grid& grid, const std::vector<double>& tones_hz,
           const std::function<void(double)>& progress) {
  Found f;
  f.coarse = coarse_path(signal, grid, engine.cycle, {.tones_hz = tones_hz}, progress);
  f.looks = look_along(signal, f.coarse.rate_hz, f.coarse.rough);
  f.verdict = octave_of(engine, f.coarse, f.looks);
  if (f.verdict.factor == 1) return f;
  for (double& hz : f.coarse.rate_hz) hz *= f.verdict.factor;
  f.coarse = coarse_path(signal, grid, engine.cycle, {.about_hz = f.coarse.rate_hz, .tones_hz = tones_hz}, {});
  f.looks = look_along(signal, f.coarse.rate_hz, f.coarse.rough);
  return f;
}

/// Before it is asked whether that is an engine.
Track track_of(const Found& found, const Engine& engine, const std::vector<float>& db) {
  const Fine fine = fine_path(found.looks);
  const std::size_t hops = db.size();
  const float silence = std::max(kSilenceDb, level_at(db, 0.95) - kBelowLoudDb);
  Track track;
  track.frames.resize(hops);
  track.octave = found.verdict.open ? Octave::open : Octave::settled;
  track.other = found.verdict.other;
  for (std::size_t i = 0; i < hops; ++i) {
    Frame& f = track.frames[i];
    f.level_db = db[i];
    if (db[i] < silence) continue;
    const double rpm = engine.rpm_of(std::exp(fine.log_hz[i]));
    f.rpm = static_cast<float>(rpm);
    f.sigma_rpm = static_cast<float>(rpm * fine.log_sigma[i]);
    float strength = 0;
    const std::size_t from = i < 2 ? 0 : i - 2, to = std::min(hops, i + 3);
    for (std::size_t k = from; k < to; ++k) strength += found.coarse.strength[k] / static_cast<float>(to - from);
    const auto blur = static_cast<float>(std::min(1.0, kSureSigma / fine.log_sigma[i]));
    f.confidence = std::clamp(kSure * std::min(strength / kSureStrength, 1 / kSure) * blur, 0.0F, 1.0F);
  }
  return track;
}

/// An engine sounds for a while: what is sure for less than a quarter of a second is not.
void doubt_short_runs(Track& track) {
  constexpr std::size_t kLeast = 8;
  constexpr float kNotSure = 0.99F * kSure;
  for (std::size_t from = 0; from < track.frames.size();) {
    std::size_t to = from;
    while (to < track.frames.size() && track.frames[to].confidence >= kSure) ++to;
    for (std::size_t i = from; i < to && to - from < kLeast; ++i) track.frames[i].confidence = kNotSure;
    from = std::max(to, from + 1);
  }
}

void doubt(Track& track, const std::vector<bool>& like, const std::vector<bool>& tone) {
  constexpr float kUnlike = 0.2F;
  for (std::size_t i = 0; i < track.frames.size(); ++i)
    if (!like[i] || tone[i]) track.frames[i].confidence *= kUnlike;
  doubt_short_runs(track);
}

/// How many frames are sure, and not about this rate.
std::size_t sure_frames(const Track& track, const Engine& engine, double not_hz = 0) {
  constexpr double kAbout = 0.04;
  return static_cast<std::size_t>(std::count_if(track.frames.begin(), track.frames.end(), [&](const Frame& f) {
    const double hz = engine.firing_hz(static_cast<double>(f.rpm));
    return f.confidence >= kSure && std::abs(hz - not_hz) > kAbout * not_hz;
  }));
}

}  // namespace

Track follow(const Signal& signal, const Engine& engine, const std::function<void(double)>& progress) {
  const double most = engine.ceiling_rpm ? std::min(engine.rpm_max, *engine.ceiling_rpm * kTold) : engine.rpm_max;
  const double least = engine.idle_rpm ? std::max(engine.rpm_min, *engine.idle_rpm * kBelowIdle) : engine.rpm_min;
  const Grid grid = Grid::over(engine.firing_hz(least), engine.firing_hz(most));
  constexpr std::size_t kMostTones = 3, kLeastSure = 15;
  const std::vector<float> db = levels(signal, std::max<std::int64_t>(1, signal.samples / kHop));
  std::vector<double> tones_hz;
  Track best;
  std::size_t most_sure = 0;
  while (true) {
    Track track = track_of(find(signal, engine, grid, tones_hz, tones_hz.empty() ? progress : nullptr), engine, db);
    const std::vector<Firing> firings = firings_along(signal, track, engine);
    const std::vector<bool> tone = tones_in(signal, track, engine, firings);
    doubt(track, like_an_engine(signal, track, engine, firings), tone);
    const std::size_t sure = sure_frames(track, engine);
    if (tones_hz.empty() || sure > most_sure) best = track, most_sure = sure;
    // Where an engine is heard too, at other speeds, it may be heard beneath the tone.
    const double tone_hz = dwelt_at(track, engine, tone);
    if (tone_hz == 0 || sure_frames(track, engine, tone_hz) < kLeastSure || tones_hz.size() == kMostTones) return best;
    tones_hz.push_back(tone_hz);
  }
}

}  // namespace crankwise::sound
