// Several programs at one store file, and programs that are killed.
#include <fcntl.h>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <random>
#include <set>
#include <sstream>
#include <thread>

#include "tests/store_case.h"

namespace crankwise {
namespace {

using namespace test;

// ---- Several at once

TEST_F(StoreTest, WaitsForALockThenSaysSo) {
  fill(2);
  Store store = Store::open(path_, Mode::existing);
  Foreign other(path_);
  ASSERT_EQ(run(other.db, "BEGIN IMMEDIATE"), "");
  const auto start = std::chrono::steady_clock::now();
  const std::string said = refusal([&] { store.append({event(3)}, kAt); });
  EXPECT_GE(std::chrono::steady_clock::now() - start, std::chrono::milliseconds(1500));
  EXPECT_SAYS(said, "another program is writing");
  EXPECT_SAYS(said, "close it, or try again");
  EXPECT_EQ(store.last(), 2);                             // reading goes on
  EXPECT_EQ(Store::open(path_, Mode::create).last(), 2);  // so does opening
  ASSERT_EQ(run(other.db, "ROLLBACK"), "");
  EXPECT_EQ(store.append({event(3)}, kAt).at(0).seq, 3);
  expect_filled(3);
}

TEST_F(StoreTest, WaitsForAReaderOfABackupBeforeWritingToIt) {
  fill(2);
  Store::open(path_, Mode::existing).backup_to(dir_ / "copy");
  path_ = dir_ / "copy";
  Foreign other(path_);
  ASSERT_EQ(run(other.db, "BEGIN; SELECT * FROM events"), "");
  std::thread reader([&] {
    std::this_thread::sleep_for(std::chrono::milliseconds(200));
    run(other.db, "COMMIT");
  });
  EXPECT_EQ(refusal([&] { Store::open(path_, Mode::existing).append({event(3)}, kAt); }), "");
  reader.join();
  expect_filled(3);
}

TEST_F(StoreTest, TellsAWriterThatItIsStale) {
  fill(2);
  Store a = Store::open(path_, Mode::existing);
  Store b = Store::open(path_, Mode::existing);
  a.append({event(3)}, kAt, 2);
  try {
    b.append({event(9)}, kAt, 2);
    FAIL() << "must be stale";
  } catch (const Stale& stale) {
    EXPECT_EQ(stale.last, 3);
  }
  EXPECT_EQ(b.since(2).at(0).data, event(3).data);
  b.append({event(4)}, kAt, 3);
  EXPECT_THROW(a.append({event(9)}, kAt, 9), Stale);
  EXPECT_THROW(a.append({}, kAt, 3), Stale);
  a.append({event(5)}, kAt);  // no expectation: simply after the others
  expect_filled(5);
}

/// tests/store_writer.cc as a process of its own, and what it has said so far.
class Writer {
 public:
  Writer(const fs::path& file, const std::string& name, const std::string& count = "") {
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
    std::fflush(nullptr);
    pid_ = ::fork();
    if (pid_ == 0) {
      ::dup2(ends[1], STDOUT_FILENO);
      const char* counted = count.empty() ? nullptr : count.c_str();
      ::execl(CRANKWISE_STORE_WRITER, "store_writer", file.c_str(), name.c_str(), counted, nullptr);
      ::_exit(127);
    }
    ::close(ends[1]);
    from_ = ends[0];
  }
  Writer(const Writer&) = delete;
  Writer& operator=(const Writer&) = delete;
  ~Writer() {
    if (pid_ > 0) end(SIGKILL);
    ::close(from_);
  }

  /// Listens for so long, or until it has said `bytes` or nothing more is to come.
  void listen(std::chrono::microseconds time, size_t bytes = std::string::npos) {
    const auto until = std::chrono::steady_clock::now() + time;
    for (;;) {
      const auto left = std::chrono::ceil<std::chrono::milliseconds>(until - std::chrono::steady_clock::now()).count();
      pollfd waiting{from_, POLLIN, 0};
      if (left <= 0 || said_.size() >= bytes || ::poll(&waiting, 1, static_cast<int>(left)) <= 0 || !read_some())
        return;
    }
  }
  /// The status with which it ended, after reading all it said.
  int end(int signal = 0) {
    if (signal != 0) ::kill(pid_, signal);
    while (read_some()) {
    }
    int status = 0;
    ::waitpid(pid_, &status, 0);
    pid_ = -1;
    return status;
  }
  /// What it said was safe, by number. (A line cut short does not count as said.)
  std::map<std::int64_t, std::string> acknowledged() const {
    std::map<std::int64_t, std::string> lines;
    std::istringstream in(said_.substr(0, said_.rfind('\n') + 1));
    std::int64_t seq = 0;
    for (std::string data; in >> seq && in.get() && std::getline(in, data);) lines[seq] = data;
    return lines;
  }

 private:
  bool read_some() {
    char bytes[4096];
    const ssize_t n = ::read(from_, bytes, sizeof bytes);
    if (n > 0) said_.append(bytes, static_cast<size_t>(n));
    return n > 0;
  }

  pid_t pid_ = -1;
  int from_ = -1;
  std::string said_;
};

/// The log is without holes, and every event was added under the expectation it holds, its whole batch with it.
void expect_whole_batches(const std::vector<Event>& events) {
  std::int64_t last = 0;
  for (size_t k = 0; k < events.size();) {
    const auto first = nlohmann::json::parse(events[k].data);
    const int parts = first.at("i").get<int>() % 3 + 1;
    for (int part = 0; part < parts; ++part, ++k) {
      ASSERT_LT(k, events.size()) << "a batch is cut";
      const auto data = nlohmann::json::parse(events[k].data);
      ASSERT_EQ(events[k].seq, static_cast<std::int64_t>(k + 1));
      ASSERT_EQ(data.at("by"), first.at("by"));
      ASSERT_EQ(data.at("i"), first.at("i"));
      ASSERT_EQ(data.at("part"), part);
      ASSERT_EQ(data.at("after"), last);
    }
    last = static_cast<std::int64_t>(k);
  }
}

TEST_F(StoreTest, ProcessesTakeTurns) {
  for (int round = 0; round < 5; ++round) {
    const fs::path path = dir_ / fmt::format("turns-{}", round);
    std::vector<std::unique_ptr<Writer>> writers;  // they make the file at the same moment, too
    for (const char* name : {"a", "b", "c"}) writers.push_back(std::make_unique<Writer>(path, name, "12"));
    std::set<std::int64_t> seqs;
    for (auto& writer : writers) {
      EXPECT_EQ(writer->end(), 0);
      for (const auto& [seq, data] : writer->acknowledged()) EXPECT_TRUE(seqs.insert(seq).second) << "twice: " << seq;
    }
    const std::vector<Event> events = Store::open(path, Mode::existing).since(0);
    EXPECT_EQ(events.size(), 3 * 24u);
    EXPECT_EQ(seqs.size(), events.size());
    expect_whole_batches(events);
  }
}

TEST_F(StoreTest, BacksUpWhileAnotherWrites) {
  Writer writer(path_, "w");
  writer.listen(std::chrono::seconds(30), 1);
  Store store = Store::open(path_, Mode::existing);
  for (int i = 0; i < 8; ++i) {
    const fs::path copy = dir_ / fmt::format("copy-{}", i);
    const std::int64_t before = store.last();
    store.backup_to(copy);
    EXPECT_FALSE(fs::exists(dir_ / fmt::format("copy-{}.part", i)));
    EXPECT_FALSE(fs::exists(dir_ / fmt::format("copy-{}-wal", i))) << "a backup is one file";
    const std::vector<Event> events = Store::open(copy, i % 2 ? Mode::read_only : Mode::existing).since(0);
    EXPECT_GE(static_cast<std::int64_t>(events.size()), before);
    expect_whole_batches(events);
    const std::vector<Event> now = store.since(0);
    ASSERT_GE(now.size(), events.size());
    for (size_t k = 0; k < events.size(); ++k) ASSERT_EQ(now[k].data, events[k].data);
    writer.listen(std::chrono::milliseconds(30));
  }
  EXPECT_EQ(Store::open(dir_ / "copy-0", Mode::existing).append({event(1)}, kAt).size(), 1u);
}

TEST_F(StoreTest, BacksUpOnlyToANewFileInAFolderThatIsThere) {
  fill(4);
  Store store = Store::open(path_, Mode::existing);
  EXPECT_SAYS(refusal([&] { store.backup_to(path_); }), "something of that name already");
  EXPECT_SAYS(refusal([&] { store.backup_to(dir_); }), "something of that name already");
  EXPECT_SAYS(refusal([&] { store.backup_to(dir_ / "stick" / "copy"); }), "its folder is not there");
  EXPECT_FALSE(fs::exists(dir_ / "stick"));
  EXPECT_THROW(store.backup_to(""), BadInput);
  write_file(dir_ / "copy.part", "left by a backup that was cut short");
  store.backup_to(dir_ / "copy");
  EXPECT_FALSE(fs::exists(dir_ / "copy.part"));
  path_ = dir_ / "copy";
  expect_filled(4);
  Store memory = Store::in_memory();
  memory.append({event(1)}, kAt);
  memory.backup_to(dir_ / "from-memory");
  path_ = dir_ / "from-memory";
  expect_filled(1);
}

// ---- Killed at any moment

TEST_F(StoreTest, KeepsWhatItAcknowledgedWhenKilled) {
  constexpr unsigned kSeed = 20260504;
  std::mt19937 random(kSeed);
  std::map<std::int64_t, std::string> promised;
  size_t promises = 0;
  for (int round = 0; round < 45; ++round) {
    if (round % 5 == 0) {  // a new file: the kill may come while it is being made
      promised.clear();
      path_ = dir_ / fmt::format("killed-{}", round);
    }
    const std::chrono::microseconds alive{random() % 60000};
    SCOPED_TRACE(fmt::format("seed {}, round {}, killed after {} us", kSeed, round, alive.count()));
    Writer writer(path_, "w");
    if (round % 2) writer.listen(std::chrono::seconds(30), 1);  // or not even started
    writer.listen(alive);
    ASSERT_TRUE(WIFSIGNALED(writer.end(SIGKILL)));
    for (const auto& [seq, data] : writer.acknowledged()) {
      EXPECT_TRUE(promised.emplace(seq, data).second) << "number " << seq << " given twice";
      ++promises;
    }
    const Store store = Store::open(path_, Mode::create);  // checks the file
    const std::vector<Event> events = store.since(0);
    expect_whole_batches(events);
    for (const auto& [seq, data] : promised) {
      ASSERT_LE(seq, static_cast<std::int64_t>(events.size())) << "lost";
      ASSERT_EQ(events[static_cast<size_t>(seq - 1)].data, data);
    }
  }
  EXPECT_GT(promises, 20u);
}

}  // namespace
}  // namespace crankwise
