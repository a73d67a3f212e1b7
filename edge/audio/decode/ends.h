// What a file says of its own length and end that FFmpeg does not hand on.
#pragma once

#include "edge/audio/decode/decoder.h"

namespace crankwise::audio {

/// Bytes of sound that a wav header promises, there or not; 0 where it promises none (RIFF, RF64, chunk by chunk).
std::int64_t promised_wav_bytes(const Source&);

/// False if the last page of an ogg file is cut off or does not say that it is the last (RFC 3533, 6).
bool ogg_has_end(const Source&);

}  // namespace crankwise::audio
