// Which containers and codecs are read, by FFmpeg's names for them, and what they are called in plain words.
#pragma once

#include <string>
#include <string_view>

#include "edge/audio/wire/facts.h"

namespace crankwise::audio {

inline constexpr const char* kContainers =
    "wav,w64,aiff,caf,flac,mp3,aac,amr,ogg,matroska,webm,mov,mp4,m4a,3gp,3g2,mj2";
inline constexpr const char* kCodecs =
    "pcm_u8,pcm_s8,pcm_s16le,pcm_s16be,pcm_s24le,pcm_s24be,pcm_s32le,pcm_s32be,pcm_f32le,pcm_f32be,pcm_f64le,pcm_f64be,"
    "pcm_alaw,pcm_mulaw,adpcm_ms,adpcm_ima_wav,adpcm_ima_qt,flac,alac,mp3float,mp3,mp2float,mp2,aac,vorbis,opus,amrnb,"
    "amrwb,ac3,eac3";

bool container_is_read(std::string_view format);
/// mp4 for mov,mp4,m4a,3gp,3g2,mj2, and so on.
std::string container_word(std::string_view format);
/// aac for aac, mp3 for mp3float, and so on.
std::string codec_word(std::string_view codec);
/// What to say of a file that FFmpeg takes for `format` ("": for nothing), which is not read, and which begins so.
Refusal not_a_recording(std::string_view format, std::string_view beginning);

}  // namespace crankwise::audio
