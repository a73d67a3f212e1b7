#include "edge/audio/decode/decoder.h"

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
}

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <new>
#include <string>
#include <vector>

#include "edge/audio/decode/forms.h"
#include "edge/audio/decode/samples.h"
#include "edge/audio/decode/stream.h"

namespace crankwise::audio {
namespace {

constexpr int kLeastRateHz = 7000, kMostRateHz = 384'000;
constexpr double kFullScale = 0.999;
constexpr double kGapS = 0.1;
constexpr double kGraceS = 0.5;  // an hour in whole frames of a codec is a little more than an hour
constexpr int kMostErrorsInARow = 1000;

std::string as_text(double seconds) {
  char text[64];
  if (seconds >= 120)
    std::snprintf(text, sizeof text, "%.1f minutes", seconds / 60);
  else
    std::snprintf(text, sizeof text, "%.1f seconds", seconds);
  return text;
}

/// What is kept of one channel on its way.
struct Lane {
  std::vector<float> ready;  // at 8 kHz, not handed on yet
  double peak = 0, sum = 0, squares = 0;
  std::int64_t clipped = 0, seen = 0, handed = 0;
};

class Work {
 public:
  Work(const Source& source, const Sink& sink, double most_seconds)
      : stream_(source), sink_(sink), most_seconds_(most_seconds), facts_(stream_.facts()) {
    if (facts_.stated_seconds > most_seconds_ + kGraceS) too_long(facts_.stated_seconds);
  }

  Facts done() {
    Av<AVPacket> packet(av_packet_alloc());
    frame_.reset(av_frame_alloc());
    if (!packet || !frame_) throw std::bad_alloc();
    for (int errors = 0;;) {
      const int got = av_read_frame(&stream_.format(), packet.get());
      if (got == AVERROR(ENOMEM)) throw std::bad_alloc();
      if (got == AVERROR(EAGAIN) && ++errors < kMostErrorsInARow) continue;
      if (got < 0) {
        facts_.ends_in_error = facts_.ends_in_error || got != AVERROR_EOF;
        break;
      }
      errors = 0;
      if (packet->stream_index == stream_.sound().index) take(packet.get());
      av_packet_unref(packet.get());
    }
    take(nullptr);
    end_of_rate();
    hand_on(1);
    return finished();
  }

 private:
  [[noreturn]] void too_long(double seconds) const {
    throw Refusal{"lasts " + as_text(seconds),
                  "at most " + as_text(most_seconds_) + ": cut out the part with the engine"};
  }

  void take(const AVPacket* packet) {
    if (packet != nullptr) {
      ++facts_.packets;
      if (av_packet_get_side_data(packet, AV_PKT_DATA_ENCRYPTION_INFO, nullptr) != nullptr)
        throw Refusal{"is encrypted", "a recording that plays without a key or an account"};
    }
    const int sent = avcodec_send_packet(&stream_.codec(), packet);
    if (sent == AVERROR(ENOMEM)) throw std::bad_alloc();
    bool bad = sent < 0 && packet != nullptr;
    for (;;) {
      const int got = avcodec_receive_frame(&stream_.codec(), frame_.get());
      if (got == AVERROR(ENOMEM)) throw std::bad_alloc();
      if (got < 0) {
        bad = bad || (packet != nullptr && got != AVERROR(EAGAIN) && got != AVERROR_EOF);
        break;
      }
      take(*frame_);
      av_frame_unref(frame_.get());
    }
    if (bad) ++facts_.bad_packets;
  }

  void take(const AVFrame& frame) {
    if (frame.nb_samples <= 0) return;
    if (frame.sample_rate < kLeastRateHz || frame.sample_rate > kMostRateHz) {
      throw Refusal{"is sampled at " + std::to_string(frame.sample_rate) + " Hz", "8 to 96 kHz"};
    }
    const int channels = frame.ch_layout.nb_channels;
    if (channels < 1 || channels > kMostChannels)
      throw Refusal{"has " + std::to_string(channels) + " channels of sound", "1 to " + std::to_string(kMostChannels)};
    if (!floats_of(frame, in_, facts_.wild_samples)) throw Refusal{"has samples of an unknown kind", kRight};
    if (lanes_.empty()) {
      lanes_.resize(static_cast<std::size_t>(channels));
      sink_.begin(channels);
    }
    if (in_.size() != lanes_.size()) {
      facts_.changes = true;
      in_.resize(lanes_.size(), std::vector<float>(static_cast<std::size_t>(frame.nb_samples)));
    }
    if (frame.sample_rate != rate_hz_) begin_rate(frame.sample_rate);
    mind_gap(frame);
    facts_.seconds += static_cast<double>(frame.nb_samples) / rate_hz_;
    if (facts_.seconds > most_seconds_ + kGraceS) too_long(std::max(facts_.seconds, facts_.stated_seconds));
    for (std::size_t c = 0; c < lanes_.size(); ++c) {
      Lane& lane = lanes_[c];
      for (const float x : in_[c]) {
        const double size = std::fabs(x);
        lane.peak = std::max(lane.peak, size);
        if (size >= kFullScale) ++lane.clipped;
      }
      lane.seen += frame.nb_samples;
      resamplers_[c].push(in_[c], lane.ready);
    }
    hand_on(kBlock);
  }

  void begin_rate(int rate_hz) {
    if (rate_hz_ != 0) {
      facts_.changes = true;
      end_of_rate();
    } else {
      facts_.source_rate_hz = rate_hz;
    }
    rate_hz_ = rate_hz;
    resamplers_.clear();
    for (std::size_t c = 0; c < lanes_.size(); ++c) resamplers_.emplace_back(rate_hz);
  }

  void end_of_rate() {
    for (std::size_t c = 0; c < resamplers_.size(); ++c) resamplers_[c].finish(lanes_[c].ready);
  }

  /// By the time stamps, in containers that have them: sound that should be there and is not.
  void mind_gap(const AVFrame& frame) {
    const AVRational base = stream_.sound().time_base;
    const auto& c = facts_.container;
    const bool stamped = c == "mp4" || c == "webm" || c == "ogg" || c == "flac";
    if (!stamped || frame.best_effort_timestamp == AV_NOPTS_VALUE || base.den == 0) return;
    const double at = static_cast<double>(frame.best_effort_timestamp) * av_q2d(base);
    if (timed_ && at - due_ > kGapS && at - due_ < 1e9) facts_.gaps_s += at - due_;
    timed_ = true;
    due_ = at + static_cast<double>(frame.nb_samples) / frame.sample_rate;
  }

  /// All that is ready, in blocks, once there are `least` samples.
  void hand_on(std::size_t least) {
    if (lanes_.empty()) return;
    std::vector<std::span<const float>> spans(lanes_.size());
    const std::size_t ready = lanes_[0].ready.size();
    if (ready < least) return;
    for (std::size_t from = 0; from < ready; from += kBlock) {
      for (std::size_t c = 0; c < lanes_.size(); ++c)
        spans[c] = std::span<const float>(lanes_[c].ready).subspan(from, std::min(kBlock, ready - from));
      sink_.samples(spans);
    }
    for (Lane& lane : lanes_) {
      for (const float x : lane.ready) {
        lane.sum += x;
        lane.squares += static_cast<double>(x) * x;
      }
      lane.handed += static_cast<std::int64_t>(ready);
      lane.ready.clear();
    }
    sink_.progress(facts_.stated_seconds > 0 ? std::min(1.0, facts_.seconds / facts_.stated_seconds)
                                             : stream_.share_read());
  }

  Facts finished() {
    if (lanes_.empty() || lanes_[0].handed == 0) {
      if (facts_.packets > 0 && facts_.bad_packets > 0)
        throw Refusal{"is damaged: none of its sound can be decoded", kWhole};
      throw Refusal{"holds no sound: it is 0 seconds long", "a recording of some seconds"};
    }
    for (const Lane& lane : lanes_) {
      const auto count = static_cast<double>(lane.handed);
      const double mean = lane.sum / count;
      facts_.channels.push_back({.mean_square = std::max(0.0, lane.squares / count - mean * mean),
                                 .peak = lane.peak,
                                 .clipped_share = static_cast<double>(lane.clipped) / static_cast<double>(lane.seen)});
    }
    return facts_;
  }

  Stream stream_;
  const Sink& sink_;
  double most_seconds_;
  Facts facts_;
  Av<AVFrame> frame_;
  std::vector<std::vector<float>> in_;
  std::vector<Lane> lanes_;
  std::vector<Resampler> resamplers_;
  int rate_hz_ = 0;
  bool timed_ = false;
  double due_ = 0;
};

}  // namespace

Facts decode(const Source& source, const Sink& sink, double most_seconds) {
  return Work(source, sink, most_seconds).done();
}

}  // namespace crankwise::audio
