#include "bench/sound/wav.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace crankwise::bench {

std::string wav_of(const std::vector<float>& samples) {
  std::string out;
  const auto put = [&](std::uint32_t value, int bytes) {
    for (int i = 0; i < bytes; ++i) out += static_cast<char>(value >> (8 * i) & 0xff);
  };
  const auto size = static_cast<std::uint32_t>(2 * samples.size());
  out += "RIFF";
  put(36 + size, 4);
  out += "WAVEfmt ";
  put(16, 4), put(1, 2), put(1, 2), put(8000, 4), put(16000, 4), put(2, 2), put(16, 2);
  out += "data";
  put(size, 4);
  for (const float s : samples) {
    put(static_cast<std::uint32_t>(std::lround(std::clamp(s, -1.0F, 1.0F) * 32767)) & 0xffff, 2);
  }
  return out;
}

}  // namespace crankwise::bench
