#include "tests/sounds/phone.h"

#include <algorithm>
#include <cmath>

namespace crankwise::sounds {
namespace {

void echo(Sound& s, double delay_s, double gain) {
  const auto delay = static_cast<std::size_t>(std::lround(delay_s * kInsideHz));
  for (std::size_t i = s.size(); i-- > delay;) s[i] += gain * s[i - delay];
}

/// Holds the level: quickly down, slowly up, at most 20 dB.
void hold_level(Sound& s, double attack_s, double release_s) {
  const double target = std::sqrt(power(s)), up = 1 / (attack_s * kInsideHz), down = 1 / (release_s * kInsideHz);
  double level = target;
  for (double& v : s) {
    const double now = std::abs(v);
    level += (now > level ? up : down) * (now - level);
    v *= target / std::max(level, target / 10);
  }
}

}  // namespace

std::vector<float> record(Sound s, const Phone& phone) {
  if (phone.echo > 0) echo(s, phone.echo_s, phone.echo);
  s = high_pass(std::move(s), phone.high_pass_hz, phone.high_pass_times);
  if (phone.agc) hold_level(s, phone.attack_s, phone.release_s);
  const double mean = std::sqrt(power(s));
  if (phone.clip > 0) {
    for (double& v : s) v = std::clamp(v, -phone.clip * mean, phone.clip * mean);
  }
  if (phone.low_pass_hz > 0) s = low_pass(std::move(s), phone.low_pass_hz, 4);
  std::vector<float> out = to_8_khz(s);
  const double gain = mean > 0 ? phone.level / mean : 0;
  for (float& v : out) v = std::clamp(static_cast<float>(gain * v), -1.0F, 1.0F);
  return out;
}

}  // namespace crankwise::sounds
