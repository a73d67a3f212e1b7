#include "edge/store.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstring>
#include <iterator>
#include <new>
#include <nlohmann/json.hpp>
#include <thread>

#include "edge/digest.h"
#include "edge/problem.h"
#include "edge/sqlite.h"

namespace crankwise {

namespace embedded {
extern const char* const schema_01_events;
extern const char* const schema_02_attachments;
extern const char* const schema_03_receipts;
}  // namespace embedded

namespace {

namespace fs = std::filesystem;
using namespace sqlite;

constexpr std::int64_t kApplicationId = 0x43524b57;  // "CRKW"
constexpr std::chrono::milliseconds kPatience{2000};

/// Entry n brings a file of format n to format n + 1.
constexpr const char* const* kMigrations[] = {&embedded::schema_01_events, &embedded::schema_02_attachments,
                                              &embedded::schema_03_receipts};
constexpr std::int64_t kFormat = std::size(kMigrations);

/// Asks the system to put a file or folder on the disk. Never for a file that a connection of this process has open:
/// closing it here would drop that connection's locks.
bool sync(const fs::path& path) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd < 0) return false;
  const bool done = ::fsync(fd) == 0;
  ::close(fd);
  return done;
}

void make_folders(const fs::path& folder, const std::string& file) {
  std::error_code error;
  if (fs::is_directory(folder, error)) return;
  if (folder.has_relative_path()) make_folders(folder.parent_path(), file);
  fs::create_directory(folder, error);
  if (error) {
    const std::string reason = fs::exists(folder) ? "there is a file of that name" : error.message();
    refuse(file, fmt::format("the folder {} cannot be made: {}", folder.string(), reason),
           "a path in a folder that you may write in");
  }
  sync(folder.parent_path());
}

void must_be_writable(const fs::path& path, const std::string& file, bool there) {
  if (there && ::access(path.c_str(), W_OK) != 0)
    refuse(file, fmt::format("cannot be written: {}", std::strerror(errno)), "a file that you may write");
  if (::access(path.parent_path().c_str(), W_OK | X_OK) != 0)
    refuse(file, fmt::format("its folder cannot be written: {}", std::strerror(errno)),
           "a file in a folder that you may write in");
}

fs::path beside(fs::path path, const char* ending) { return path += ending; }

std::uintmax_t size_of(const fs::path& path) {
  std::error_code error;
  const auto size = fs::file_size(path, error);
  return error ? 0 : size;
}

/// For a file that nobody writes in a folder where not even the read lock can be kept.
std::string immutable_uri(const fs::path& path) {
  std::string uri = "file://";
  for (const char c : path.string()) {
    const bool plain = c != '%' && c != '?' && c != '#';
    uri += plain ? std::string(1, c) : fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return uri + "?immutable=1";
}

/// UTF-8 without NUL, so that every reader of the log can read it.
bool is_text(const std::string& text) {
  try {
    nlohmann::json(text).dump();
  } catch (const nlohmann::json::exception&) {
    return false;
  }
  return text.find('\0') == std::string::npos;
}

/// What an event must be that SQLite would not insist on, though a reader of the log does; empty if all is well.
std::string unmet(const NewEvent& event) {
  if (!is_text(event.subject)) return "the subject is UTF-8 text";
  if (!is_text(event.kind)) return "the kind is UTF-8 text";
  if (!is_text(event.data) || !nlohmann::json::accept(event.data)) return "the data is JSON";
  return {};
}

constexpr const char* kNotOpened = "the file was not opened";
constexpr const char* kNothingKept = "nothing of this entry was kept";

Problem refused_event(const std::string& file, size_t index, size_t count, std::string_view must) {
  constexpr std::string_view prefix = "CHECK constraint failed: ";
  if (must.starts_with(prefix)) must.remove_prefix(prefix.size());
  return {.file = file,
          .field = fmt::format("event {} of {}", index + 1, count),
          .wrong = fmt::format("refused, {}", kNothingKept),
          .right = fmt::format("an event where {}", must)};
}

/// The format of a file that is ours; 0 if nothing has been written to it yet.
std::int64_t format_of(const Db& db) {
  const std::int64_t id = number(db, "PRAGMA application_id");
  const std::int64_t format = number(db, "PRAGMA user_version");
  if (id == 0 && format == 0 && number(db, "SELECT count(*) FROM sqlite_schema") == 0) return 0;
  if (id != kApplicationId)
    refuse(db.file, fmt::format("this SQLite file belongs to another program (application id {})", id),
           "the path of a crankwise file");
  if (format > kFormat)
    refuse(db.file, fmt::format("written by a newer crankwise (format {}, this one knows {})", format, kFormat),
           "this file opened with that newer crankwise");
  if (format < 1) refuse_damaged(db.file, fmt::format("format {}", format));
  return format;
}

void migrate(const Db& db) {
  Transaction transaction(db, Transaction::Kind::writing);
  for (std::int64_t format = format_of(db); format < kFormat; ++format) {
    run(db, *kMigrations[format]);
    run(db, fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {}", kApplicationId, format + 1));
  }
  transaction.commit();
}

/// SQLite does not always wait here while another program makes or closes the same file.
void use_write_ahead_log(const Db& db) {
  const auto until = std::chrono::steady_clock::now() + kPatience;
  for (;;) {
    Statement statement(db, "PRAGMA journal_mode = WAL");
    const int code = statement.try_step();
    if (code == SQLITE_ROW) {
      const std::string mode = statement.text(0);
      if (mode == "wal" || mode == "memory") return;
      refuse(db.file, "its folder cannot keep a write-ahead log", "a file on a disk of this computer");
    }
    if ((code & 0xff) != SQLITE_BUSY || std::chrono::steady_clock::now() > until) fail(db, code);
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
}

}  // namespace

void Store::Close::operator()(sqlite3* db) const { sqlite3_close(db); }

Store Store::open(const fs::path& path, Mode mode) {
  Store store(path.string());
  const std::string& name = store.name_;
  if (path.empty()) refuse(name, "no file was named", "the path of a crankwise file");

  std::error_code error;
  const fs::path full = fs::absolute(path, error);  // so that no name is special to SQLite, such as :memory:
  const fs::file_status status = fs::status(full, error);
  const bool there = fs::exists(status);
  if (fs::is_directory(status) || !path.has_filename())
    refuse(name, "this is a folder", "the path of a crankwise file");
  if (there && !fs::is_regular_file(status)) refuse(name, "this is not a plain file", "the path of a crankwise file");
  if (!there && status.type() != fs::file_type::not_found)
    refuse(name, "cannot be opened: " + error.message(), "a path that you may read");
  if (!there && mode != Mode::create)
    refuse(name, "there is no such file", "the path of a crankwise file that is there");
  if (mode == Mode::create) make_folders(full.parent_path(), name);
  if (mode != Mode::read_only) must_be_writable(full, name, there);
  // Here SQLite would delete the log. (It is looked at first: another program may be making the file right now.)
  if (there && size_of(beside(full, "-wal")) > 0 && size_of(full) == 0) {
    refuse_damaged(name, "it is empty, yet its log is beside it");
  }
  if (there && size_of(full) == 1) refuse_unknown(name);  // SQLite would take it for an empty one

  if (mode != Mode::read_only) {
    store.connect(full.string(), SQLITE_OPEN_READWRITE | (mode == Mode::create ? SQLITE_OPEN_CREATE : 0));
  } else {
    store.connect(full.string(), SQLITE_OPEN_READONLY);
    // SQLite cannot put a log into the folder, and there is none: nobody is writing, so read the file as it lies.
    const int code = sqlite3_exec(store.db_.get(), "SELECT 1 FROM sqlite_schema", nullptr, nullptr, nullptr);
    if ((code & 0xff) == SQLITE_CANTOPEN && !fs::exists(beside(full, "-wal"), error)) {
      store.connect(immutable_uri(full), SQLITE_OPEN_READONLY | SQLITE_OPEN_URI);
    }
  }
  store.set_up(mode);
  store.check();
  return store;
}

Store Store::in_memory() {
  Store store("memory");
  store.connect(":memory:", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
  store.set_up(Mode::create);
  return store;
}

void Store::connect(const std::string& target, int flags) {
  sqlite3* handle = nullptr;
  const int code = sqlite3_open_v2(target.c_str(), &handle, flags | SQLITE_OPEN_EXRESCODE, nullptr);
  db_.reset(handle);
  if (!handle) throw std::bad_alloc();
  const Db db{handle, name_, kNotOpened};
  if (code != SQLITE_OK) fail(db, code);
  sqlite3_busy_timeout(handle, static_cast<int>(kPatience.count()));
  sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
}

void Store::set_up(Mode mode) {
  const Db db{db_.get(), name_, kNotOpened};
  run(db, "PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL");
  std::int64_t format = 0;
  {
    Transaction look(db, Transaction::Kind::reading);
    format = format_of(db);
  }
  if (format == 0 && mode != Mode::create)
    refuse(name_, "the file is empty: setting it up was cut short",
           "the path of a crankwise file with something in it");
  if (mode == Mode::read_only) {
    if (format < kFormat) refuse(name_, "written by an older crankwise", "this file opened for writing once");
    return;
  }
  if (format < kFormat) migrate(db);
  use_write_ahead_log(db);
}

void Store::check() const {
  const Db db{db_.get(), name_, kNotOpened};
  Statement quick(db, "PRAGMA quick_check(1)");
  if (quick.step(); quick.text(0) != "ok") refuse_damaged(name_, quick.text(0));
  Statement holes(db, "SELECT coalesce(max(seq), 0) - count(*) FROM events");
  if (holes.step(); holes.integer(0) != 0) refuse_damaged(name_, fmt::format("{} events missing", holes.integer(0)));
}

namespace {

void keep(const Db& db, const Attachment& a) {
  Statement there(db, "SELECT 1 FROM attachments WHERE sha256 = ?1");
  if (there.bind(1, std::string_view(a.sha256)).step()) return;
  Statement insert(db, "INSERT INTO attachments (sha256, media_type, bytes) VALUES (?1, ?2, ?3)");
  insert.bind(1, std::string_view(a.sha256)).bind(2, std::string_view(a.media_type)).bind_bytes(3, a.bytes);
  const int code = insert.try_step();
  if ((code & 0xff) == SQLITE_CONSTRAINT) refuse(db.file, sqlite3_errmsg(db.handle), "a picture of at most 20 MB");
  if (code != SQLITE_DONE) fail(db, code);
}

Event event_of(Statement& row) { return {{row.text(0), row.text(1), row.text(2), row.text(4)}, row.integer(3)}; }

void keep_receipt(const Db& db, std::string_view key, std::int64_t seq) {
  Statement insert(db, "INSERT INTO receipts (key, seq) VALUES (?1, ?2)");
  const int code = insert.bind(1, key).bind(2, seq).try_step();
  if ((code & 0xff) == SQLITE_CONSTRAINT)
    refuse(db.file, sqlite3_errmsg(db.handle), "a new key of 32 lower-case hex digits, and something written with it");
  if (code != SQLITE_DONE) fail(db, code);
}

}  // namespace

std::vector<Event> Store::append(const std::vector<NewEvent>& events, std::string_view at_utc,
                                 std::optional<std::int64_t> expected_last, const std::vector<Attachment>& attachments,
                                 std::string_view receipt) {
  std::vector<Problem> problems;
  for (size_t i = 0; i < events.size(); ++i) {
    const std::string must = unmet(events[i]);
    if (!must.empty()) problems.push_back(refused_event(name_, i, events.size(), must));
  }
  if (!problems.empty()) throw BadInput(std::move(problems));

  const Db db{db_.get(), name_, kNothingKept};
  std::vector<Event> added;
  Transaction transaction(db, Transaction::Kind::writing);
  std::int64_t seq = last();
  if (expected_last && *expected_last != seq) throw Stale(seq);
  for (const Attachment& a : attachments) keep(db, a);
  Statement insert(db, "INSERT INTO events (seq, at, subject, kind, data) VALUES (?1, ?2, ?3, ?4, ?5)");
  for (const NewEvent& event : events) {
    const std::string at = event.at.empty() ? std::string(at_utc) : event.at;
    insert.bind(1, ++seq).bind(2, at).bind(3, event.subject).bind(4, event.kind).bind(5, event.data);
    const int code = insert.try_step();
    if ((code & 0xff) == SQLITE_CONSTRAINT) {
      throw BadInput(refused_event(name_, added.size(), events.size(), sqlite3_errmsg(db.handle)));
    }
    if (code != SQLITE_DONE) fail(db, code);
    insert.reset();
    added.push_back({event, seq});
    added.back().at = at;
  }
  if (!receipt.empty()) keep_receipt(db, receipt, seq);
  transaction.commit();
  return added;
}

std::optional<Event> Store::receipt(std::string_view key) const {
  const Db db{db_.get(), name_, "nothing was read"};
  Statement select(db, "SELECT subject, kind, data, seq, at FROM receipts JOIN events USING (seq) WHERE key = ?1");
  if (!select.bind(1, key).step()) return {};
  return event_of(select);
}

std::vector<Event> Store::since(std::int64_t seq) const {
  std::vector<Event> events;
  each_since(seq, {}, [&](const Event& e) { events.push_back(e); });
  return events;
}

void Store::each_since(std::int64_t seq, const Unwanted& unwanted,
                       const std::function<void(const Event&)>& take) const {
  const Db db{db_.get(), name_, "nothing was read"};
  Statement select(db,
                   "SELECT subject, kind, CASE kind WHEN ?2 THEN json_remove(data, '$.' || ?3) ELSE data END, seq, at "
                   "FROM events WHERE seq > ?1 ORDER BY seq");
  select.bind(1, seq).bind(2, unwanted.kind).bind(3, unwanted.field);
  while (select.step()) take(event_of(select));
}

std::vector<std::string> Store::data_of(const std::vector<std::int64_t>& seqs) const {
  const Db db{db_.get(), name_, "nothing was read"};
  Statement select(db, "SELECT data FROM events WHERE seq = ?1");
  std::vector<std::string> out;
  for (const std::int64_t seq : seqs) {
    select.bind(1, seq);
    if (!select.step()) refuse_damaged(name_, fmt::format("event {} is missing", seq));
    out.push_back(select.text(0));
    select.reset();
  }
  return out;
}

std::optional<Attachment> Store::attachment(std::string_view sha256) const {
  const Db db{db_.get(), name_, "nothing was read"};
  Statement select(db, "SELECT sha256, media_type, bytes FROM attachments WHERE sha256 = ?1");
  if (!select.bind(1, sha256).step()) return {};
  Attachment a{select.text(0), select.text(1), select.bytes(2)};
  if (sha256_hex(a.bytes) != a.sha256) refuse_damaged(name_, fmt::format("attachment {}", a.sha256));
  return a;
}

std::int64_t Store::last() const {
  return number({db_.get(), name_, "nothing was read"}, "SELECT max(seq) FROM events");
}

void Store::backup_to(const fs::path& path) const {
  const std::string name = path.string();
  std::error_code error;
  const fs::path full = fs::absolute(path, error);
  if (path.empty() || !path.has_filename()) refuse(name, "no file was named", "the path of a new file");
  if (fs::exists(fs::symlink_status(full, error)))
    refuse(name, "there is something of that name already", "the path of a new file");
  if (!fs::is_directory(full.parent_path(), error))
    refuse(name, "its folder is not there", "a new file in a folder that is there");
  must_be_writable(full, name, false);

  // Under another name until it is whole and checked: a backup that has its name is a good one.
  struct Part {
    fs::path path;
    ~Part() {
      std::error_code ignored;
      fs::remove(path, ignored);
      fs::remove(beside(path, "-journal"), ignored);
    }
  } const part{beside(full, ".part")};
  fs::remove(part.path, error);
  fs::remove(beside(part.path, "-journal"), error);
  {
    const Db db{db_.get(), name, "no backup was made"};
    Statement copy(db, "VACUUM INTO ?1");
    copy.bind(1, std::string_view(part.path.native()));
    if (const int code = copy.try_step(); (code & 0xff) == SQLITE_CORRUPT) {
      fail({db_.get(), name_, db.outcome}, code);
    } else if (code != SQLITE_DONE) {
      fail(db, code);
    }
  }
  open(part.path, Mode::read_only);
  if (!sync(part.path))
    refuse(name, fmt::format("reading or writing failed: {}", std::strerror(errno)), "a sound disk");
  fs::rename(part.path, full, error);
  if (error) refuse(name, fmt::format("cannot be written: {}", error.message()), "the path of a new file");
  sync(full.parent_path());
}

}  // namespace crankwise
