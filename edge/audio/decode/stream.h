// A container opened over a Source: which of its tracks is the sound, and what it says of itself.
#pragma once

#include <cstdint>
#include <memory>

#include "edge/audio/decode/decoder.h"

struct AVIOContext;
struct AVFormatContext;
struct AVCodecContext;
struct AVPacket;
struct AVFrame;
struct AVStream;

namespace crankwise::audio {

struct FreeAv {
  void operator()(AVIOContext*) const;
  void operator()(AVFormatContext*) const;
  void operator()(AVCodecContext*) const;
  void operator()(AVPacket*) const;
  void operator()(AVFrame*) const;
};
template <class T>
using Av = std::unique_ptr<T, FreeAv>;

class Stream {
 public:
  /// `source` must outlive it. Throws Refusal.
  explicit Stream(const Source& source);
  Stream(const Stream&) = delete;
  Stream& operator=(const Stream&) = delete;

  AVFormatContext& format() { return *format_; }
  AVStream& sound() { return *sound_; }
  AVCodecContext& codec() { return *codec_; }
  /// What the headers say; the rest of the facts is still to come.
  Facts facts() const;
  double share_read() const;

 private:
  struct Place {
    const Source* source = nullptr;
    std::int64_t at = 0;
  };
  static int read(void* place, std::uint8_t* out, int size);
  static std::int64_t seek(void* place, std::int64_t offset, int whence);
  void open();
  void choose();
  void open_codec();

  Place place_;
  Av<AVIOContext> io_;
  Av<AVFormatContext> format_;
  AVStream* sound_ = nullptr;
  int sound_tracks_ = 0;
  Av<AVCodecContext> codec_;
};

}  // namespace crankwise::audio
