// The state of a shop from its events. Those of one bike or job count in the order of their time, wherever they were
// written, so shops that hold the same events are in the same state. What was written in this shop file never counts
// before what was known in it, however wrong the clock.
#pragma once

#include <deque>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "app/hour_book.h"
#include "app/lessons.h"
#include "app/moment.h"
#include "edge/job.h"
#include "edge/store.h"

namespace crankwise {

struct JobEntry {
  Entry entry;
  std::string at;     // UTC
  int act = 0;        // entries written together have one number
  double hours = -1;  // of the engine then, as it was known then; -1: not known
  Moment moment = {};
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
  double doubt = -1;                // chance of a fault left when it was closed; -1: not recorded
  int acts = 0;
  int closing_act = 0, lesson_act = 0;  // of the closing, and of what was said about its lesson since; 0: none
  std::vector<JobEntry> taken_back;     // undone, in the order they were
  Moment opened, closed;
  // What it teaches, as kept when it was closed.
  std::vector<Chances> credit;  // each cause: what it may have been
  Chances expected_more;        // factors of hours and contexts on the odds
  bool teaches = true;          // false: left out by the mechanic

  std::vector<Entry> plain_entries() const;
};

/// Was the part that this entry (a Did) put in taken out again later?
bool taken_out_again(const Job&, const JobEntry& put_in);

/// An event in its place among those of its bike or job.
struct Placed {
  Event event;
  std::string shop;      // where it was written; "": in this shop file
  std::int64_t seq = 0;  // its number there
  std::string order;     // as Moment

  Json data() const { return Json::parse(event.data); }  // kept as text, which is a fifth of it
};

/// All data of these events, as the store has it.
using ReadData = std::function<std::vector<Json>(const std::vector<const Placed*>&)>;

class ShopReplay {
 public:
  /// Events that follow those added before. Throws BadInput that names the event which cannot be read.
  void add(const std::vector<Event>&);

  std::int64_t seen() const { return seen_; }
  const std::string& shop_id() const { return shop_id_; }  // "" until one was needed
  const ShopSettings& settings() const { return settings_; }
  const std::map<std::string, Bike>& bikes() const { return bikes_; }
  const std::map<int, Job>& jobs() const { return jobs_; }
  /// The numbers of the jobs of a bike, by the id that it goes by.
  const std::set<int>& jobs_of(const std::string& bike) const;
  /// The events in order, by subject: "shop", "bike/ID", "job/NUMBER".
  const std::map<std::string, std::deque<Placed>>& record() const { return record_; }
  /// The number of the last event of a subject; 0 if there is none.
  std::int64_t last_of(const std::string& subject) const;
  /// The id that a bike goes by: its own, or that of the bike it was found to be.
  std::string called(const std::string& bike) const;
  /// All ids under which this bike was entered, its own among them.
  std::vector<std::string> ids_of(const std::string& bike) const;
  /// All events of the bike in order; without those that were taken back, and without the taking back, if `standing`.
  std::vector<const Placed*> of_bike(const std::string& bike, bool standing) const;
  /// The shop that an event was written in.
  const std::string& written_in(const Placed& p) const { return p.shop.empty() ? shop_id_ : p.shop; }

 protected:
  /// What a run of events has changed: each is taken, then all is settled.
  struct Changed {
    std::set<std::string> subjects;
    bool joined = false, named = false;
  };
  void take(const Event&, Changed&);
  void settle(const Changed&);

  std::int64_t seen_ = 0;
  std::string shop_id_;
  ShopSettings settings_;
  std::map<std::string, Bike> bikes_;
  std::map<std::string, HourBook> hour_books_;
  std::map<int, Job> jobs_;
  std::map<int, std::pair<std::int64_t, std::string>> touched_;  // job -> last event written here, and time of the last

 private:
  void place(const Event&);
  void join_bikes();
  void replay(const std::string& subject);
  void replay_bike(const std::string& id);
  void replay_job(int number, const std::deque<Placed>&);
  Moment moment(const Placed& p) const { return {p.order, written_in(p), p.seq}; }
  bool before(const Placed&, const Placed&) const;

  std::string latest_;                            // order of what was written here last
  std::map<std::string, std::set<int>> jobs_of_;  // by bike
  std::map<std::string, std::deque<Placed>> record_;
  std::map<std::string, std::string> called_;  // only of bikes that were found to be another
};

/// What an event does to a bike or job. `first`: nothing was written of it before. Throws std::exception if it cannot
/// be.
void apply_to_bike(Bike&, HourBook&, bool first, const Placed&, const Moment&);
void apply_to_job(Job&, const Placed&, const Json& data, const Moment&);

}  // namespace crankwise
