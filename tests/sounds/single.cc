#include "tests/sounds/single.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace crankwise::sounds {
namespace {

/// Outrush, and the weaker and longer suction after it; its integral is 0, as of all that radiates.
double blow_down(double x) {
  constexpr double kLonger = 3.5;
  const auto push = [](double u) { return u <= 0 ? 0 : u * std::exp(1 - u); };
  return push(x) - push(x / kLonger) / (kLonger * kLonger) * kLonger;
}

/// Adds f(seconds since `at_s`) to the samples of the next `for_s`.
template <class F>
void strike(Sound& to, double at_s, double for_s, F f) {
  const auto first = static_cast<std::ptrdiff_t>(std::ceil(at_s * kInsideHz));
  const auto last = std::min(static_cast<std::ptrdiff_t>((at_s + for_s) * kInsideHz), std::ssize(to) - 1);
  for (std::ptrdiff_t i = std::max<std::ptrdiff_t>(first, 0); i <= last; ++i) {
    to[static_cast<std::size_t>(i)] += f(static_cast<double>(i) / kInsideHz - at_s);
  }
}

double turns_per_cycle(const Single& s) { return s.cycle == Cycle::two_stroke ? 1 : 2; }

double strength(const Single& s, double at_s, double rpm, std::size_t count, Random& random) {
  double strength = 1;
  for (const Weak& w : s.weak) {
    const bool fails = random.uniform() < w.share;  // drawn in any case: a change elsewhere changes nothing here
    if (at_s < w.from_s || at_s > w.to_s || rpm < w.from_rpm || rpm > w.to_rpm) continue;
    if (w.alternate ? count % 2 == 1 : fails) strength *= w.strength;
  }
  return strength;
}

/// An engine is quieter when slow, and when the throttle is closed.
double loudness(const Profile& p, double at_s) {
  const double rpm = p.rpm(at_s), before = p.rpm(at_s - 0.03);
  if (rpm <= 0) return 0;
  const double fall = before > 0 ? std::clamp((before - rpm) / (0.03 * rpm), 0.0, 1.5) : 0;  // one over time constant
  return (0.3 + 0.7 * std::min(rpm / 9000, 1.0)) * (1 - 0.4 * fall);
}

/// Scaled to mean square 1 over what sounds.
void settle_level(Sound& s, const Profile& p) {
  double sum = 0, count = 0;
  for (std::size_t i = 0; i < s.size(); ++i) {
    if (p.rpm(static_cast<double>(i) / kInsideHz) <= 0) continue;
    sum += s[i] * s[i];
    count += 1;
  }
  const double gain = sum > 0 ? std::sqrt(count / sum) : 0;
  for (double& v : s) v *= gain;
}

}  // namespace

std::vector<Firing> firings(const Single& s, const Profile& p, Random& random) {
  std::vector<Firing> out;
  const double cycle = turns_per_cycle(s), all = p.turns(p.seconds());
  std::size_t count = 0;
  for (double turns = cycle / 2; turns < all; turns += cycle, ++count) {
    const double at_s = p.when(turns), rpm = p.rpm(at_s);
    const double late = s.jitter * random.normal() * 60 * cycle / std::max(rpm, 100.0);
    out.push_back({.at_s = at_s + late, .rpm = rpm, .strength = strength(s, at_s, rpm, count, random)});
  }
  return out;
}

Sound render(const Single& s, const Profile& p, const std::vector<Firing>& all, std::size_t samples, Random& random) {
  Sound blows(samples), breath(samples);
  for (const Firing& f : all) {
    const double full = loudness(p, f.at_s) * std::max(0.05, 1 + s.scatter * random.normal());
    const double period = 60 * turns_per_cycle(s) / std::max(f.rpm, 100.0);
    const double width = s.blow_down_s / (1 + 0.008 / period) * std::max(0.7, 1 + s.shape * random.normal());
    const double blow = full * f.strength;
    strike(blows, f.at_s, 25 * width, [&](double t) { return blow * blow_down(t / width); });
    strike(blows, f.at_s, 6 * s.hiss_s, [&](double t) {
      return blow * s.hiss * random.white() * std::exp(-t / s.hiss_s) * std::min(1.0, t / width);
    });
    strike(breath, f.at_s + 0.3 * period, 0.5 * period, [&](double t) {  // the engine draws in whether it fires or not
      return full * random.white() * std::sin(std::numbers::pi * t / (0.5 * period));
    });
    for (const double when : {0.35, 0.8}) {  // valves closing
      const double tick = s.ticks * full * std::max(0.1, 1 + 0.3 * random.normal());
      strike(breath, f.at_s + when * period, 0.004,
             [&](double t) { return tick * random.white() * std::exp(-t / 0.0008); });
    }
  }
  Sound out(samples);
  add(out, blows, s.dry);
  for (const Resonance& r : s.pipe) add(out, resonance(blows, r.hz, r.q), r.gain);
  settle_level(out, p);
  const double breath_power = power(breath);
  if (breath_power > 0) add(out, low_pass(breath, 2500), (s.intake + s.ticks) / std::sqrt(breath_power));
  for (std::size_t i = 0; i < samples; ++i) {
    const double t = static_cast<double>(i) / kInsideHz, rpm = p.rpm(t);
    if (rpm <= 0) continue;
    out[i] += s.clatter * random.white() * (0.5 + rpm / 10000);
    if (s.whine > 0)
      out[i] += s.whine * std::numbers::sqrt2 * std::sin(2 * std::numbers::pi * s.whine_order * p.turns(t));
  }
  settle_level(out, p);
  return out;
}

}  // namespace crankwise::sounds
