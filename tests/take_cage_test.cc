// The decoder as a process: what it cannot do once it is shut in, what happens when it runs wild, and that nothing it
// says is believed.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <csignal>
#include <stdexcept>
#include <thread>

#include "edge/audio/child.h"
#include "edge/audio/decode/trial.h"
#include "edge/audio/take.h"
#include "edge/audio/wire/facts.h"
#include "tests/refusal.h"
#include "tests/take_case.h"

namespace crankwise {
namespace {

using namespace test;
using namespace std::chrono_literals;
using audio::Child;
using audio::Facts;
using audio::Limits;
using audio::read_take;
using audio::Record;

class TakeCage : public TakeCase {
 protected:
  TakeCage() { file_ = written("a.wav", wav_of(44100, {{{500, 0.3}}}, 2)); }

  /// What the decoder says of an attempt after shutting itself in: an error number.
  static int tried(const std::string& what) {
    const int nothing = ::open("/dev/null", O_RDONLY | O_CLOEXEC);
    Child child(CRANKWISE_DECODE, {"--try", what}, nothing, Child::Clock::now() + 20s);
    ::close(nothing);
    std::string said;
    for (char c = 0; child.read(std::as_writable_bytes(std::span(&c, 1))) == Child::Got::all && c != '\n';) said += c;
    EXPECT_EQ(child.ended(), 0) << what;
    return said.empty() ? -2 : std::stoi(said);
  }

  /// A decoder of the test's own making: a script.
  Limits with(const std::string& script) {
    const fs::path program = written("decoder", "#!/bin/sh\n" + script + "\n");
    fs::permissions(program, fs::perms::owner_all);
    return {.wall_s = 20, .decoder = program};
  }
  /// One that says just these bytes.
  Limits saying(const std::string& bytes) { return with("exec /bin/cat '" + written("said", bytes).string() + "'"); }
  std::string refused(const Limits& limits) {
    return refusal([&] { read_take(file_, limits); });
  }
  static std::string record(Record kind, std::string_view payload) {
    std::string bytes;
    put(bytes, static_cast<std::uint32_t>(kind), 4);
    put(bytes, payload.size(), 4);
    return bytes + std::string(payload);
  }
  static std::string floats(std::vector<float> values) {
    return {reinterpret_cast<const char*>(values.data()), values.size() * sizeof(float)};
  }
  static Facts facts(int channels) {
    return {.container = "wav",
            .codec = "pcm_s16le",
            .source_rate_hz = 8000,
            .channels = std::vector<audio::Channel>(static_cast<std::size_t>(channels)),
            .seconds = 1};
  }
  fs::path file_;
};

TEST_F(TakeCage, ShutInItCanDoNothingElse) {
  for (const char* what :
       {"open", "create", "stat", "socket", "fork", "exec", "kill", "run-memory", "read-other", "write-other"}) {
    EXPECT_EQ(tried(what), EPERM) << what;
  }
  EXPECT_EQ(tried("no such attempt"), -1);
#ifndef CRANKWISE_SANITIZED
  EXPECT_EQ(tried("memory"), ENOMEM);
#endif
  // The attempts are real: outside of it they succeed.
  for (const char* what : {"open", "stat", "socket", "kill", "run-memory"}) EXPECT_EQ(audio::attempt(what), 0) << what;
}

TEST_F(TakeCage, ShutInAsAPlainUserToo) {
  if (::geteuid() != 0) GTEST_SKIP() << "this whole run is one";
  // In a process of its own: another user, who may read the program but nothing here.
  const pid_t pid = ::fork();
  if (pid == 0) {
    if (::setgid(65534) != 0 || ::setuid(65534) != 0) ::_exit(9);
    try {
      ::_exit(tried("open") == EPERM && tried("socket") == EPERM ? 0 : 1);
    } catch (const BadInput&) {
      ::_exit(8);
    }
  }
  int status = 0;
  ASSERT_EQ(::waitpid(pid, &status, 0), pid);
  if (WIFEXITED(status) && WEXITSTATUS(status) == 9) GTEST_SKIP() << "no other user here: a container";
  EXPECT_EQ(status, 0);
}

TEST_F(TakeCage, ProcessorTimeEnds) {
  const int nothing = ::open("/dev/null", O_RDONLY | O_CLOEXEC);
  Child child(CRANKWISE_DECODE, {"--try", "spin"}, nothing, Child::Clock::now() + 60s);
  ::close(nothing);
  const int status = child.ended();
  ASSERT_TRUE(WIFSIGNALED(status));
  EXPECT_EQ(WTERMSIG(status), SIGXCPU);
}

TEST_F(TakeCage, MemoryEnds) {
#ifdef CRANKWISE_SANITIZED
  GTEST_SKIP() << "sanitizers need address space without end";
#endif
  const std::string said = refused({.memory_bytes = 1 << 20});
  EXPECT_NE(said.find("a.wav: needs more memory to decode than a recording does"), std::string::npos) << said;
}

TEST_F(TakeCage, DecoderThatDiesIsReportedByItsEnd) {
  EXPECT_NE(refused(with("kill -SEGV $$")).find("broke the decoder (signal 11, SEGV)"), std::string::npos);
  EXPECT_NE(refused(with("kill -KILL $$")).find("signal 9"), std::string::npos);
  EXPECT_NE(refused(with("kill -XCPU $$")).find("240 s of processor time"), std::string::npos);
  EXPECT_NE(refused(with("exit 3")).find("made the decoder give up (exit code 3)"), std::string::npos);
}

TEST_F(TakeCage, DecoderThatHangsIsEnded) {
  const auto begin = Child::Clock::now();
  Limits limits = with("exec /bin/sleep 100");
  limits.wall_s = 0.3;
  EXPECT_NE(refused(limits).find("was not decoded within 0.3 s"), std::string::npos);
  limits = with("exec 1>&-; exec /bin/sleep 100");  // one that hangs up, but stays
  limits.wall_s = 0.3;
  EXPECT_NE(refused(limits).find("was not decoded within 0.3 s"), std::string::npos);
  EXPECT_LT(Child::Clock::now() - begin, 5s);
  EXPECT_EQ(::waitpid(-1, nullptr, WNOHANG), -1);
  EXPECT_EQ(errno, ECHILD) << "none is left";
}

TEST_F(TakeCage, DecoderThatIsNotThere) {
  const auto kind = [&](const Limits& limits) {
    try {
      read_take(file_, limits);
    } catch (const NotNow& e) {
      return std::string(e.what());
    }
    return std::string();
  };
  EXPECT_NE(kind({.decoder = dir_ / "none"}).find("cannot be started"), std::string::npos);
  EXPECT_NE(kind(with("exit 127")).find("cannot be run"), std::string::npos);
  EXPECT_NE(kind({.scratch = dir_ / "none"}).find("no working file can be made there"), std::string::npos);
  EXPECT_NE(kind(saying(record(Record::no_cage, "seccomp\x1b[2J is not there")))
                .find("cannot be shut in on this system: seccomp?[2J is not there"),
            std::string::npos);
}

TEST_F(TakeCage, WhatItSaysIsNotBelieved) {
  const std::string one("\1", 1), two("\2", 1);
  const std::string begin = record(Record::channels, one);
  const std::string some = record(Record::samples, floats({0.1F, -0.2F, 0.3F}));
  const std::string end = record(Record::facts, text_of(facts(1)));
  EXPECT_EQ(read_take(file_, saying(begin + some + end)).signal.samples, 3);

  const std::string nonsense[] = {
      "hello, this is no record at all",
      record(Record{99}, ""),
      begin + begin,
      record(Record::channels, std::string("\0", 1)),
      record(Record::channels, "\x11"),
      record(Record::channels, "\1\1"),
      some,
      begin + record(Record::samples, ""),
      begin + record(Record::samples, "abc"),
      record(Record::channels, two) + some,
      begin + record(Record::samples, std::string(4 * (audio::kBlock + 1), 'a')),
      begin + record(Record::progress, "x"),
      begin + end,
      begin + some + record(Record::facts, text_of(facts(2))),
      begin + some + record(Record::facts, "{}"),
      begin + some + record(Record::facts, std::string(audio::kMostText + 1, ' ')),
      record(Record::refusal, "{}"),
      record(Record::refusal, text_of(audio::Refusal{"clears your screen \x1b[2J", "nothing"})),
  };
  for (const std::string& bytes : nonsense)
    EXPECT_NE(refused(saying(bytes)).find("talk nonsense"), std::string::npos)
        << testing::PrintToString(bytes.substr(0, 60));
  EXPECT_NE(refused(saying(begin + some)).find("give up (exit code 0)"), std::string::npos);

  const Take wild =
      read_take(file_, saying(begin + record(Record::samples, floats({NAN, INFINITY, -1e30F, 0.5F})) + end));
  EXPECT_EQ(samples_of(wild), (std::vector<float>{0, 0, 0, 0.5F}));
}

TEST_F(TakeCage, NoMoreIsTakenThanTheLimit) {
  // For ever blocks of one channel: more than 2 s (and the second of grace) are not written to the disk.
  Limits limits =
      with("/bin/cat '" + written("begin", record(Record::channels, "\1")).string() + "'; while :; do /bin/cat '" +
           written("block", record(Record::samples, std::string(4 * audio::kBlock, '\0'))).string() + "'; done");
  limits.seconds = 2;
  EXPECT_NE(refused(limits).find("talk nonsense"), std::string::npos);
}

TEST_F(TakeCage, NoDescriptorOfOursGoesAlong) {
  const int ours = ::open("/dev/null", O_RDONLY);  // not close-on-exec, as a careless library would
  ASSERT_EQ(::fcntl(ours, F_DUPFD, 57), 57);
  const fs::path list = dir_ / "list";
  refused(with("/bin/ls /proc/$$/fd >'" + list.string() + "'; /usr/bin/env >>'" + list.string() + "'"));
  ::close(57);
  ::close(ours);
  const std::string said = read_file(list);
  EXPECT_NE(said.find("0\n"), std::string::npos) << said;
  EXPECT_EQ(said.find("57"), std::string::npos) << said;
  EXPECT_EQ(said.find("HOME="), std::string::npos) << said;
}

TEST_F(TakeCage, WhatTheProgressThrowsEndsTheWork) {
  EXPECT_THROW(read_take(file_, {}, [](double) { throw std::runtime_error("enough"); }), std::runtime_error);
  EXPECT_EQ(::waitpid(-1, nullptr, WNOHANG), -1);
  EXPECT_EQ(errno, ECHILD);
}

TEST_F(TakeCage, ManyThreadsAtOnce) {
  const std::vector<float> alone = samples_of(read_take(file_));
  std::vector<std::vector<float>> found(8);
  std::vector<std::thread> threads;
  for (auto& samples : found) threads.emplace_back([&] { samples = samples_of(read_take(file_)); });
  for (std::thread& thread : threads) thread.join();
  for (const auto& samples : found) EXPECT_EQ(samples, alone);
}

TEST_F(TakeCage, NoFileIsLeftBehind) {
  const fs::path scratch = dir_ / "scratch";
  fs::create_directory(scratch);
  const Take take = read_take(file_, {.scratch = scratch});
  EXPECT_TRUE(fs::is_empty(scratch));
  EXPECT_EQ(samples_of(take).size(), 16000U);
}

TEST_F(TakeCage, OnlyTheDecoderLinksTheLibraries) {
  const auto linked = [](const std::string& program) {
    std::string said;
    std::FILE* pipe = ::popen(("ldd '" + program + "'").c_str(), "r");
    for (int c = 0; pipe != nullptr && (c = std::fgetc(pipe)) != EOF;) said += static_cast<char>(c);
    return pipe == nullptr || ::pclose(pipe) != 0 ? "" : said;
  };
  EXPECT_NE(linked(CRANKWISE_DECODE).find("libavformat"), std::string::npos);
  const std::string crankwise = linked(CRANKWISE_BINARY);
  EXPECT_NE(crankwise.find("libc.so"), std::string::npos);
  EXPECT_EQ(crankwise.find("libav"), std::string::npos) << crankwise;
}

TEST_F(TakeCage, AnHourStaysOnTheDisk) {
  const auto resident_kb = [] {
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
  };
  const fs::path hour = ran("-f lavfi -i sine=frequency=500:sample_rate=44100:duration=3600 -c:a flac", "hour.flac");
  const long before = resident_kb();
  const Take take = read_take(hour);
  EXPECT_EQ(take.signal.samples, 3600 * 8000);
  std::vector<float> last(8000);
  take.signal.read(3599 * 8000, last);
  EXPECT_NEAR(heard(last, 500, 0, 1).hz, 500, 0.05);
  EXPECT_LT(resident_kb() - before, 8000) << "115 MB of samples are not in memory";
}

}  // namespace
}  // namespace crankwise
