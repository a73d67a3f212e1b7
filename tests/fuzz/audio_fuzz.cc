// Recordings: any bytes are either decoded into samples that are numbers, within the limit, with facts that come back
// from the pipe as they were, or refused with a reason and a way out. In this process, so that the fuzzer sees inside.
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <new>

extern "C" {
#include <libavutil/log.h>
#include <libavutil/mem.h>
}

#include "edge/audio/decode/decoder.h"
#include "edge/audio/decode/samples.h"
#include "tests/fuzz/must.h"

using namespace crankwise::audio;
using crankwise::fuzz::must;

namespace {

constexpr double kMostSeconds = 20;

void try_all(const Source& source) {
  std::size_t channels = 0;
  std::size_t samples = 0;
  const Sink sink{[&](int count) {
                    must(channels == 0, "it begins once");
                    must(count >= 1 && count <= kMostChannels, "so many channels as are allowed");
                    channels = static_cast<std::size_t>(count);
                  },
                  [&](std::span<const std::span<const float>> block) {
                    must(channels > 0 && block.size() == channels, "as many channels as was said");
                    must(!block[0].empty() && block[0].size() <= kBlock, "a block of the right size");
                    for (const auto& channel : block) {
                      must(channel.size() == block[0].size(), "all channels of one length");
                      for (const float x : channel) must(std::fabs(x) <= 4 * kWildest, "samples are sensible numbers");
                    }
                    samples += block[0].size();
                  },
                  [](double share) { must(share >= 0 && share <= 1, "a share is one"); }};
  try {
    const Facts facts = decode(source, sink, kMostSeconds);
    must(samples > 0 && samples <= kMostSeconds * 8000 + 8000, "some samples, and within the limit");
    must(facts.channels.size() == channels, "a channel's facts for each");
    const auto back = facts_of(text_of(facts));
    must(back && text_of(*back) == text_of(facts), "facts come back as they were");
  } catch (const Refusal& refusal) {
    must(refusal_of(text_of(refusal)).has_value(), "a refusal says what is wrong and what would be right");
  } catch (const std::bad_alloc&) {  // a header that asks for absurdly much
  }
}

}  // namespace

extern "C" int LLVMFuzzerInitialize(int*, char***) {
  av_log_set_level(AV_LOG_QUIET);
  av_max_alloc(std::size_t{256} << 20);
  return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try_all({static_cast<std::int64_t>(size), [=](std::int64_t from, std::span<std::uint8_t> out) {
             const auto bytes = static_cast<std::int64_t>(size);
             const auto count = std::clamp(bytes - from, std::int64_t{0}, static_cast<std::int64_t>(out.size()));
             std::copy_n(data + std::min(from, bytes), count, out.begin());
             return count;
           }});
  return 0;
}
