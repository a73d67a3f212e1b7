// The event log: one SQLite file to which events are added and in which none is ever changed.
//
//   Store store = Store::open("shop/bikes.crankwise", Store::Mode::create);
//   store.append({{"job-7", "finding", R"({"look":"plug","answer":"wet"})"}}, "2026-05-04T17:30:00.000Z");
//   for (const Event& e : store.since(0)) replay(e);
//
// Several programs may have the same file open: they wait up to 2 s for one another's writing. One Store is for one
// thread at a time. Whatever a user can put right is thrown as BadInput.
#pragma once

#include <cstdint>
#include <exception>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

struct sqlite3;

namespace crankwise {

struct NewEvent {
  std::string subject;  // the bike, job or other thing it belongs to; not empty
  std::string kind;     // what happened; not empty
  std::string data;     // JSON text
  std::string at = {};  // when it happened, UTC, ISO 8601 with milliseconds: 2026-05-04T17:30:00.000Z; empty: now
};

struct Event : NewEvent {
  std::int64_t seq = 0;  // 1, 2, 3 ... without holes
};

/// A picture or other file that events name by its digest.
struct Attachment {
  std::string sha256;      // of the bytes, lower-case hex (edge/digest.h)
  std::string media_type;  // such as image/jpeg
  std::string bytes;       // 1 to 20,000,000
};

/// Somebody else added events after those the caller knew of: read `since` what was known, decide again, append again.
struct Stale : std::exception {
  explicit Stale(std::int64_t last_seq) : last(last_seq) {}
  const char* what() const noexcept override { return "another program has added events meanwhile"; }
  std::int64_t last;  // the number of the last event now
};

/// A field of the data of events of one kind that need not be read.
struct Unwanted {
  std::string_view kind, field;  // "": none
};

class Store {
 public:
  enum class Mode {
    create,     // read and write; the file and its folders are made if missing
    existing,   // read and write; the file must be there
    read_only,  // works in a folder that cannot be written, too
  };

  static Store open(const std::filesystem::path& path, Mode mode);
  static Store in_memory();

  /// Adds all events, and the attachments that are not there yet, or nothing; returns the events numbered. All is safe
  /// from a crash and a power cut when it returns.
  /// Throws Stale, having added nothing, if `expected_last` is given and is not the number of the last event.
  /// `receipt`: 32 lower-case hex digits by which the last of these events can be found again; a key is good once.
  std::vector<Event> append(const std::vector<NewEvent>& events, std::string_view at_utc,
                            std::optional<std::int64_t> expected_last = {},
                            const std::vector<Attachment>& attachments = {}, std::string_view receipt = {});

  /// The last event that was written under this key; nothing if none was.
  std::optional<Event> receipt(std::string_view key) const;

  /// The attachment with this digest, checked against it; nothing if there is none.
  std::optional<Attachment> attachment(std::string_view sha256) const;

  /// All events numbered above `seq`, in order.
  std::vector<Event> since(std::int64_t seq) const;

  /// The same one by one, so that a long log need not be held at once. `take` must not write to the store.
  void each_since(std::int64_t seq, const Unwanted&, const std::function<void(const Event&)>& take) const;

  /// The data of the events with these numbers, which must be there.
  std::vector<std::string> data_of(const std::vector<std::int64_t>& seqs) const;

  /// The number of the last event; 0 if there is none.
  std::int64_t last() const;

  /// A checked copy as it stands at one moment, safe while others write. `path` must be new, in a folder that is there
  /// (one made here could be the empty mount point of a stick that is not plugged in).
  void backup_to(const std::filesystem::path& path) const;

 private:
  friend struct StorePeer;  // tests
  struct Close {
    void operator()(sqlite3* db) const;
  };
  explicit Store(std::string name) : name_(std::move(name)) {}
  void connect(const std::string& target, int flags);
  void set_up(Mode mode);
  void check() const;

  std::string name_;  // as the user gave it, for messages
  std::unique_ptr<sqlite3, Close> db_;
};

}  // namespace crankwise
