#include "tests/sound_take.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace crankwise::sound {

Engine engine_of(Cycle cycle) {
  Engine engine;
  engine.cycle = cycle;
  return engine;
}

Track track_of(const RpmAt& rpm_at, double seconds, double share, double noise) {
  sounds::Random random(7);
  Track track;
  const auto frames = static_cast<std::size_t>(seconds / kHopS + 0.5);
  for (std::size_t i = 0; i < frames; ++i) {
    const double rpm = rpm_at(track.seconds(i)) * (1 + (noise > 0 ? noise * random.normal() : 0));
    if (rpm > 0)
      track.frames.push_back({static_cast<float>(rpm), static_cast<float>(share * rpm), 0.9F, -20});
    else
      track.frames.push_back({0, 0, 0, -90});
  }
  return track;
}

std::vector<double> firing_times(const RpmAt& rpm_at, double seconds, Cycle cycle) {
  constexpr double kStep = 1e-4;
  const double turns = cycle == Cycle::two_stroke ? 1 : 2;
  std::vector<double> times;
  double cycles = 0.5;
  for (double t = 0; t < seconds; t += kStep) {
    const double more = rpm_at(t + kStep / 2) / 60 / turns * kStep;
    if (std::floor(cycles + more) > std::floor(cycles))
      times.push_back(t + kStep * (std::ceil(cycles) - cycles) / more);
    cycles += more;
  }
  return times;
}

std::vector<float> sound_of(const std::vector<double>& times, double seconds, const Train& train) {
  sounds::Random random(train.seed);
  std::vector<double> sum(static_cast<std::size_t>(seconds * kRateHz));
  for (double& v : sum) v = train.noise * random.normal();
  for (std::size_t k = 0; k < times.size(); ++k) {
    const double period = k + 1 < times.size() ? times[k + 1] - times[k] : times[k] - times[k - 1];
    const double at = times[k] + train.jitter * period * random.normal();
    const double strength = 0.1 * train.strength(k) * std::max(0.05, 1 + train.scatter * random.normal());
    const auto first = static_cast<std::size_t>(std::max(0.0, std::ceil(at * kRateHz)));
    for (std::size_t i = first; i < std::min(sum.size(), first + 200); ++i) {
      const double t = static_cast<double>(i) / kRateHz - at, w = 2 * std::numbers::pi * t;
      sum[i] += strength * (std::sin(220 * w) * std::exp(-t / 0.004) + std::sin(610 * w) * std::exp(-t / 0.003) +
                            std::sin(1430 * w) * std::exp(-t / 0.002));
    }
  }
  return {sum.begin(), sum.end()};
}

}  // namespace crankwise::sound
