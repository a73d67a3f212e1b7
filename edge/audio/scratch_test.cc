// Samples on disk read as a signal: the same as from memory, beyond both ends too, and until the last owner is gone.
#include "edge/audio/scratch.h"

#include <fcntl.h>
#include <gtest/gtest.h>

#include <numeric>
#include <thread>
#include <vector>

#include "tests/temporary_folder.h"

namespace crankwise::audio {
namespace {

using ScratchFile = test::TemporaryFolder;

TEST_F(ScratchFile, ReadsAsFromMemory) {
  std::vector<float> samples(1000);
  std::iota(samples.begin(), samples.end(), 1.0F);
  auto scratch = std::make_shared<Scratch>(dir_);
  EXPECT_TRUE(std::filesystem::is_empty(dir_));
  scratch->add(std::span(samples).first(400));
  scratch->add(std::span(samples).subspan(400));
  const sound::Signal disk = signal_of(std::move(scratch)), memory = sound::signal_of(samples);
  EXPECT_EQ(disk.samples, 1000);
  for (const std::int64_t first : {0L, 5L, 990L, 1000L, 2000L, -10L, -500L, -1'000'000L}) {
    for (const std::size_t count : {0U, 1U, 15U, 1200U}) {
      std::vector<float> a(count, 9), b(count, 9);
      disk.read(first, a);
      memory.read(first, b);
      EXPECT_EQ(a, b) << first << " " << count;
    }
  }
}

TEST_F(ScratchFile, ManyThreadsReadAtOnce) {
  std::vector<float> samples(100'000);
  std::iota(samples.begin(), samples.end(), 0.0F);
  auto scratch = std::make_shared<Scratch>(dir_);
  scratch->add(samples);
  const sound::Signal signal = signal_of(std::move(scratch));
  std::vector<int> wrong(8, 0);
  std::vector<std::thread> threads;
  for (std::size_t t = 0; t < wrong.size(); ++t) {
    threads.emplace_back([&, t] {
      std::vector<float> out(100);
      for (std::int64_t at = static_cast<std::int64_t>(t); at < 90'000; at += 777) {
        signal.read(at, out);
        if (out[99] != static_cast<float>(at + 99)) ++wrong[t];
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(wrong, std::vector<int>(8, 0));
}

TEST_F(ScratchFile, IsNotHandedToOtherPrograms) {
  const Scratch scratch(dir_);
  EXPECT_NE(::fcntl(scratch.fd(), F_GETFD) & FD_CLOEXEC, 0);
}

}  // namespace
}  // namespace crankwise::audio
