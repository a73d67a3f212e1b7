#include "tests/sounds/recipe.h"

#include <algorithm>
#include <cmath>

namespace crankwise::sounds {
namespace {

constexpr double kSoundMps = 343;  // in air of 20 degrees C

double distance(const Passing& p, double t) { return std::hypot(p.closest_m, p.speed_mps * (t - p.closest_s)); }
double heard(const Passing& p, double t) { return t + (distance(p, t) - p.closest_m) / kSoundMps; }

/// The speeds as heard: what is sent at t comes at heard(t).
Profile as_heard(const Profile& sent, const Passing& p) {
  std::vector<double> rpm(sent.knots().size());
  for (std::size_t i = 0; i < rpm.size(); ++i) {
    const double at = static_cast<double>(i) * Profile::kStepS;
    double t = at;
    for (int k = 0; k < 8; ++k) t = at - (heard(p, t) - t);  // contracts: the bike is slower than its sound
    const double closing = p.speed_mps * p.speed_mps * (t - p.closest_s) / (distance(p, t) * kSoundMps);
    rpm[i] = sent.rpm(std::clamp(t, 0.0, sent.seconds())) / (1 + closing);
  }
  return Profile(std::move(rpm));
}

/// The signal between the samples by a cubic (Catmull and Rom 1974): inside rates are four times those wanted.
double between(const Sound& s, double at) {
  const auto i = static_cast<std::ptrdiff_t>(std::floor(at));
  const double x = at - static_cast<double>(i);
  const auto v = [&](std::ptrdiff_t k) { return k < 0 || k >= std::ssize(s) ? 0.0 : s[static_cast<std::size_t>(k)]; };
  const double a = v(i - 1), b = v(i), c = v(i + 1), d = v(i + 2);
  return b + x / 2 * (c - a + x * (2 * a - 5 * b + 4 * c - d + x * (3 * (b - c) + d - a)));
}

/// As sent becomes as heard, louder when near.
Sound passed(const Sound& sent, const Passing& p) {
  Sound out(sent.size());
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double at = static_cast<double>(i) / kInsideHz;
    double t = at;
    for (int k = 0; k < 8; ++k) t = at - (heard(p, t) - t);
    out[i] = between(sent, t * kInsideHz) * p.closest_m / distance(p, t);
  }
  return out;
}

double mean_square_while_turning(const Sound& s, const Profile& p) {
  double sum = 0, count = 0;
  for (std::size_t i = 0; i < s.size(); ++i) {
    if (p.rpm(static_cast<double>(i) / kInsideHz) <= 0) continue;
    sum += s[i] * s[i], count += 1;
  }
  return count > 0 ? sum / count : 1;
}

}  // namespace

Made make(const Recipe& r, Random& random) {
  Made m;
  m.truth = r.truth;
  const auto samples = static_cast<std::size_t>(std::lround(r.truth.rpm.seconds() * kInsideHz));
  Sound s(samples);
  if (r.truth.engine) {
    m.truth.firings = firings(r.single, r.truth.rpm, random);
    s = render(r.single, r.truth.rpm, m.truth.firings, samples, random);
  }
  if (r.passing) {
    const Passing& p = *r.passing;
    s = passed(s, p);
    m.truth.rpm = as_heard(r.truth.rpm, p);
    for (Firing& f : m.truth.firings) f.at_s = heard(p, f.at_s), f.rpm = m.truth.rpm.rpm(f.at_s);
    m.truth.pass_by = PassBy{p.speed_mps, p.closest_m, p.closest_s, r.truth.rpm.rpm(p.closest_s)};
  }
  const double engine = mean_square_while_turning(s, m.truth.rpm);
  if (r.second) {
    const auto fired = firings(r.second->single, r.second->truth.rpm, random);
    add(s, render(r.second->single, r.second->truth.rpm, fired, samples, random),
        std::sqrt(engine) * std::pow(10, r.second->level_db / 20));
    m.truth.second_engine = true;
  }
  for (const Beside& b : r.beside) {
    add(s, noise(b.noise, samples, random), std::sqrt(engine) * std::pow(10, -b.snr_db / 20));
  }
  m.samples = record(std::move(s), r.phone);
  return m;
}

Single Draw::two_stroke() {
  Single s = single(random.uniform(150, 260), 0.005, 0.012);
  s.cycle = Cycle::two_stroke;
  s.ticks = 0.02;
  if (random.uniform() < 0.4) s.whine_order = random.uniform(11, 15), s.whine = 0.05;
  return s;
}

Single Draw::four_stroke() {
  Single s = single(random.uniform(110, 200), 0.005, 0.01);
  s.cycle = Cycle::four_stroke;
  s.blow_down_s *= 1.4;
  s.ticks = 0.08;
  if (random.uniform() < 0.4) s.whine_order = random.uniform(11, 15), s.whine = 0.04;
  return s;
}

Single Draw::single(double first_hz, double jitter_low, double jitter_high) {
  Single s;
  s.jitter = random.uniform(jitter_low, jitter_high);
  s.scatter = random.uniform(0.1, 0.2);
  s.blow_down_s = random.uniform(0.0008, 0.0016);
  s.hiss = random.uniform(0.2, 0.5);
  s.hiss_s = random.uniform(0.002, 0.004);
  s.dry = random.uniform(0.2, 0.5);
  s.intake = random.uniform(0.05, 0.15);
  s.clatter = random.uniform(0.02, 0.06);
  // The pipe's own row, a little out of tune, and two of the silencer and the frame.
  for (int k = 1; k <= 4; ++k) {
    s.pipe.push_back(
        {first_hz * k * random.uniform(0.93, 1.07), random.uniform(3, 9), random.uniform(0.3, 1) / std::sqrt(k)});
  }
  s.pipe.push_back({random.uniform(900, 1600), random.uniform(3, 8), random.uniform(0.2, 0.5)});
  s.pipe.push_back({random.uniform(1800, 3000), random.uniform(2, 6), random.uniform(0.1, 0.3)});
  return s;
}

}  // namespace crankwise::sounds
