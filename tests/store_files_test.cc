// Store files that are not there, not ours, not sound, or on a disk that takes nothing.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <random>

#include "tests/store_case.h"

namespace crankwise {
namespace {

using namespace test;

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
  run(Foreign(path_).db, "PRAGMA user_version = 4");
  for (const Mode mode : {Mode::create, Mode::existing, Mode::read_only}) {
    EXPECT_SAYS(refusal([&] { Store::open(path_, mode); }),
                "written by a newer crankwise (format 4, this one knows 3)");
  }
  run(Foreign(path_).db, "PRAGMA user_version = 0");
  EXPECT_SAYS(refusal([&] { Store::open(path_, Mode::existing); }), "damaged (format 0)");
  run(Foreign(path_).db, "PRAGMA user_version = 3");
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

}  // namespace
}  // namespace crankwise
