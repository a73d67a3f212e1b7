// The power goes at any moment: what was acknowledged is on the disk, and the file opens.
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sqlite3.h>

#include <algorithm>
#include <filesystem>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <random>
#include <set>

#include "tests/store_case.h"

namespace crankwise {
namespace {

using namespace test;

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
