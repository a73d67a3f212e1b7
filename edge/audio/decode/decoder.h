// The sound of a recording at 8 kHz, channel by channel (FFmpeg's libraries), from bytes that a callback reads.
//
// Only containers and codecs of phones, cameras and recorders are looked at (edge/audio/decode/forms.h). Nothing but
// the bytes given is ever read: no file, address or key that they name. The libraries are large and old: what a
// stranger sent is decoded in a process that is shut in (edge/audio/decode/shut_in.h).
#pragma once

#include <cstdint>
#include <functional>
#include <span>

#include "edge/audio/wire/facts.h"

namespace crankwise::audio {

struct Source {
  std::int64_t bytes = 0;  // how many there are
  /// Fills `out` as far as there are bytes from `from` on; how many that were, or below 0 for an error. Must not throw.
  std::function<std::int64_t(std::int64_t from, std::span<std::uint8_t> out)> read;
};

struct Sink {
  std::function<void(int channels)> begin;  // once, before the samples; 1 to kMostChannels
  /// As many spans as channels, all of one length, 1 to kBlock.
  std::function<void(std::span<const std::span<const float>>)> samples;
  std::function<void(double share)> progress;
};

/// Throws Refusal if it is no sound that can be decoded, or longer than `most_seconds`; std::bad_alloc without memory.
Facts decode(const Source&, const Sink&, double most_seconds);

}  // namespace crankwise::audio
