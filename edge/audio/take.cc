#include "edge/audio/take.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <csignal>
#include <cstring>
#include <memory>
#include <system_error>

#include "edge/audio/child.h"
#include "edge/audio/notes.h"
#include "edge/audio/scratch.h"
#include "edge/audio/wire/facts.h"
#include "edge/problem.h"

namespace crankwise::audio {
namespace {

namespace fs = std::filesystem;

fs::path decoder_program() {
  std::error_code error;
  const fs::path here = fs::read_symlink("/proc/self/exe", error).parent_path();
  const fs::path beside = here / "crankwise-decode";
  for (const fs::path& program : {beside, here.parent_path() / "libexec" / "crankwise" / "crankwise-decode"}) {
    if (!here.empty() && ::access(program.c_str(), X_OK) == 0) return program;
  }
  return CRANKWISE_DECODE;  // where it was built
}

fs::path scratch_folder(const Limits& limits) {
  if (!limits.scratch.empty()) return limits.scratch;
  std::error_code error;
  const fs::path folder = fs::temp_directory_path(error);
  return error ? fs::path("/tmp") : folder;
}

/// The decoder's side of the talk, none of it trusted.
class Listener {
 public:
  Listener(int fd, const std::string& name, const Limits& limits, const Progress& progress)
      : name_(name),
        limits_(limits),
        progress_(progress),
        most_samples_(std::llround((limits.seconds + 1) * sound::kRateHz)),
        child_(limits.decoder.empty() ? decoder_program() : limits.decoder,
               {fmt::format("{}", limits.memory_bytes), fmt::format("{}", limits.cpu_s),
                fmt::format("{}", limits.seconds)},
               fd, Child::Clock::now() + std::chrono::milliseconds(std::llround(limits.wall_s * 1000))) {}

  Facts heard() {
    for (;;) {
      Head head;
      get(std::as_writable_bytes(std::span(&head, 1)));
      switch (head.record) {
        case Record::channels:
          channels(head);
          break;
        case Record::samples:
          samples(head);
          break;
        case Record::progress:
          progress(head);
          break;
        case Record::facts: {
          std::optional<Facts> facts = facts_of(text(head));
          if (!facts || facts->channels.empty() || facts->channels.size() != lanes_.size() || lanes_[0]->samples() == 0)
            garbled();
          return std::move(*facts);
        }
        case Record::refusal: {
          const std::optional<Refusal> refusal = refusal_of(text(head));
          if (!refusal) garbled();
          refuse(refusal->wrong, refusal->right);
        }
        case Record::no_cage: {
          const std::string why = text(head);
          throw NotNow({name_, 0, "",
                        "is not decoded, because the decoder cannot be shut in on this system: " + printable(why),
                        "a Linux that allows seccomp filters"});
        }
        default:
          garbled();
      }
    }
  }

  const std::shared_ptr<Scratch>& lane(std::size_t channel) const { return lanes_.at(channel); }

 private:
  [[noreturn]] void refuse(std::string wrong, std::string right) const {
    throw BadInput({name_, 0, "", std::move(wrong), std::move(right)});
  }
  [[noreturn]] void garbled() const {
    refuse("made the decoder talk nonsense: it is damaged, or made to do harm", kWhole);
  }

  static std::string printable(std::string text) {
    std::replace_if(
        text.begin(), text.end(), [](char c) { return c < ' ' || c > '~'; }, '?');
    return text.substr(0, 200);
  }

  void get(std::span<std::byte> out) {
    switch (child_.read(out)) {
      case Child::Got::all:
        return;
      case Child::Got::late:
        late();
      case Child::Got::end:
        ended();
    }
  }
  [[noreturn]] void late() const {
    refuse(fmt::format("was not decoded within {:g} s", limits_.wall_s),
           "a shorter recording, or a less busy computer");
  }
  [[noreturn]] void ended() {
    const int status = child_.ended();
    if (status == -1) late();
    if (WIFSIGNALED(status) && WTERMSIG(status) == SIGXCPU) {
      refuse(fmt::format("was not decoded within {} s of processor time", limits_.cpu_s),
             "a shorter recording; if it is short, the file is damaged: copy it again from the phone");
    }
    if (WIFSIGNALED(status)) {
      refuse(fmt::format("broke the decoder (signal {}, {}): it is damaged, or made to do harm", WTERMSIG(status),
                         ::sigabbrev_np(WTERMSIG(status)) ? ::sigabbrev_np(WTERMSIG(status)) : "unknown"),
             kWhole);
    }
    if (WEXITSTATUS(status) == 127) {
      throw NotNow({name_, 0, "", "is not decoded: the program that decodes recordings cannot be run",
                    "crankwise installed whole"});
    }
    refuse(fmt::format("made the decoder give up (exit code {})", WEXITSTATUS(status)), kWhole);
  }

  std::string text(const Head& head) {
    if (head.bytes > kMostText) garbled();
    std::string text(head.bytes, '\0');
    get(std::as_writable_bytes(std::span(text)));
    return text;
  }

  void channels(const Head& head) {
    std::uint8_t count = 0;
    if (head.bytes != 1 || !lanes_.empty()) garbled();
    get(std::as_writable_bytes(std::span(&count, 1)));
    if (count < 1 || count > kMostChannels) garbled();
    for (int c = 0; c < count; ++c) lanes_.push_back(std::make_shared<Scratch>(scratch_folder(limits_)));
  }

  void samples(const Head& head) {
    const std::size_t lane_bytes = sizeof(float) * lanes_.size();
    if (lanes_.empty() || head.bytes == 0 || head.bytes % lane_bytes != 0 || head.bytes / lane_bytes > kBlock)
      garbled();
    block_.resize(head.bytes / lane_bytes);
    if (lanes_[0]->samples() + static_cast<std::int64_t>(block_.size()) > most_samples_) garbled();
    for (const auto& lane : lanes_) {
      get(std::as_writable_bytes(std::span(block_)));
      for (float& x : block_) {
        if (!(std::fabs(x) <= 1000)) x = 0;
      }
      lane->add(block_);
    }
  }

  void progress(const Head& head) {
    double share = 0;
    if (head.bytes != sizeof share) garbled();
    get(std::as_writable_bytes(std::span(&share, 1)));
    if (share >= 0 && share <= 1 && progress_) progress_(share);
  }

  const std::string& name_;
  const Limits& limits_;
  const Progress& progress_;
  std::int64_t most_samples_;
  Child child_;
  std::vector<std::shared_ptr<Scratch>> lanes_;
  std::vector<float> block_;
};

class Open {
 public:
  explicit Open(const fs::path& path) : fd_(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY)) {
    if (fd_ >= 0) return;
    const int why = errno;
    const bool missing = why == ENOENT || why == ENOTDIR;
    throw BadInput({path.string(), 0, "",
                    missing ? "there is no such file" : fmt::format("cannot be read: {}", std::strerror(why)),
                    missing ? "the path of a file that is there" : "a file that you may read"});
  }
  ~Open() { ::close(fd_); }
  Open(const Open&) = delete;
  Open& operator=(const Open&) = delete;
  int fd() const { return fd_; }

 private:
  int fd_;
};

void look_at_file(int fd, const std::string& name, const Limits& limits) {
  const auto refuse = [&](std::string wrong, std::string right) {
    throw BadInput({name, 0, "", std::move(wrong), std::move(right)});
  };
  struct stat info {};
  if (::fstat(fd, &info) != 0)
    refuse(fmt::format("cannot be read: {}", std::strerror(errno)), "a file that you may read");
  if (S_ISDIR(info.st_mode)) refuse("is a folder", "the path of a file");
  if (!S_ISREG(info.st_mode)) refuse("is no ordinary file", "the path of a file");
  if (info.st_size == 0) refuse("is empty", kRight);
  if (info.st_size > limits.file_bytes) {
    refuse(
        fmt::format("has {:.1f} MB", static_cast<double>(info.st_size) / 1e6),
        fmt::format("at most {:g} MB: cut out the part with the engine", static_cast<double>(limits.file_bytes) / 1e6));
  }
}

}  // namespace

Take read_take(int fd, const std::string& name, const Limits& limits, const Progress& progress) {
  look_at_file(fd, name, limits);
  Listener listener(fd, name, limits, progress);
  const Facts facts = listener.heard();
  const auto loudest =
      std::max_element(facts.channels.begin(), facts.channels.end(),
                       [](const Channel& a, const Channel& b) { return a.mean_square < b.mean_square; });
  const auto taken = static_cast<std::size_t>(loudest - facts.channels.begin());
  Take take{.signal = signal_of(listener.lane(taken)),
            .container = facts.container,
            .codec = facts.codec,
            .source_rate_hz = facts.source_rate_hz,
            .channels = static_cast<int>(facts.channels.size()),
            .channel_taken = static_cast<int>(taken),
            .clipped_share = loudest->clipped_share,
            .peak = loudest->peak,
            .stated_seconds = facts.stated_seconds,
            .slowed = slowed(facts),
            .notes = notes_of(facts, taken)};
  take.seconds = take.signal.seconds();
  return take;
}

Take read_take(const fs::path& path, const Limits& limits, const Progress& progress) {
  const Open open(path);
  return read_take(open.fd(), path.string(), limits, progress);
}

Take read_take_bytes(std::string_view bytes, const std::string& name, const Limits& limits, const Progress& progress) {
  Scratch scratch(scratch_folder(limits));
  scratch.add_bytes(bytes);
  return read_take(scratch.fd(), name, limits, progress);
}

}  // namespace crankwise::audio
