#include "edge/audio/decode/stream.h"

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/avstring.h>
#include <libavutil/mem.h>
}

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstring>
#include <new>
#include <string>

#include "edge/audio/decode/ends.h"
#include "edge/audio/decode/forms.h"

namespace crankwise::audio {
namespace {

constexpr int kIoBytes = 1 << 15;
constexpr int kLeastScore = 24;  // of 100: four mp3 frames in a row have 25

template <class T>
T* there(T* pointer) {
  if (pointer == nullptr) throw std::bad_alloc();
  return pointer;
}

/// Whatever a file names, nothing else is opened.
int refuse_to_open(AVFormatContext*, AVIOContext**, const char*, int, AVDictionary**) { return AVERROR(EACCES); }

bool is_picture(const AVStream& stream) {
  return stream.codecpar->codec_type == AVMEDIA_TYPE_VIDEO && !(stream.disposition & AV_DISPOSITION_ATTACHED_PIC);
}

double finite(double value) { return std::isfinite(value) ? std::max(value, 0.0) : 0; }
double seconds(std::int64_t time, AVRational base) {
  return time == AV_NOPTS_VALUE || base.den == 0 ? 0 : static_cast<double>(time) * av_q2d(base);
}

/// Sound that may be played only by those who hold a key.
bool is_locked(const AVStream& stream) {
  const auto tag = stream.codecpar->codec_tag;
  return tag == MKTAG('e', 'n', 'c', 'a') || tag == MKTAG('d', 'r', 'm', 's');
}

double number_in(const AVDictionary* dictionary, const char* key) {
  const AVDictionaryEntry* entry = av_dict_get(dictionary, key, nullptr, 0);
  if (entry == nullptr) return 0;
  double value = 0;
  const auto [end, error] = std::from_chars(entry->value, entry->value + std::strlen(entry->value), value);
  return error == std::errc() && value > 0 && value < 1e6 ? value : 0;
}

}  // namespace

void FreeAv::operator()(AVIOContext* io) const {
  av_freep(&io->buffer);
  avio_context_free(&io);
}
void FreeAv::operator()(AVFormatContext* format) const { avformat_close_input(&format); }
void FreeAv::operator()(AVCodecContext* codec) const { avcodec_free_context(&codec); }
void FreeAv::operator()(AVPacket* packet) const { av_packet_free(&packet); }
void FreeAv::operator()(AVFrame* frame) const { av_frame_free(&frame); }

int Stream::read(void* place, std::uint8_t* out, int size) {
  auto& p = *static_cast<Place*>(place);
  if (p.at >= p.source->bytes || size <= 0) return AVERROR_EOF;
  const std::int64_t got = p.source->read(p.at, {out, static_cast<std::size_t>(size)});
  if (got < 0) return AVERROR(EIO);
  if (got == 0) return AVERROR_EOF;
  p.at += got;
  return static_cast<int>(got);
}

std::int64_t Stream::seek(void* place, std::int64_t offset, int whence) {
  auto& p = *static_cast<Place*>(place);
  if (whence & AVSEEK_SIZE) return p.source->bytes;
  std::int64_t to = 0;
  switch (whence & ~AVSEEK_FORCE) {
    case SEEK_SET:
      to = offset;
      break;
    case SEEK_CUR:
      to = p.at + offset;
      break;
    case SEEK_END:
      to = p.source->bytes + offset;
      break;
    default:
      return AVERROR(EINVAL);
  }
  if (to < 0) return AVERROR(EINVAL);
  return p.at = to;
}

Stream::Stream(const Source& source) : place_{&source, 0} {
  if (source.bytes <= 0) throw Refusal{"is empty", kRight};
  auto* buffer = static_cast<std::uint8_t*>(there(av_malloc(kIoBytes)));
  AVIOContext* io = avio_alloc_context(buffer, kIoBytes, 0, &place_, &Stream::read, nullptr, &Stream::seek);
  if (io == nullptr) av_free(buffer);
  io_.reset(there(io));
  open();
  choose();
  open_codec();
}

void Stream::open() {
  std::array<char, 64> first{};
  const std::int64_t got = place_.source->read(0, {reinterpret_cast<std::uint8_t*>(first.data()), first.size()});
  const std::string_view beginning(first.data(), static_cast<std::size_t>(std::max<std::int64_t>(got, 0)));
  const AVInputFormat* form = nullptr;
  const int score = av_probe_input_buffer2(io_.get(), &form, "", nullptr, 0, 0);
  if (score == AVERROR(ENOMEM)) throw std::bad_alloc();
  if (form == nullptr || score < kLeastScore) throw not_a_recording("", beginning);
  if (!container_is_read(form->name)) throw not_a_recording(form->name, beginning);

  AVFormatContext* format = there(avformat_alloc_context());
  format->pb = io_.get();
  format->io_open = refuse_to_open;
  format->protocol_whitelist = av_strdup("none");
  format->format_whitelist = av_strdup(kContainers);
  format->codec_whitelist = av_strdup(kCodecs);
  format->max_streams = 64;
  const int error = avformat_open_input(&format, "", form, nullptr);  // frees it where it fails
  format_.reset(format);
  if (error == AVERROR(ENOMEM)) throw std::bad_alloc();
  if (error < 0) {
    throw Refusal{
        "begins as " + container_word(form->name) + ", but is cut off or damaged: its sound is not to be found",
        kWhole};
  }
  if (avformat_find_stream_info(format, nullptr) == AVERROR(ENOMEM)) throw std::bad_alloc();
}

void Stream::choose() {
  bool picture = false;
  for (unsigned i = 0; i < format_->nb_streams; ++i) {
    const AVStream& stream = *format_->streams[i];
    picture = picture || is_picture(stream);
    if (stream.codecpar->codec_type == AVMEDIA_TYPE_AUDIO) ++sound_tracks_;
  }
  const int best = av_find_best_stream(format_.get(), AVMEDIA_TYPE_AUDIO, -1, -1, nullptr, 0);
  if (best < 0) {
    throw Refusal{picture ? "is a video without sound" : "holds no sound",
                  picture ? "a video filmed with its microphone on, or a sound recording" : kRight};
  }
  for (unsigned i = 0; i < format_->nb_streams; ++i) {
    if (static_cast<int>(i) != best) format_->streams[i]->discard = AVDISCARD_ALL;
  }
  sound_ = format_->streams[best];
}

void Stream::open_codec() {
  if (is_locked(*sound_)) throw Refusal{"is encrypted", "a recording that plays without a key or an account"};
  const AVCodec* codec = avcodec_find_decoder(sound_->codecpar->codec_id);
  if (codec == nullptr || av_match_list(codec->name, kCodecs, ',') <= 0) {
    const std::string name = avcodec_get_name(sound_->codecpar->codec_id);
    throw Refusal{name == "none" ? "holds sound in a code that is not known"
                                 : "holds sound coded as " + name + ", which is not read",
                  kRight};
  }
  codec_.reset(there(avcodec_alloc_context3(codec)));
  if (avcodec_parameters_to_context(codec_.get(), sound_->codecpar) < 0) throw std::bad_alloc();
  codec_->pkt_timebase = sound_->time_base;
  codec_->thread_count = 1;
  codec_->codec_whitelist = av_strdup(kCodecs);
  const int error = avcodec_open2(codec_.get(), codec, nullptr);
  if (error == AVERROR(ENOMEM)) throw std::bad_alloc();
  if (error < 0)
    throw Refusal{"holds " + codec_word(codec->name) + " sound that is damaged: it cannot be decoded", kWhole};
}

Facts Stream::facts() const {
  Facts f;
  f.container = container_word(format_->iformat->name);
  f.codec = codec_word(codec_->codec->name);
  f.sound_tracks = sound_tracks_;
  const AVCodecParameters& par = *sound_->codecpar;
  f.source_rate_hz = std::max(par.sample_rate, 1);
  for (unsigned i = 0; i < format_->nb_streams; ++i) {
    const AVStream& picture = *format_->streams[i];
    if (!is_picture(picture)) continue;
    f.picture_seconds = finite(seconds(picture.duration, picture.time_base));
    f.picture_fps = picture.avg_frame_rate.den != 0 ? finite(av_q2d(picture.avg_frame_rate)) : 0;
    f.starts_s = seconds(sound_->start_time, sound_->time_base) - seconds(picture.start_time, picture.time_base);
    if (!std::isfinite(f.starts_s) || std::fabs(f.starts_s) > 1e9) f.starts_s = 0;
    // Written by phones into the container (from memory).
    f.capture_fps = number_in(format_->metadata, "com.android.capture.fps");
    break;
  }
  if (f.container == "wav" && f.codec.starts_with("pcm_") && par.block_align > 0) {
    f.header_rate_hz = finite(static_cast<double>(par.bit_rate) / 8 / par.block_align);
    f.stated_seconds = static_cast<double>(promised_wav_bytes(*place_.source)) / par.block_align / f.source_rate_hz;
  } else if (format_->duration_estimation_method != AVFMT_DURATION_FROM_BITRATE) {
    // What was worked out from a bit rate is no statement of the container's. Where it states only its own length, the
    // sound is taken to last to the end.
    f.stated_seconds = finite(seconds(sound_->duration, sound_->time_base));
    if (f.stated_seconds == 0 && format_->duration != AV_NOPTS_VALUE)
      f.stated_seconds = finite(static_cast<double>(format_->duration) / AV_TIME_BASE - std::max(f.starts_s, 0.0));
  }
  f.ends_in_error = f.container == "ogg" && !ogg_has_end(*place_.source);
  return f;
}

double Stream::share_read() const {
  return std::clamp(static_cast<double>(place_.at) / static_cast<double>(place_.source->bytes), 0.0, 1.0);
}

}  // namespace crankwise::audio
