#include "bench/sound/ours.h"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "core/sound/heard.h"
#include "tests/sounds/case.h"

namespace crankwise::bench {

std::vector<Said> listen(const SoundTake& take) {
  const sound::Track track = sound::follow(sound::signal_of(take.samples), take.engine);
  std::vector<Said> out(frames_of(take));
  if (track.frames.empty()) return out;
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double at = static_cast<double>(i) * kFrameS / sound::kHopS;
    const auto a = std::min(static_cast<std::size_t>(at), track.frames.size() - 1);
    const auto b = std::min(a + 1, track.frames.size() - 1);
    const double share = at - std::floor(at);
    const sound::Frame &left = track.frames[a], &right = track.frames[b];
    const std::size_t near = share < 0.5 ? a : b;
    const sound::Frame& nearest = track.frames[near];
    out[i] = {.rpm = nearest.rpm, .sigma = nearest.sigma_rpm, .sure = track.sure(near)};
    if (left.rpm > 0 && right.rpm > 0) {
      out[i].rpm = left.rpm + share * (right.rpm - left.rpm);
      out[i].sigma = left.sigma_rpm + share * (right.sigma_rpm - left.sigma_rpm);
    }
  }
  return out;
}

double seconds_per_minute(int goes) {
  constexpr std::size_t kMinute = 60 * static_cast<std::size_t>(sound::kRateHz);
  std::vector<float> minute;
  for (const std::string& name : sounds::names(sounds::Set::tuning)) {
    if (name.find("2t_") != 0 || minute.size() >= kMinute) continue;
    const sounds::Case c = sounds::make(sounds::Set::tuning, name);
    minute.insert(minute.end(), c.samples.begin(), c.samples.end());
  }
  minute.resize(kMinute);
  double least = 1e9;
  for (int i = 0; i < goes; ++i) {
    const auto start = std::chrono::steady_clock::now();
    const sound::Signal signal = sound::signal_of(minute);
    const sound::Heard heard = sound::listen(signal, sound::follow(signal, {}), {});
    if (heard.seconds < 60) return -1;
    least = std::min(least, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
  }
  return least;
}

}  // namespace crankwise::bench
