// A program started on an open file, its output read down a pipe, and its end seen to: it never outlives its object.
#pragma once

#include <sys/types.h>

#include <chrono>
#include <cstddef>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace crankwise::audio {

class Child {
 public:
  using Clock = std::chrono::steady_clock;

  /// `file` becomes its standard input; it has no environment, and no other descriptor of ours (posix_spawn: safe among
  /// threads). At `deadline` no more is waited for. Throws NotNow if it cannot be started.
  Child(const std::filesystem::path& program, const std::vector<std::string>& arguments, int file,
        Clock::time_point deadline);
  ~Child();  // ends it, whatever it does
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  enum class Got { all, end, late };
  /// Fills `out`, or says that the output ended first, or that time was up.
  Got read(std::span<std::byte> out);

  /// Waits for its end, by the deadline: its status as of waitpid(2), or -1 if it did not end.
  int ended();

 private:
  int milliseconds_left() const;
  pid_t pid_ = -1;
  int pipe_ = -1;
  Clock::time_point deadline_;
};

}  // namespace crankwise::audio
