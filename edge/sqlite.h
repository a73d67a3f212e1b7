// What the store needs of SQLite, with every failure thrown as BadInput that says what would be right.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <string>
#include <string_view>

namespace crankwise::sqlite {

/// A connection and what to say when it fails.
struct Db {
  sqlite3* handle;
  std::string file;
  std::string outcome;  // of a failure, as "nothing of this entry was kept"
};

[[noreturn]] void refuse(const std::string& file, std::string wrong, std::string right);
[[noreturn]] void refuse_unknown(const std::string& file);
[[noreturn]] void refuse_damaged(const std::string& file, std::string_view how);
[[noreturn]] void fail(const Db& db, int code);

void run(const Db& db, const std::string& sql);
/// The first column of the first row; 0 if there is none.
std::int64_t number(const Db& db, std::string_view sql);

class Statement {
 public:
  Statement(const Db& db, std::string_view sql) : db_(db) {
    check(sqlite3_prepare_v2(db.handle, sql.data(), static_cast<int>(sql.size()), &statement_, nullptr));
  }
  Statement(const Statement&) = delete;
  Statement& operator=(const Statement&) = delete;
  ~Statement() { sqlite3_finalize(statement_); }

  Statement& bind(int at, std::int64_t value) {
    check(sqlite3_bind_int64(statement_, at, value));
    return *this;
  }
  Statement& bind(int at, std::string_view text) {
    const char* bytes = text.data() ? text.data() : "";  // a null pointer would bind NULL
    check(sqlite3_bind_text64(statement_, at, bytes, text.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
    return *this;
  }
  Statement& bind_bytes(int at, std::string_view bytes) {
    check(sqlite3_bind_blob64(statement_, at, bytes.data() ? bytes.data() : "", bytes.size(), SQLITE_TRANSIENT));
    return *this;
  }
  /// SQLITE_ROW, SQLITE_DONE or an error.
  int try_step() { return sqlite3_step(statement_); }
  /// True if there is a row.
  bool step() {
    const int code = try_step();
    if (code != SQLITE_ROW && code != SQLITE_DONE) fail(db_, code);
    return code == SQLITE_ROW;
  }
  void reset() { sqlite3_reset(statement_); }
  std::int64_t integer(int column) { return sqlite3_column_int64(statement_, column); }
  std::string text(int column) {
    const auto* bytes = reinterpret_cast<const char*>(sqlite3_column_text(statement_, column));
    if (!bytes) return {};
    return {bytes, static_cast<size_t>(sqlite3_column_bytes(statement_, column))};
  }
  std::string bytes(int column) {
    const auto* bytes = static_cast<const char*>(sqlite3_column_blob(statement_, column));
    if (!bytes) return {};
    return {bytes, static_cast<size_t>(sqlite3_column_bytes(statement_, column))};
  }

 private:
  void check(int code) const {
    if (code != SQLITE_OK) fail(db_, code);
  }

  const Db& db_;
  sqlite3_stmt* statement_ = nullptr;
};

/// One moment's state for everything read in it. A writing one keeps others from writing, and undoes all unless
/// committed.
class Transaction {
 public:
  enum class Kind { reading, writing };
  Transaction(const Db& db, Kind kind) : db_(db) { run(db_, kind == Kind::writing ? "BEGIN IMMEDIATE" : "BEGIN"); }
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  ~Transaction() {
    if (!sqlite3_get_autocommit(db_.handle)) sqlite3_exec(db_.handle, "ROLLBACK", nullptr, nullptr, nullptr);
  }
  void commit() { run(db_, "COMMIT"); }

 private:
  const Db& db_;
};

}  // namespace crankwise::sqlite
