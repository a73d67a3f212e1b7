#include "edge/audio/scratch.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string>

#include "edge/problem.h"

namespace crankwise::audio {
namespace {

int made(const std::filesystem::path& folder) {
  const int fd = ::open(folder.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
  if (fd >= 0 || (errno != EOPNOTSUPP && errno != EISDIR && errno != EINVAL)) return fd;
  std::string name = (folder / "crankwise-XXXXXX").string();  // a file system that has no nameless files
  const int named = ::mkostemp(name.data(), O_CLOEXEC);
  if (named >= 0) ::unlink(name.c_str());
  return named;
}

}  // namespace

Scratch::Scratch(const std::filesystem::path& folder) : fd_(made(folder)) {
  if (fd_ >= 0) return;
  throw NotNow({folder.string(), 0, "", std::string("no working file can be made there: ") + std::strerror(errno),
                "a folder that can be written, named by TMPDIR"});
}

Scratch::~Scratch() { ::close(fd_); }

void Scratch::add(std::span<const float> samples) {
  add_bytes({reinterpret_cast<const char*>(samples.data()), samples.size_bytes()});
}

void Scratch::add_bytes(std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t done = ::pwrite(fd_, bytes.data(), bytes.size(), bytes_);
    if (done < 0 && errno == EINTR) continue;
    if (done <= 0) {
      throw NotNow({"", 0, "", std::string("the working file of the sound cannot be written: ") + std::strerror(errno),
                    "some room on the disk, then the same again"});
    }
    bytes.remove_prefix(static_cast<std::size_t>(done));
    bytes_ += done;
  }
}

void Scratch::read(std::int64_t first, std::span<float> out) const {
  auto* to = reinterpret_cast<char*>(out.data());
  std::size_t left = out.size_bytes();
  for (std::int64_t at = first * static_cast<std::int64_t>(sizeof(float)); left > 0;) {
    const ssize_t got = ::pread(fd_, to, left, at);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) {
      throw NotNow({"", 0, "", std::string("the working file of the sound cannot be read: ") + std::strerror(errno),
                    "the same again; if it stays, look after the disk"});
    }
    to += got;
    at += got;
    left -= static_cast<std::size_t>(got);
  }
}

sound::Signal signal_of(std::shared_ptr<const Scratch> scratch) {
  const std::int64_t count = scratch->samples();
  return {count, [scratch = std::move(scratch), count](std::int64_t first, std::span<float> out) {
            const std::int64_t from = std::clamp(first, std::int64_t{0}, count);
            const std::int64_t to = std::clamp(first + static_cast<std::int64_t>(out.size()), from, count);
            std::fill(out.begin(), out.end(), 0.0F);
            if (from == to) return;
            scratch->read(from,
                          out.subspan(static_cast<std::size_t>(from - first), static_cast<std::size_t>(to - from)));
          }};
}

}  // namespace crankwise::audio
