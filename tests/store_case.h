// A store file of its own for each case, and other programs that meddle with it.
#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <sqlite3.h>
#include <unistd.h>

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "edge/problem.h"
#include "edge/store.h"
#include "tests/temporary_folder.h"

namespace crankwise {

struct StorePeer {
  static sqlite3* handle(const Store& store) { return store.db_.get(); }
};

namespace test {

namespace fs = std::filesystem;
using Mode = Store::Mode;
using testing::Test;

constexpr const char* kAt = "2026-05-04T17:30:00.000Z";

/// The message of the BadInput that `body` throws, which must name the file; "" if it throws none.
inline std::string refusal(const std::function<void()>& body) {
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
inline std::string run(sqlite3* db, const std::string& sql) {
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

inline NewEvent event(int i) { return {fmt::format("job-{}", i % 3), "finding", fmt::format(R"({{"i":{}}})", i)}; }

#define EXPECT_SAYS(text, part) EXPECT_NE((text).find(part), std::string::npos) << "said: " << (text)

class StoreTest : public TemporaryFolder {
 protected:
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

  fs::path path_ = dir_ / "bikes.crankwise";
};

}  // namespace test
}  // namespace crankwise
