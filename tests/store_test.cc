#include "edge/store.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sched.h>
#include <signal.h>
#include <sqlite3.h>
#include <sys/mount.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstring>
#include <fstream>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <random>
#include <set>
#include <sstream>
#include <thread>

#include "edge/problem.h"

namespace crankwise {

struct StorePeer {
  static sqlite3* handle(const Store& store) { return store.db_.get(); }
};

namespace {

namespace fs = std::filesystem;
using Mode = Store::Mode;
using testing::Test;

constexpr const char* kAt = "2026-05-04T17:30:00.000Z";

std::string read_file(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void write_file(const fs::path& path, std::string_view bytes) { std::ofstream(path, std::ios::binary) << bytes; }

/// The message of the BadInput that `body` throws; "" if it throws none. Each problem must say what would be right.
std::string refusal(const std::function<void()>& body) {
  try {
    body();
  } catch (const BadInput& e) {
    for (const Problem& p : e.problems())
      EXPECT_FALSE(p.file.empty() || p.wrong.empty() || p.right.empty()) << e.what();
    return e.what();
  }
  return "";
}

/// "" if the statement works, else SQLite's message.
std::string run(sqlite3* db, const std::string& sql) {
  const int code = sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr);
  return code == SQLITE_OK ? "" : sqlite3_errmsg(db);
}

/// A connection such as any other program might make.
struct Foreign {
  explicit Foreign(const fs::path& path) { sqlite3_open(path.c_str(), &db); }
  Foreign(const Foreign&) = delete;
  Foreign& operator=(const Foreign&) = delete;
  ~Foreign() { sqlite3_close(db); }
  sqlite3* db = nullptr;
};

NewEvent event(int i) { return {fmt::format("job-{}", i % 3), "finding", fmt::format(R"({{"i":{}}})", i)}; }

#define EXPECT_SAYS(text, part) EXPECT_NE((text).find(part), std::string::npos) << "said: " << (text)

class StoreTest : public Test {
 protected:
  StoreTest() {
    std::string name = (fs::temp_directory_path() / "crankwise-store-XXXXXX").string();
    dir_ = ::mkdtemp(name.data());
    path_ = dir_ / "bikes.crankwise";
  }
  ~StoreTest() override { fs::remove_all(dir_); }

  /// A file with events 1 to n, closed.
  void fill(int n) const {
    Store store = Store::open(path_, Mode::create);
    std::vector<NewEvent> events;
    for (int i = 1; i <= n; ++i) events.push_back(event(i));
    store.append(events, kAt);
  }
  /// As every program that finds it must: n events, numbered 1 to n, as `fill` wrote them.
  void expect_filled(int n) const {
    const std::vector<Event> events = Store::open(path_, Mode::read_only).since(0);
    ASSERT_EQ(events.size(), static_cast<size_t>(n));
    for (int i = 1; i <= n; ++i) {
      const Event& e = events[static_cast<size_t>(i - 1)];
      EXPECT_EQ(e.seq, i);
      EXPECT_EQ(e.data, event(i).data);
    }
  }

  fs::path dir_, path_;
};

// ---- The log

TEST_F(StoreTest, GivesBackWhatWasAppended) {
  const std::vector<NewEvent> in = {{"bike-1", "bike", R"({"cycle":"two-stroke"})"},
                                    {"job-1", "words", R"({"text":"läuft nicht hoch, 4° früh; \"bogs\"\n☂"})"},
                                    {"job-1", "empty", "{}"},
                                    {"job-1", "long", "\"" + std::string(100000, 'x') + "\""}};
  Store store = Store::open(path_, Mode::create);
  const std::vector<Event> out = store.append(in, kAt);
  ASSERT_EQ(out.size(), in.size());
  for (int round = 0; round < 2; ++round) {
    const std::vector<Event> read = round == 0 ? store.since(0) : Store::open(path_, Mode::existing).since(0);
    ASSERT_EQ(read.size(), in.size());
    for (size_t i = 0; i < in.size(); ++i) {
      EXPECT_EQ(read[i].subject, in[i].subject);
      EXPECT_EQ(read[i].kind, in[i].kind);
      EXPECT_EQ(read[i].data, in[i].data);
      EXPECT_EQ(read[i].at, kAt);
      EXPECT_EQ(read[i].seq, static_cast<std::int64_t>(i + 1));
      EXPECT_EQ(out[i].seq, read[i].seq);
      EXPECT_EQ(out[i].data, read[i].data);
      EXPECT_EQ(out[i].at, kAt);
    }
  }
}

TEST_F(StoreTest, NumbersInOrderAndReadsFromAnywhere) {
  Store store = Store::in_memory();
  EXPECT_EQ(store.last(), 0);
  EXPECT_TRUE(store.since(0).empty());
  for (int i = 1; i <= 20; ++i) EXPECT_EQ(store.append({event(i)}, kAt).at(0).seq, i);
  EXPECT_TRUE(store.append({}, kAt).empty());
  EXPECT_EQ(store.last(), 20);
  for (int from = -1; from <= 21; ++from) {
    const std::vector<Event> events = store.since(from);
    ASSERT_EQ(events.size(), static_cast<size_t>(20 - std::clamp(from, 0, 20)));
    for (size_t i = 0; i < events.size(); ++i) EXPECT_EQ(events[i].seq, std::max(from, 0) + static_cast<int>(i) + 1);
  }
}

TEST_F(StoreTest, ReopensAndMakesFolders) {
  path_ = dir_ / "a b" / "ü#?%41" / "bikes.crankwise";
  fill(5);
  for (const Mode mode : {Mode::create, Mode::existing, Mode::read_only}) EXPECT_EQ(Store::open(path_, mode).last(), 5);
  EXPECT_EQ(Store::open(path_, Mode::existing).append({event(6)}, kAt).at(0).seq, 6);
  expect_filled(6);
}

TEST_F(StoreTest, NamesThatSqliteTreatsSpeciallyAreFiles) {
  const fs::path before = fs::current_path();
  fs::current_path(dir_);
  for (const char* name : {":memory:", "file:x?mode=memory"}) {
    Store::open(name, Mode::create).append({event(1)}, kAt);
    EXPECT_EQ(Store::open(name, Mode::existing).last(), 1);
    EXPECT_TRUE(fs::exists(dir_ / name));
  }
  fs::current_path(before);
}

TEST_F(StoreTest, AppendsAllOrNothing) {
  fill(2);
  Store store = Store::open(path_, Mode::existing);
  const std::string deep = std::string(3000, '[') + std::string(3000, ']');  // beyond what SQLite reads
  const struct {
    NewEvent event;
    std::string at, says;
  } cases[] = {
      {{"job-1", "finding", "{\"i\":"}, kAt, "the data is JSON"},
      {{"job-1", "finding", ""}, kAt, "the data is JSON"},
      {{"job-1", "finding", "{} {}"}, kAt, "the data is JSON"},
      {{"job-1", "finding", "\"\xff\""}, kAt, "the data is JSON"},
      {{"job-1", "finding", std::string("{}\0", 3)}, kAt, "the data is JSON"},
      {{"job-1", "finding", R"("\ud800")"}, kAt, "the data is JSON"},
      {{"job-1", "finding", deep}, kAt, "the data is JSON"},
      {{"", "finding", "{}"}, kAt, "the subject is not empty"},
      {{"job\xc0", "finding", "{}"}, kAt, "the subject is UTF-8 text"},
      {{std::string("a\0b", 3), "finding", "{}"}, kAt, "the subject is UTF-8 text"},
      {{"job-1", "", "{}"}, kAt, "the kind is not empty"},
      {{"job-1", "\x80", "{}"}, kAt, "the kind is UTF-8 text"},
  };
  for (const auto& c : cases) {
    const std::string said = refusal([&] { store.append({event(3), c.event}, c.at); });
    EXPECT_SAYS(said, c.says);
    EXPECT_SAYS(said, "event 2 of 2");
    EXPECT_SAYS(said, "nothing of this entry was kept");
    EXPECT_EQ(store.last(), 2);
  }
  for (const char* at :
       {"", "now", "2026-05-04T17:30:00Z", "2026-05-04 17:30:00.000Z", "2026-05-04T17:30:00.000+02:00"}) {
    EXPECT_SAYS(refusal([&] { store.append({event(3)}, at); }), "the time is UTC like");
  }
  EXPECT_SAYS(refusal([&] { store.append({event(3)}, {}); }), "the time is UTC like");
  const std::string both = refusal([&] { store.append({{"a", "b", "{"}, event(3), {"a", "b", "}"}}, kAt); });
  EXPECT_SAYS(both, "event 1 of 3");
  EXPECT_SAYS(both, "event 3 of 3");
  EXPECT_EQ(store.append({event(3)}, kAt).at(0).seq, 3);
  expect_filled(3);
}

TEST_F(StoreTest, NobodyChangesWhatIsWritten) {
  fill(3);
  {
    Foreign other(path_);
    const std::string row = "'2026-05-04T17:30:00.000Z','s','k'";
    EXPECT_SAYS(run(other.db, "UPDATE events SET data = '{}' WHERE seq = 2"), "never changed");
    EXPECT_SAYS(run(other.db, "UPDATE OR REPLACE events SET seq = 1 WHERE seq = 2"), "never changed");
    EXPECT_SAYS(run(other.db, "DELETE FROM events WHERE seq = 3"), "never deleted");
    EXPECT_SAYS(run(other.db, "DELETE FROM events"), "never deleted");
    EXPECT_SAYS(run(other.db, "INSERT OR REPLACE INTO events VALUES (3," + row + ",'{}')"), "never replaced");
    EXPECT_SAYS(run(other.db, "REPLACE INTO events VALUES (1," + row + ",'{}')"), "never replaced");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (3," + row + ",'{}') ON CONFLICT DO UPDATE SET data = '1'"),
                "never");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (9," + row + ",'{}')"), "without holes");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (0," + row + ",'{}')"), "the number is 1 or more");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (4," + row + ",'{')"), "the data is JSON");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (4," + row + ",NULL)"), "NOT NULL");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (4,'x','s','k','{}')"), "the time is UTC");
    EXPECT_SAYS(run(other.db, "INSERT INTO events VALUES (4," + row + ",x'7b7d')"), "cannot store BLOB");
  }
  expect_filled(3);
}

// ---- Files that are not there, not ours, or not sound

TEST_F(StoreTest, SaysWhyAFileCannotBeOpened) {
  for (const Mode mode : {Mode::existing, Mode::read_only}) {
    EXPECT_SAYS(refusal([&] { Store::open(path_, mode); }), path_.string() + ": there is no such file");
    EXPECT_SAYS(refusal([&] { Store::open(dir_ / "no" / "x", mode); }), "there is no such file");
  }
  EXPECT_TRUE(fs::is_empty(dir_));
  for (const Mode mode : {Mode::create, Mode::existing, Mode::read_only}) {
    EXPECT_SAYS(refusal([&] { Store::open(dir_, mode); }), "this is a folder");
    EXPECT_SAYS(refusal([&] { Store::open(dir_ / "new" / "", mode); }), "this is a folder");
    EXPECT_SAYS(refusal([&] { Store::open("/dev/null", mode); }), "not a plain file");
    EXPECT_NE(refusal([&] { Store::open(dir_ / std::string(300, 'n'), mode); }), "");
  }
  EXPECT_TRUE(fs::is_empty(dir_));
  write_file(dir_ / "note.txt", "not a folder");
  EXPECT_SAYS(refusal([&] { Store::open(dir_ / "note.txt" / "x", Mode::create); }), "there is a file of that name");
  EXPECT_SAYS(refusal([&] { Store::open(dir_ / "note.txt" / "sub" / "x", Mode::create); }),
              "there is a file of that name");
  EXPECT_THROW(Store::open("", Mode::create), BadInput);
}

TEST_F(StoreTest, LeavesForeignFilesAlone) {
  std::string text;
  for (int i = 0; i < 2000; ++i) text += "plug wet, throttle opened slowly\n";
  write_file(dir_ / "text", text);
  write_file(dir_ / "short", "x");
  run(Foreign(dir_ / "plain").db, "CREATE TABLE t (x)");
  run(Foreign(dir_ / "stamped").db, "CREATE TABLE t (x); PRAGMA application_id = 7");
  run(Foreign(dir_ / "numbered").db, "PRAGMA user_version = 1");
  const std::map<std::string, std::string> says = {{"text", "not a crankwise file"},
                                                   {"short", "not a crankwise file"},
                                                   {"plain", "another program (application id 0)"},
                                                   {"stamped", "another program (application id 7)"},
                                                   {"numbered", "another program (application id 0)"}};
  for (const auto& [name, part] : says) {
    const fs::path path = dir_ / name;
    const std::string before = read_file(path);
    for (const Mode mode : {Mode::create, Mode::existing, Mode::read_only}) {
      EXPECT_SAYS(refusal([&] { Store::open(path, mode); }), part);
      EXPECT_EQ(read_file(path), before);
    }
  }
}

TEST_F(StoreTest, RefusesWhatANewerProgramWrote) {
  fill(2);
  run(Foreign(path_).db, "PRAGMA user_version = 2");
  for (const Mode mode : {Mode::create, Mode::existing, Mode::read_only}) {
    EXPECT_SAYS(refusal([&] { Store::open(path_, mode); }),
                "written by a newer crankwise (format 2, this one knows 1)");
  }
  run(Foreign(path_).db, "PRAGMA user_version = 0");
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::existing); }), "damaged (format 0)");
  run(Foreign(path_).db, "PRAGMA user_version = 1");
  expect_filled(2);
}

TEST_F(StoreTest, TakesAnEmptyFileAsNewOnlyWhenCreating) {
  write_file(path_, "");
  for (const Mode mode : {Mode::existing, Mode::read_only}) {
    EXPECT_SAYS(refusal([&] { Store::open(path_, mode); }), "the file is empty");
  }
  fill(1);
  expect_filled(1);
}

TEST_F(StoreTest, RefusesAnEmptiedFileWhoseLogIsThere) {
  Store store = Store::open(path_, Mode::create);
  store.append({event(1)}, kAt);
  const fs::path copy = dir_ / "copy";
  write_file(copy, "");
  write_file(dir_ / "copy-wal", read_file(dir_ / "bikes.crankwise-wal"));
  ASSERT_GT(fs::file_size(dir_ / "copy-wal"), 0u);
  for (const Mode mode : {Mode::create, Mode::existing, Mode::read_only}) {
    EXPECT_SAYS(refusal([&] { Store::open(copy, mode); }), "damaged");
    EXPECT_GT(fs::file_size(dir_ / "copy-wal"), 0u);
  }
}

TEST_F(StoreTest, RefusesATruncatedFile) {
  fill(500);
  const std::string whole = read_file(path_);
  ASSERT_GT(whole.size(), 8 * 4096u);
  for (size_t length = 1; length < whole.size(); length += length < 200 ? 37 : 1777) {
    write_file(path_, std::string_view(whole).substr(0, length));
    for (const Mode mode : {Mode::create, Mode::existing, Mode::read_only}) {
      const std::string said = refusal([&] { Store::open(path_, mode); });
      EXPECT_SAYS(said, path_.string());
      EXPECT_SAYS(said, "damaged");
      EXPECT_SAYS(said, "latest backup");
    }
    ASSERT_EQ(fs::file_size(path_), length) << "a damaged file must be left as it is";
  }
  write_file(path_, whole);
  expect_filled(500);
}

TEST_F(StoreTest, SurvivesAnySpoiltBytes) {
  fill(300);
  const std::string whole = read_file(path_);
  int refused = 0;
  for (unsigned seed = 1; seed <= 150; ++seed) {
    std::mt19937 random(seed);
    std::string spoilt = whole;
    const size_t at = seed % 2 ? random() % spoilt.size() : random() % 8 * 4096 + random() % 100;  // headers, too
    for (size_t i = at; i < std::min(at + 1 + random() % 40, spoilt.size()); ++i)
      spoilt[i] = static_cast<char>(random());
    write_file(path_, spoilt);
    const auto use = [&] {
      Store store = Store::open(path_, seed % 3 ? Mode::existing : Mode::read_only);
      store.since(0);
      if (seed % 3) store.append({event(301)}, kAt);
    };
    SCOPED_TRACE(seed);
    refused += !refusal(use).empty();  // anything but BadInput ends the test
    fs::remove(dir_ / "bikes.crankwise-wal");
    fs::remove(dir_ / "bikes.crankwise-shm");
  }
  EXPECT_GT(refused, 50);
}

TEST_F(StoreTest, NoticesMissingEvents) {
  fill(5);
  run(Foreign(path_).db, "DROP TRIGGER events_are_never_deleted; DELETE FROM events WHERE seq = 3");
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::existing); }), "damaged (1 events missing)");
  run(Foreign(path_).db, "DROP TABLE events");
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::existing); }), "no such table");
}

// ---- Reading only

TEST_F(StoreTest, ReadOnlyReadsAndDoesNotWrite) {
  fill(3);
  Store reader = Store::open(path_, Mode::read_only);
  EXPECT_EQ(reader.since(0).size(), 3u);
  const std::string said = refusal([&] { reader.append({event(4)}, kAt); });
  EXPECT_SAYS(said, "open for reading only");
  EXPECT_SAYS(said, "nothing of this entry was kept");
  Store::open(path_, Mode::existing).append({event(4)}, kAt);
  EXPECT_EQ(reader.last(), 4);
  reader.backup_to(dir_ / "copy");
  path_ = dir_ / "copy";
  expect_filled(4);
}

TEST_F(StoreTest, FilesAndFoldersThatMayNotBeWritten) {
  if (::geteuid() == 0) GTEST_SKIP() << "nothing is forbidden to root; ReadOnlyDisk tests the same";
  fill(2);
  fs::permissions(path_, fs::perms::owner_read);
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::existing); }), "cannot be written: Permission denied");
  expect_filled(2);
  fs::permissions(path_, fs::perms::none);
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::read_only); }), "Permission denied");
  fs::permissions(path_, fs::perms::owner_read | fs::perms::owner_write);
  fs::permissions(dir_, fs::perms::owner_read | fs::perms::owner_exec);
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::existing); }), "its folder cannot be written: Permission denied");
  EXPECT_SAYS(refusal([&] { Store::open(dir_ / "new", Mode::create); }), "Permission denied");
  EXPECT_SAYS(refusal([&] { Store::open(dir_ / "sub" / "new", Mode::create); }), "Permission denied");
  expect_filled(2);
  fs::permissions(dir_, fs::perms::owner_all);
}

/// Runs `body` in a child process that may mount file systems nobody else sees. False if this system does not allow it.
bool with_own_mounts(const std::function<void()>& body) {
  const auto uid = ::geteuid();
  const auto gid = ::getegid();
  std::fflush(nullptr);
  const pid_t child = ::fork();
  if (child == 0) {
    if (::unshare(CLONE_NEWNS) != 0) {
      if (::unshare(CLONE_NEWUSER | CLONE_NEWNS) != 0) ::_exit(77);
      write_file("/proc/self/setgroups", "deny");
      write_file("/proc/self/uid_map", fmt::format("0 {} 1", uid));
      write_file("/proc/self/gid_map", fmt::format("0 {} 1", gid));
    }
    if (::mount("none", "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0) ::_exit(77);
    try {
      body();
    } catch (const std::exception& e) {
      ADD_FAILURE() << e.what();
    }
    std::fflush(nullptr);
    ::_exit(Test::HasFailure() ? 1 : 0);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  if (WIFEXITED(status) && WEXITSTATUS(status) == 77) return false;
  EXPECT_TRUE(WIFEXITED(status) && WEXITSTATUS(status) == 0) << "see above, status " << status;
  return true;
}

bool mount_memory(const fs::path& at, const char* options) {
  return ::mount("crankwise-test", at.c_str(), "tmpfs", 0, options) == 0;
}

TEST_F(StoreTest, ReadOnlyDisk) {
  const bool allowed = with_own_mounts([&] {
    if (!mount_memory(dir_, "size=4m")) ::_exit(77);
    fill(3);
    {
      Store open = Store::open(path_, Mode::existing);
      open.append({event(4)}, kAt);
      fs::copy_file(path_, dir_ / "unclean");
      fs::copy_file(dir_ / "bikes.crankwise-wal", dir_ / "unclean-wal");
    }
    ASSERT_EQ(::mount("none", dir_.c_str(), nullptr, MS_REMOUNT | MS_RDONLY, nullptr), 0) << std::strerror(errno);
    for (const Mode mode : {Mode::create, Mode::existing}) {
      EXPECT_SAYS(refusal([&] { Store::open(path_, mode); }), "cannot be written: Read-only file system");
    }
    EXPECT_SAYS(refusal([&] { Store::open(dir_ / "new", Mode::create); }), "Read-only file system");
    EXPECT_SAYS(refusal([&] { Store::open(dir_ / "sub" / "new", Mode::create); }), "Read-only file system");
    expect_filled(4);
    Store reader = Store::open(path_, Mode::read_only);
    EXPECT_SAYS(refusal([&] { reader.append({event(5)}, kAt); }), "open for reading only");
    EXPECT_SAYS(refusal([&] { reader.backup_to(dir_ / "copy"); }), "Read-only file system");
    // Its log holds an event, and cannot be read where no lock can be kept: say so rather than leave the event out.
    EXPECT_SAYS(refusal([&] { Store::open(dir_ / "unclean", Mode::read_only); }), "cannot be opened");
  });
  if (!allowed) GTEST_SKIP() << "this system does not allow mounting";
}

// ---- A full disk

void expect_full(Store& store, const std::function<void()>& make_room) {
  const std::int64_t before = store.last();
  const std::vector<NewEvent> much(300, {"job-1", "note", "\"" + std::string(2000, 'x') + "\""});
  const std::string said = refusal([&] { store.append(much, kAt); });
  EXPECT_SAYS(said, "disk full, nothing of this entry was kept");
  EXPECT_EQ(store.last(), before);
  EXPECT_EQ(store.since(0).size(), static_cast<size_t>(before));
  make_room();
  EXPECT_EQ(store.append({event(static_cast<int>(before) + 1)}, kAt).at(0).seq, before + 1);
}

TEST_F(StoreTest, FullByPageLimit) {
  fill(3);
  {
    Store store = Store::open(path_, Mode::existing);
    ASSERT_EQ(run(StorePeer::handle(store), "PRAGMA max_page_count = 20"), "");
    expect_full(store, [] {});  // one small event still fits
    ASSERT_EQ(run(StorePeer::handle(store), "PRAGMA max_page_count = 100000"), "");
    store.append({event(5)}, kAt);
  }
  expect_filled(5);
}

TEST_F(StoreTest, FullDisk) {
  const bool allowed = with_own_mounts([&] {
    if (!mount_memory(dir_, "size=400k")) ::_exit(77);
    fill(3);
    {
      Store store = Store::open(path_, Mode::existing);
      write_file(dir_ / "ballast", std::string(60000, 'x'));
      expect_full(store, [&] { fs::remove(dir_ / "ballast"); });
    }
    expect_filled(4);
    {
      Store store = Store::open(path_, Mode::existing);
      std::ofstream(dir_ / "ballast") << std::string(1000000, 'x');  // all there is
      EXPECT_SAYS(refusal([&] { store.backup_to(dir_ / "copy"); }), "disk full, no backup was made");
      EXPECT_FALSE(fs::exists(dir_ / "copy"));
      EXPECT_FALSE(fs::exists(dir_ / "copy.part"));
    }
    const std::string said = refusal([&] { Store::open(dir_ / "new", Mode::create); });
    EXPECT_SAYS(said, "disk full, the file was not opened");
    fs::remove(dir_ / "ballast");
    EXPECT_EQ(Store::open(dir_ / "new", Mode::create).last(), 0);
    expect_filled(4);
  });
  if (!allowed) GTEST_SKIP() << "this system does not allow mounting";
}

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

// ---- Power cut at any moment

/// A disk under SQLite that remembers what has been synced, so that it can show what a power cut would leave: all that
/// was synced, and of each later write all, some or nothing. Making and deleting a file count as done at once.
class CutDisk {
 public:
  using Image = std::map<std::string, std::string>;

  CutDisk() {
    real_ = sqlite3_vfs_find(nullptr);
    vfs_ = *real_;
    vfs_.zName = "crankwise-cut-disk";
    vfs_.szOsFile = static_cast<int>(sizeof(File)) + real_->szOsFile;
    vfs_.pAppData = this;
    vfs_.xOpen = open;
    vfs_.xDelete = remove;
    sqlite3_vfs_register(&vfs_, 1);
  }
  CutDisk(const CutDisk&) = delete;
  CutDisk& operator=(const CutDisk&) = delete;
  ~CutDisk() {
    sqlite3_vfs_unregister(&vfs_);
    sqlite3_vfs_register(real_, 1);
  }

  /// What a power cut now would leave.
  Image image(std::mt19937& random) const {
    Image image;
    for (const auto& [name, file] : files_) {
      std::string& bytes = image[name] = file.synced;
      for (const Write& write : file.since) {
        const unsigned fate = random() % 3;
        if (fate == 0) continue;
        Write some = write;
        if (fate == 1 && some.bytes) some.bytes->resize(random() % (some.bytes->size() + 1));
        apply(some, bytes);
      }
    }
    return image;
  }
  /// What a power cut now would leave if it took every write that was not synced.
  Image worst() const {
    Image image;
    for (const auto& [name, file] : files_) image[name] = file.synced;
    return image;
  }

  std::function<void()> before_each;  // change of the disk
  int syncs = 0;

 private:
  struct Write {
    size_t offset;
    std::optional<std::string> bytes;  // none: the file is cut off at offset
  };
  struct Content {
    std::string synced;
    std::vector<Write> since;
  };
  struct File {
    sqlite3_file base;
    CutDisk* disk;
    Content* content;  // null: a nameless file
    sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
  };
  static File& file(sqlite3_file* f) { return *reinterpret_cast<File*>(f); }
  static sqlite3_file* real(sqlite3_file* f) { return file(f).real(); }

  static void apply(const Write& write, std::string& bytes) {
    if (!write.bytes) {
      bytes.resize(std::min(bytes.size(), write.offset));
    } else if (!write.bytes->empty()) {
      bytes.resize(std::max(bytes.size(), write.offset + write.bytes->size()));
      bytes.replace(write.offset, write.bytes->size(), *write.bytes);
    }
  }

  void about_to_change() {
    if (before_each) before_each();
  }

  static int open(sqlite3_vfs* vfs, const char* name, sqlite3_file* f, int flags, int* out) {
    auto* self = static_cast<CutDisk*>(vfs->pAppData);
    File& mine = file(f);
    mine = {{nullptr}, self, nullptr};
    const bool there = name && fs::exists(name);
    if (name && !there) self->about_to_change();
    const int code = self->real_->xOpen(self->real_, name, mine.real(), flags, out);
    if (!mine.real()->pMethods) return code;
    if (name) {
      const bool known = self->files_.contains(name);
      mine.content = &self->files_[name];
      if (!known && there) mine.content->synced = read_file(name);
    }
    mine.base.pMethods = &kMethods;
    return code;
  }
  static int remove(sqlite3_vfs* vfs, const char* name, int sync_folder) {
    auto* self = static_cast<CutDisk*>(vfs->pAppData);
    self->about_to_change();
    self->files_.erase(name);
    return self->real_->xDelete(self->real_, name, sync_folder);
  }
  static int write(sqlite3_file* f, const void* bytes, int size, sqlite3_int64 offset) {
    file(f).disk->about_to_change();
    if (Content* content = file(f).content) {
      content->since.push_back(
          {static_cast<size_t>(offset), std::string(static_cast<const char*>(bytes), static_cast<size_t>(size))});
    }
    return real(f)->pMethods->xWrite(real(f), bytes, size, offset);
  }
  static int truncate(sqlite3_file* f, sqlite3_int64 size) {
    file(f).disk->about_to_change();
    if (Content* content = file(f).content) content->since.push_back({static_cast<size_t>(size), {}});
    return real(f)->pMethods->xTruncate(real(f), size);
  }
  static int sync(sqlite3_file* f, int) {
    file(f).disk->about_to_change();
    ++file(f).disk->syncs;
    if (Content* content = file(f).content) {
      for (const Write& w : content->since) apply(w, content->synced);
      content->since.clear();
    }
    return SQLITE_OK;
  }

  static const sqlite3_io_methods kMethods;

  sqlite3_vfs* real_;
  sqlite3_vfs vfs_;
  std::map<std::string, Content> files_;
};

const sqlite3_io_methods CutDisk::kMethods = {
    .iVersion = 2,
    .xClose = [](sqlite3_file* f) { return real(f)->pMethods->xClose(real(f)); },
    .xRead = [](sqlite3_file* f, void* to, int n,
                sqlite3_int64 at) { return real(f)->pMethods->xRead(real(f), to, n, at); },
    .xWrite = write,
    .xTruncate = truncate,
    .xSync = sync,
    .xFileSize = [](sqlite3_file* f, sqlite3_int64* size) { return real(f)->pMethods->xFileSize(real(f), size); },
    .xLock = [](sqlite3_file* f, int lock) { return real(f)->pMethods->xLock(real(f), lock); },
    .xUnlock = [](sqlite3_file* f, int lock) { return real(f)->pMethods->xUnlock(real(f), lock); },
    .xCheckReservedLock = [](sqlite3_file* f, int* out) { return real(f)->pMethods->xCheckReservedLock(real(f), out); },
    .xFileControl = [](sqlite3_file* f, int op,
                       void* arg) { return real(f)->pMethods->xFileControl(real(f), op, arg); },
    .xSectorSize = [](sqlite3_file* f) { return real(f)->pMethods->xSectorSize(real(f)); },
    .xDeviceCharacteristics = [](sqlite3_file* f) { return real(f)->pMethods->xDeviceCharacteristics(real(f)); },
    .xShmMap = [](sqlite3_file* f, int page, int size, int extend,
                  void volatile** out) { return real(f)->pMethods->xShmMap(real(f), page, size, extend, out); },
    .xShmLock = [](sqlite3_file* f, int offset, int n,
                   int flags) { return real(f)->pMethods->xShmLock(real(f), offset, n, flags); },
    .xShmBarrier = [](sqlite3_file* f) { real(f)->pMethods->xShmBarrier(real(f)); },
    .xShmUnmap = [](sqlite3_file* f, int remove_it) { return real(f)->pMethods->xShmUnmap(real(f), remove_it); },
    .xFetch = nullptr,
    .xUnfetch = nullptr,
};

/// Puts an image into a folder of its own, and returns where the file `name` is now.
fs::path lay_out(const CutDisk::Image& image, const fs::path& folder, const fs::path& name) {
  fs::remove_all(folder);
  fs::create_directory(folder);
  for (const auto& [path, bytes] : image) write_file(folder / fs::path(path).filename(), bytes);
  return folder / name.filename();
}

TEST_F(StoreTest, IsOnTheDiskWhenAppendReturns) {
  for (int n = 1; n <= 12; ++n) {
    CutDisk::Image left;
    {
      CutDisk disk;
      Store store = Store::open(path_, Mode::create);
      const int before = disk.syncs;
      store.append({event(n)}, kAt);
      EXPECT_GT(disk.syncs, before);
      left = disk.worst();
    }
    const Store after = Store::open(lay_out(left, dir_ / "after", path_), Mode::existing);
    ASSERT_EQ(after.last(), n);
    EXPECT_EQ(after.since(n - 1).at(0).data, event(n).data);
  }
}

TEST_F(StoreTest, SurvivesAPowerCutAtAnyMoment) {
  int moments = 0;     // changes of the disk in one whole story
  std::set<int> kept;  // numbers of events found afterwards
  const auto story = [&](int cut_at, std::mt19937& random) {
    fs::remove_all(dir_ / "before");
    const fs::path path = dir_ / "before" / "bikes.crankwise";
    CutDisk disk;
    CutDisk::Image left;
    int safe = 0, safe_then = 0, moment = 0;
    disk.before_each = [&] {
      if (++moment == cut_at) left = disk.image(random), safe_then = safe;
    };
    for (int opened = 0, i = 0; opened < 3; ++opened) {
      Store store = Store::open(path, Mode::create);
      run(StorePeer::handle(store), "PRAGMA wal_autocheckpoint = 6");
      for (int batch = 0; batch < 5; ++batch) {
        std::vector<NewEvent> events;
        for (int k = 0; k < 3; ++k, ++i) {
          events.push_back({"job-1", "note", fmt::format(R"({{"i":{},"pad":"{}"}})", i + 1, std::string(1500, 'p'))});
        }
        store.append(events, kAt);
        safe = i;
      }
    }
    moments = moment;
    return std::pair{left, safe_then};
  };
  std::mt19937 count_only(0);
  story(-1, count_only);
  ASSERT_GT(moments, 100);
  for (unsigned seed = 1; seed <= 120; ++seed) {
    std::mt19937 random(seed);
    const int cut_at = 1 + static_cast<int>(random() % static_cast<unsigned>(moments));
    SCOPED_TRACE(fmt::format("seed {}, cut at change {} of {}", seed, cut_at, moments));
    const auto [left, safe] = story(cut_at, random);
    Store store = Store::open(lay_out(left, dir_ / "after", path_), Mode::create);
    const std::vector<Event> events = store.since(0);
    const int found = static_cast<int>(events.size());
    ASSERT_GE(found, safe);
    ASSERT_LE(found, safe + 3);
    ASSERT_EQ(found % 3, 0) << "a batch is cut";
    for (int k = 0; k < found; ++k) {
      ASSERT_EQ(nlohmann::json::parse(events[static_cast<size_t>(k)].data).at("i"), k + 1);
    }
    EXPECT_EQ(store.append({event(1)}, kAt).at(0).seq, found + 1);
    kept.insert(found);
  }
  EXPECT_GT(kept.size(), 10u);
}

}  // namespace
}  // namespace crankwise
