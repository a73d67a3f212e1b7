// A shop: its bikes and jobs, kept as an append-only log of events; every view is a replay.
//
//   Shop shop(knowledge, Store::open(path, Store::Mode::create), clock);
//   shop.take_in("red-125", "bogs up top");        // opens a job
//   shop.write(job, {SaidSo{"bogs-up-top", Answer::yes}});
//   shop.undo(job);                                  // an event too: nothing is ever erased
//
// Whatever is asked of a bike, job, finding or step that is not there is BadInput, with the nearest known name. An
// entry is durable when the call returns. When another program has written meanwhile, the log is read again first.
#pragma once

#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/diagnosis.h"
#include "edge/problem.h"
#include "edge/random_id.h"
#include "edge/store.h"

namespace crankwise {

struct ShopFile;
struct TakenOver;
using SameBikes = std::map<std::string, std::string>;  // bike of a file -> bike of this shop that it is

struct JobEntry {
  Entry entry;
  std::string at;     // UTC
  int act = 0;        // entries written together have one number
  double hours = -1;  // of the engine then; -1: not known
};

enum class JobEnd { open, proven, fixed_unproven, given_up };
std::string_view text(JobEnd);

struct Job {
  int number = 0;
  std::string bike, complaint, opened_at, closed_at;
  std::vector<JobEntry> entries;
  JobEnd end = JobEnd::open;
  std::vector<std::string> causes;  // faults, as told when it was closed
  std::string words;                // to the owner, or the cause that is not in the list
  int acts = 0;
  int closing_act = 0;
  std::vector<JobEntry> taken_back;  // undone, in the order they were

  std::vector<Entry> plain_entries() const;
};

/// Was the part that this entry (a Did) put in taken out again later?
bool taken_out_again(const Job&, const JobEntry& put_in);

/// An event in its place among those of its bike or job.
struct Placed {
  Event event;
  Json data;
  std::string shop;      // where it was written; "": in this shop file
  std::int64_t seq = 0;  // its number there
  std::string order;     // UTC: when it happened, or later if it was written after an event of a later time
};

/// The state of a shop from its events. Those of one bike or job count in the order of their time, wherever they were
/// written, so shops that hold the same events are in the same state. (What was written here never counts before what
/// was known here, however wrong the clock.)
class ShopReplay {
 public:
  /// Events that follow those added before. Throws BadInput that names the event which cannot be read.
  void add(const std::vector<Event>&);

  std::int64_t seen() const { return seen_; }
  const std::string& shop_id() const { return shop_id_; }  // "" until one was needed
  const ShopSettings& settings() const { return settings_; }
  const std::map<std::string, Bike>& bikes() const { return bikes_; }
  const std::map<int, Job>& jobs() const { return jobs_; }
  /// The events in order, by subject: "shop", "bike/ID", "job/NUMBER".
  const std::map<std::string, std::vector<Placed>>& record() const { return record_; }
  /// The id that a bike goes by: its own, or that of the bike it was found to be.
  std::string called(const std::string& bike) const;
  /// All ids under which this bike was entered, its own among them.
  std::vector<std::string> ids_of(const std::string& bike) const;
  /// All events of the bike in order.
  std::vector<const Placed*> of_bike(const std::string& bike) const;

 protected:
  std::int64_t seen_ = 0;
  std::string shop_id_;
  ShopSettings settings_;
  std::map<std::string, Bike> bikes_;
  std::map<int, Job> jobs_;
  std::map<int, std::pair<std::int64_t, std::string>> touched_;  // job -> last event written here, and time of the last

 private:
  void place(const Event&);
  void join_bikes();
  void replay(const std::string& subject);
  void replay_bike(const std::string& id);
  void replay_job(int number, const std::vector<Placed>&);
  bool before(const Placed&, const Placed&) const;

  std::map<std::string, std::vector<Placed>> record_;
  std::map<std::string, std::string> called_;  // only of bikes that were found to be another
};

class Shop : private ShopReplay {
 public:
  using Clock = std::function<std::string()>;  // now, UTC, as Event::at
  using NewId = std::function<std::string()>;  // 32 hex digits that nobody else has
  Shop(const Knowledge&, Store, Clock, NewId = random_id);

  const Knowledge& knowledge() const { return *knowledge_; }
  using ShopReplay::bikes, ShopReplay::jobs, ShopReplay::settings;
  const ShopReplay& replay() const { return *this; }
  const Bike& bike(const std::string& id) const;
  /// The bike with the parts that jobs renewed counted, but for what `except_job` renewed.
  Bike bike_with_renewals(const std::string& id, int except_job = 0) const;
  const Job& job(int number) const;
  /// The open job that was written to last; nothing if there is none.
  std::optional<int> current_job() const;
  Diagnosis diagnosis(int job) const;

  void set(const ShopSettings&);
  std::string add_bike(Bike);  // returns its id, made from the name
  void set_hours(const std::string& bike, double hours);
  void set_figure(const std::string& bike, const std::string& reading, const Figure&);
  void set_access(const std::string& bike, const std::string& part, double off_min, double on_min);
  void renewed(const std::string& bike, const std::string& part, double at_hours);

  int take_in(const std::string& bike, const std::string& complaint);
  /// All or none. Checks every id against the knowledge and the bike's equipment.
  void write(int job, const std::vector<Entry>& entries);
  /// Takes back the last act of the job that still stands (closing included); returns it in words.
  std::string undo(int job);
  /// The faults that the repairs of the job put right, as far as the belief holds them for the cause: those above half,
  /// or the likeliest one.
  std::vector<std::string> likely_causes(int job) const;
  /// proven only after a clean run with small doubt; otherwise BadInput says what is missing.
  void close(int job, JobEnd end, const std::vector<std::string>& causes, const std::string& words);

  void backup_to(const std::filesystem::path&) const;
  /// The whole shop, or these bikes with their jobs, to be moved. `by` is the program that writes it.
  ShopFile hand_over(const std::vector<std::string>& bikes, const std::string& by);
  /// Adds what is not here yet, all or nothing; nothing if `only_look`. Says what it does (app/take_over.h).
  TakenOver take_over(const ShopFile&, const SameBikes&, bool only_look);

 private:
  void refresh();
  void append(const std::vector<NewEvent>&);
  /// Reads what others wrote, does it, and does it anew if another program was quicker.
  template <class Do>
  auto newest(Do change) {
    for (int again = 0;; ++again) {
      refresh();
      try {
        return change();
      } catch (const Stale&) {
        if (again == 20) throw;
      }
    }
  }
  Job& open_job(int number);

  const Knowledge* knowledge_;
  Store store_;
  Clock clock_;
  NewId new_id_;
};

/// Checks a bike's traits, figures and hours against the knowledge.
void check_bike(const Knowledge&, const Bike&, const std::string& where, std::vector<Problem>&);
/// Checks one entry: known ids that apply to the bike (any bike, if none is given), units that fit.
void check_entry(const Knowledge&, const Bike*, const Entry&, const std::string& where, std::vector<Problem>&);
inline void check_entry(const Knowledge& k, const Bike& bike, const Entry& entry, const std::string& where,
                        std::vector<Problem>& problems) {
  check_entry(k, &bike, entry, where, problems);
}
/// Known names and values that can be, of single fields.
void check_tool(const Knowledge&, const std::string& id, const std::string& field, std::vector<Problem>&);
void check_fault(const Knowledge&, const std::string& id, const std::string& field, std::vector<Problem>&);
void check_worn(const Knowledge&, const std::string& part, const std::string& field, std::vector<Problem>&);
void check_figure(const Knowledge&, const std::string& reading, const Figure&, const std::string& field,
                  std::vector<Problem>&);
void check_access(const Knowledge&, const std::string& part, double off_min, double on_min, std::vector<Problem>&);

}  // namespace crankwise
