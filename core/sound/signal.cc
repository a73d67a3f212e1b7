#include "core/sound/signal.h"

#include <algorithm>

namespace crankwise::sound {

Signal signal_of(std::span<const float> samples) {
  const auto count = static_cast<std::int64_t>(samples.size());
  return {count, [samples, count](std::int64_t first, std::span<float> out) {
            const auto wanted = static_cast<std::int64_t>(out.size());
            const std::int64_t from = std::clamp(first, std::int64_t{0}, count);
            const std::int64_t to = std::clamp(first + wanted, from, std::max(from, count));
            std::fill(out.begin(), out.end(), 0.0F);
            if (from < to) std::copy(samples.begin() + from, samples.begin() + to, out.begin() + (from - first));
          }};
}

}  // namespace crankwise::sound
