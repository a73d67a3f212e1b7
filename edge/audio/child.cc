#include "edge/audio/child.h"

#include <fcntl.h>
#include <poll.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <thread>
#include <utility>

#include "edge/problem.h"

namespace crankwise::audio {
namespace {

/// A descriptor above the standard ones, so that putting it in the place of one of them harms none.
class Fd {
 public:
  explicit Fd(int fd) : fd_(fd) {}
  ~Fd() {
    if (fd_ >= 0) ::close(fd_);
  }
  Fd(const Fd&) = delete;
  Fd& operator=(const Fd&) = delete;
  int get() const { return fd_; }
  int release() { return std::exchange(fd_, -1); }

 private:
  int fd_;
};

int raised(int fd) { return ::fcntl(fd, F_DUPFD_CLOEXEC, 3); }

/// What posix_spawn is to do in the new process before the program begins.
class Plan {
 public:
  Plan(int file, int pipe) {
    ::posix_spawn_file_actions_init(&actions_);
    ::posix_spawnattr_init(&attributes_);
    ::posix_spawn_file_actions_adddup2(&actions_, file, 0);
    ::posix_spawn_file_actions_adddup2(&actions_, pipe, 1);
    ::posix_spawn_file_actions_addopen(&actions_, 2, "/dev/null", O_WRONLY, 0);
    ::posix_spawn_file_actions_addclosefrom_np(&actions_, 3);
    sigset_t none, all;
    ::sigemptyset(&none);
    ::sigfillset(&all);
    ::posix_spawnattr_setsigmask(&attributes_, &none);
    ::posix_spawnattr_setsigdefault(&attributes_, &all);
    ::posix_spawnattr_setflags(&attributes_, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF);
  }
  ~Plan() {
    ::posix_spawn_file_actions_destroy(&actions_);
    ::posix_spawnattr_destroy(&attributes_);
  }
  Plan(const Plan&) = delete;
  Plan& operator=(const Plan&) = delete;

  int start(const std::filesystem::path& program, const std::vector<std::string>& arguments, pid_t& pid) const {
    std::vector<std::string> texts{program.string()};
    texts.insert(texts.end(), arguments.begin(), arguments.end());
    std::vector<char*> pointers;
    for (std::string& text : texts) pointers.push_back(text.data());
    pointers.push_back(nullptr);
    char* const nothing[] = {nullptr};
    return ::posix_spawn(&pid, program.c_str(), &actions_, &attributes_, pointers.data(), nothing);
  }

 private:
  posix_spawn_file_actions_t actions_;
  posix_spawnattr_t attributes_;
};

}  // namespace

Child::Child(const std::filesystem::path& program, const std::vector<std::string>& arguments, int file,
             Clock::time_point deadline)
    : deadline_(deadline) {
  const auto cannot = [&](int why) {
    throw NotNow({program.string(), 0, "",
                  std::string("the program that decodes recordings cannot be started: ") + std::strerror(why),
                  "crankwise installed whole, and some memory free"});
  };
  int ends[2];
  if (::pipe2(ends, O_CLOEXEC) != 0) cannot(errno);
  Fd out(ends[0]);
  const Fd in(ends[1]);
  const Fd given(raised(file)), taken(raised(in.get()));
  if (given.get() < 0 || taken.get() < 0) cannot(errno);
  const int error = Plan(given.get(), taken.get()).start(program, arguments, pid_);
  if (error != 0) cannot(error);
  pipe_ = out.release();
}

Child::~Child() {
  ::close(pipe_);
  if (pid_ <= 0) return;
  ::kill(pid_, SIGKILL);
  while (::waitpid(pid_, nullptr, 0) < 0 && errno == EINTR) {
  }
}

int Child::milliseconds_left() const {
  const auto left = std::chrono::ceil<std::chrono::milliseconds>(deadline_ - Clock::now()).count();
  return static_cast<int>(std::clamp<std::int64_t>(left, 0, 1'000'000'000));
}

Child::Got Child::read(std::span<std::byte> out) {
  while (!out.empty()) {
    pollfd wait{pipe_, POLLIN, 0};
    const int left = milliseconds_left();
    if (left == 0) return Got::late;
    const int ready = ::poll(&wait, 1, left);
    if (ready == 0 || (ready < 0 && errno == EINTR)) continue;
    if (ready < 0) return Got::end;
    const ssize_t got = ::read(pipe_, out.data(), out.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) return Got::end;
    out = out.subspan(static_cast<std::size_t>(got));
  }
  return Got::all;
}

int Child::ended() {
  for (;;) {
    int status = 0;
    const pid_t done = ::waitpid(pid_, &status, WNOHANG);
    if (done < 0 && errno == EINTR) continue;
    if (done != 0) {
      pid_ = -1;
      return done > 0 ? status : -1;
    }
    if (milliseconds_left() == 0) return -1;
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
}

}  // namespace crankwise::audio
