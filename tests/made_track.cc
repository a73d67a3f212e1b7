#include "tests/made_track.h"

#include <algorithm>
#include <cmath>

namespace crankwise::sound {

Track made_track(const sounds::Case& take) {
  constexpr std::size_t kHop = 160;  // samples
  Track track;
  for (std::size_t middle = 0; middle < take.samples.size(); middle += kHop) {
    double sum = 1e-12;
    const std::size_t from = middle > kHop ? middle - kHop : 0, to = std::min(middle + kHop, take.samples.size());
    for (std::size_t k = from; k < to; ++k) sum += std::pow(static_cast<double>(take.samples[k]), 2);
    const auto level = static_cast<float>(10 * std::log10(sum / static_cast<double>(to - from)));
    const auto rpm = static_cast<float>(take.truth.rpm.rpm(track.seconds(track.frames.size())));
    track.frames.push_back({rpm, 0.003F * rpm, rpm > 0 ? 0.9F : 0, level});
  }
  return track;
}

}  // namespace crankwise::sound
