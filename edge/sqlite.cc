#include "edge/sqlite.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <new>

#include "edge/problem.h"

namespace crankwise::sqlite {

void refuse(const std::string& file, std::string wrong, std::string right) {
  throw BadInput({.file = file, .field = "", .wrong = std::move(wrong), .right = std::move(right)});
}

void refuse_unknown(const std::string& file) {
  refuse(file, "this is not a crankwise file, or its beginning is damaged",
         "the path of a crankwise file, or the latest backup if this was one");
}

void refuse_damaged(const std::string& file, std::string_view how) {
  // A log left beside a restored file would be replayed into it, hence "with".
  refuse(file, fmt::format("the file is damaged ({})", how),
         "the latest backup put in its place, after this file has been moved away (not deleted) together with any "
         "file beside it whose name goes on with -wal, -shm or -journal");
}

void fail(const Db& db, int code) {
  const int system = sqlite3_system_errno(db.handle);
  const std::string reason = system != 0 ? std::strerror(system) : sqlite3_errmsg(db.handle);
  const bool full = system == ENOSPC || system == EDQUOT;
  switch (code & 0xff) {
    case SQLITE_NOMEM:
      throw std::bad_alloc();
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      throw NotNow({db.file, 0, "", "another program is writing, " + db.outcome, "close it, or try again in a moment"});
    case SQLITE_READONLY:
      refuse(db.file, "open for reading only, " + db.outcome, "a file that may be written");
    case SQLITE_CORRUPT:
      refuse_damaged(db.file, sqlite3_errmsg(db.handle));
    case SQLITE_NOTADB:
      refuse_unknown(db.file);
    case SQLITE_FULL:
    case SQLITE_IOERR:
    case SQLITE_CANTOPEN:
      if (full || (code & 0xff) == SQLITE_FULL) {
        throw NotNow({db.file, 0, "", "disk full, " + db.outcome, "some room on the disk, then the same again"});
      }
      if ((code & 0xff) == SQLITE_CANTOPEN) {
        refuse(db.file, "cannot be opened: " + reason, "a file and a folder that you may read and write");
      }
      throw NotNow({db.file, 0, "", "reading or writing failed: " + reason,
                    "a sound disk; see what is in the file before going on"});
    default:
      refuse(db.file, fmt::format("{}, {}", sqlite3_errmsg(db.handle), db.outcome), "a sound crankwise file");
  }
}

void run(const Db& db, const std::string& sql) {
  if (const int code = sqlite3_exec(db.handle, sql.c_str(), nullptr, nullptr, nullptr); code != SQLITE_OK) {
    fail(db, code);
  }
}

std::int64_t number(const Db& db, std::string_view sql) {
  Statement statement(db, sql);
  return statement.step() ? statement.integer(0) : 0;
}

}  // namespace crankwise::sqlite
