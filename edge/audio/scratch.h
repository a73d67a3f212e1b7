// Samples on disk instead of in memory: a file without a name, gone with its last owner.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>

#include "core/sound/signal.h"

namespace crankwise::audio {

class Scratch {
 public:
  /// In `folder`. Throws NotNow where no file can be made or written.
  explicit Scratch(const std::filesystem::path& folder);
  ~Scratch();
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;

  void add(std::span<const float> samples);
  void add_bytes(std::string_view bytes);
  int fd() const { return fd_; }
  std::int64_t samples() const { return bytes_ / static_cast<std::int64_t>(sizeof(float)); }
  /// Of the samples from `first` on, which must be there.
  void read(std::int64_t first, std::span<float> out) const;

 private:
  int fd_ = -1;
  std::int64_t bytes_ = 0;
};

/// May be read from several threads at once; the file lives as long as the signal.
sound::Signal signal_of(std::shared_ptr<const Scratch>);

}  // namespace crankwise::audio
