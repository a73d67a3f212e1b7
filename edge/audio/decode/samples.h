// Decoded frames as plain floats, and floats brought from one rate to another.
#pragma once

#include <memory>
#include <span>
#include <vector>

struct AVFrame;
struct SwrContext;

namespace crankwise::audio {

/// Every channel's samples, full scale 1, exactly as decoded. What is no number or beyond +-kWildest becomes 0 and is
/// counted. False for a kind of sample that is not known.
inline constexpr float kWildest = 100;
bool floats_of(const AVFrame&, std::vector<std::vector<float>>& channels, std::int64_t& wild);

/// One channel from its rate to 8 kHz (libswresample; at 8 kHz the same bits again).
class Resampler {
 public:
  explicit Resampler(int rate_hz);
  /// Appends to `out` what is ready.
  void push(std::span<const float> in, std::vector<float>& out);
  /// The rest: altogether as long as what came in, to the nearest sample.
  void finish(std::vector<float>& out);

 private:
  struct Free {
    void operator()(SwrContext*) const;
  };
  void convert(std::span<const float> in, bool end, std::vector<float>& out);
  std::unique_ptr<SwrContext, Free> swr_;
  int rate_hz_;
  std::int64_t in_ = 0, out_ = 0;
};

}  // namespace crankwise::audio
