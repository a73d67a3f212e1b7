#include "edge/audio/decode/samples.h"

extern "C" {
#include <libavutil/channel_layout.h>
#include <libavutil/frame.h>
#include <libavutil/samplefmt.h>
#include <libswresample/swresample.h>
}

#include <algorithm>
#include <cmath>
#include <new>

namespace crankwise::audio {
namespace {

constexpr int kRate = 8000;

template <class T>
void read(const AVFrame& frame, bool planar, double offset, double scale, std::vector<std::vector<float>>& channels) {
  const std::size_t count = channels.size();
  for (std::size_t c = 0; c < count; ++c) {
    const auto* from = reinterpret_cast<const T*>(frame.extended_data[planar ? c : 0]) + (planar ? 0 : c);
    const std::size_t step = planar ? 1 : count;
    for (std::size_t i = 0; i < channels[c].size(); ++i)
      channels[c][i] = static_cast<float>((static_cast<double>(from[i * step]) - offset) * scale);
  }
}

}  // namespace

bool floats_of(const AVFrame& frame, std::vector<std::vector<float>>& channels, std::int64_t& wild) {
  const auto format = static_cast<AVSampleFormat>(frame.format);
  const bool planar = av_sample_fmt_is_planar(format) != 0;
  channels.resize(static_cast<std::size_t>(frame.ch_layout.nb_channels));
  for (auto& channel : channels) channel.resize(static_cast<std::size_t>(frame.nb_samples));
  switch (av_get_packed_sample_fmt(format)) {
    case AV_SAMPLE_FMT_U8:
      read<std::uint8_t>(frame, planar, 128, 0x1p-7, channels);
      break;
    case AV_SAMPLE_FMT_S16:
      read<std::int16_t>(frame, planar, 0, 0x1p-15, channels);
      break;
    case AV_SAMPLE_FMT_S32:
      read<std::int32_t>(frame, planar, 0, 0x1p-31, channels);
      break;
    case AV_SAMPLE_FMT_S64:
      read<std::int64_t>(frame, planar, 0, 0x1p-63, channels);
      break;
    case AV_SAMPLE_FMT_FLT:
      read<float>(frame, planar, 0, 1, channels);
      break;
    case AV_SAMPLE_FMT_DBL:
      read<double>(frame, planar, 0, 1, channels);
      break;
    default:
      return false;
  }
  for (auto& channel : channels) {
    for (float& x : channel) {
      if (std::fabs(x) <= kWildest) continue;
      x = 0;
      ++wild;
    }
  }
  return true;
}

void Resampler::Free::operator()(SwrContext* swr) const { swr_free(&swr); }

Resampler::Resampler(int rate_hz) : rate_hz_(rate_hz) {
  if (rate_hz == kRate) return;
  AVChannelLayout mono = AV_CHANNEL_LAYOUT_MONO;
  SwrContext* swr = nullptr;
  if (swr_alloc_set_opts2(&swr, &mono, AV_SAMPLE_FMT_FLTP, kRate, &mono, AV_SAMPLE_FMT_FLTP, rate_hz, 0, nullptr) < 0)
    throw std::bad_alloc();
  swr_.reset(swr);
  if (swr_init(swr) < 0) throw std::bad_alloc();
}

void Resampler::push(std::span<const float> in, std::vector<float>& out) {
  in_ += static_cast<std::int64_t>(in.size());
  if (swr_)
    convert(in, false, out);
  else
    out.insert(out.end(), in.begin(), in.end());
}

void Resampler::finish(std::vector<float>& out) {
  if (!swr_) return;
  const std::int64_t due = std::llround(static_cast<double>(in_) * kRate / rate_hz_);
  convert({}, true, out);
  // The filter's tail goes past the end by a few samples, or falls short of it.
  const std::int64_t wanted = static_cast<std::int64_t>(out.size()) + due - out_;
  out.resize(static_cast<std::size_t>(std::max<std::int64_t>(wanted, 0)), 0.0F);
}

void Resampler::convert(std::span<const float> in, bool end, std::vector<float>& out) {
  const auto count = static_cast<int>(in.size());
  const int room = swr_get_out_samples(swr_.get(), count) + 64;
  if (room < 0) throw std::bad_alloc();
  const std::size_t before = out.size();
  out.resize(before + static_cast<std::size_t>(room));
  auto* to = reinterpret_cast<std::uint8_t*>(out.data() + before);
  const auto* from = reinterpret_cast<const std::uint8_t*>(in.data());
  const int got = swr_convert(swr_.get(), &to, room, end ? nullptr : &from, end ? 0 : count);
  if (got < 0) throw std::bad_alloc();
  out.resize(before + static_cast<std::size_t>(got));
  out_ += got;
}

}  // namespace crankwise::audio
