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
#include "app/shop_replay.h"
#include "edge/problem.h"
#include "edge/random_id.h"
#include "edge/store.h"

namespace crankwise {

struct ShopFile;
struct TakenOver;
using SameBikes = std::map<std::string, std::string>;  // bike of a file -> bike of this shop that it is

/// What stands behind hours that are told.
enum class HoursTold {
  meter,       // what the meter shows
  estimate,    // about how many the engine has; gives way to whatever is told later
  new_meter,   // what another meter shows from now on; the engine's hours run on
  correction,  // what the meter shows, and what was written down before was wrong
};

struct RenewedWhen {
  std::optional<double> hours = {};  // of the engine; left out: those of the day, or of now
  std::string day = {};              // "2026-05-04"; left out: today, or not known if hours are told
  bool again = false;                // it was renewed again within the minute
};
struct Renewed {
  std::vector<std::string> parts;
  Renewal when;
};

/// The last thing that stands on a job, which undo() takes back.
struct LastAct {
  int act = 0;        // 0: there is none
  std::string words;  // what it is
};

/// What an order sent under a key wrote.
struct Receipt {
  std::string subject;  // "bike/red-125", "job/7", "shop"
  bool again = false;   // it had been written before, and was not written anew
};

/// All that a diagnosis of one job follows from.
struct JobState {
  Job job;
  Bike bike;  // as the job finds it
  ShopSettings settings;
  Learned learned;
};
Diagnosis diagnose(const Knowledge&, const JobState&);

/// The faults that the repairs of a job put right, as far as the belief holds them for the cause: those above half, or
/// the likeliest one.
std::vector<std::string> likely_causes(const Diagnosis&);

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
  /// The same as the job finds it: with what was measured on jobs taken in before.
  Bike bike_on_job(int job) const;
  const HourBook& hour_book(const std::string& bike) const;
  /// When each part was renewed last, by the owner's word or on a job (but for those on `except_job`).
  std::map<std::string, Renewal> renewals(const std::string& bike, int except_job = 0) const;
  const Job& job(int number) const;
  /// The open job that was written to last; nothing if there is none.
  std::optional<int> current_job() const;
  /// With what had been learned when the job was taken in: other jobs that end meanwhile do not move it.
  JobState state(int job) const;
  Diagnosis diagnosis(int job) const { return diagnose(*knowledge_, state(job)); }
  Learned learned(int job) const;
  /// What is learned by now for one bike, and the jobs that taught it, oldest first.
  Learned learned_now(const std::string& bike) const;
  std::vector<const Job*> teachers() const;
  /// Chances before each act that still stands, of proven jobs with a cause: what was believed when it was acted upon.
  struct Believed {
    int job = 0, act = 0;
    Chances chances;  // of what was at least kWorthNoting likely
  };
  static constexpr double kWorthNoting = 0.005;
  /// Of the latest jobs, so many at most.
  std::vector<Believed> believed(std::size_t most_jobs) const;
  std::string now() const { return clock_(); }  // UTC

  /// Reads what other programs have written since; the calls that write do so themselves.
  void look_again() { refresh(); }
  /// The number of the last event, of all and of those that a job's diagnosis follows from.
  std::int64_t last() const { return seen(); }
  std::int64_t last_for(int job) const;
  std::int64_t last_for_bike(const std::string&) const;

  /// Does one of the following under a key of 32 lower-case hex digits that the sender chose for it: if something was
  /// written under this key before, it is not done again.
  Receipt once(const std::string& key, const std::function<void()>& change);

  void set(const ShopSettings&);
  std::string add_bike(Bike);  // returns its id, made from the name
  void set_hours(const std::string& bike, double hours, HoursTold = HoursTold::meter);
  /// A ride whose hours no meter has counted.
  void ridden(const std::string& bike, double hours);
  void set_figure(const std::string& bike, const std::string& reading, const Figure&);
  /// What corrections need to know of the bike: stroke, rod, clearance ... (app/readings/method.h).
  void set_fact(const std::string& bike, const std::string& fact, const std::string& told);
  /// A temperature sensor's table, K and ohm, in place of any before.
  void set_table(const std::string& bike, const std::string& reading, const std::map<double, double>& rows);
  void set_access(const std::string& bike, const std::string& part, double off_min, double on_min);
  /// `what`: a part that wears, or an upkeep with all its parts.
  Renewed renewed(const std::string& bike, const std::string& what, const RenewedWhen& = {});
  void set_hard(const std::string& bike, bool hard);
  /// An interval from the bike's handbook; nothing of it: the usual one again.
  void set_interval(const std::string& bike, const std::string& upkeep, const OwnInterval&);

  int take_in(const std::string& bike, const std::string& complaint);
  /// All or none. Checks every id against the knowledge and the bike's equipment.
  void write(int job, const std::vector<Entry>& entries);
  /// Adds a picture to the job, of one act of it or (0) of the job as a whole; `name` is its file's, for the messages.
  /// Refuses what is not one (edge/picture.h).
  Pictured add_photo(int job, const std::string& bytes, const std::string& caption, const std::string& name,
                     int of_act = 0);
  /// The bytes of a picture of this shop.
  std::string picture(const Pictured&) const;
  std::optional<Attachment> attachment(const std::string& sha256) const { return store_.attachment(sha256); }
  LastAct last_act(int job) const;
  /// Takes back the last act of the job that still stands (closing included); returns it in words. Throws Overtaken if
  /// `act` is given and is not that one.
  std::string undo(int job, std::optional<int> act = {});
  /// The same for what was told of the bike itself: hours, rides, renewals, figures ...
  std::string undo_on_bike(const std::string& bike);
  /// What that would be, in words; "" if there is nothing.
  std::string last_on_bike(const std::string& bike) const;
  std::vector<std::string> likely_causes(int job) const { return crankwise::likely_causes(judged(job)); }
  /// proven only after a clean run with small doubt; otherwise BadInput says what is missing. Causes that are named are
  /// known; without any, `likely_causes` are written down and the lesson is shared out by chance.
  void close(int job, JobEnd end, const std::vector<std::string>& causes, const std::string& words);
  /// Leaves the lesson of a closed job out, or counts it again; what was learned is then as if it had never counted.
  void let_teach(int job, bool);

  void backup_to(const std::filesystem::path&) const;
  /// The whole shop, or these bikes with their jobs, to be moved. `by` is the program that writes it.
  ShopFile hand_over(const std::vector<std::string>& bikes, const std::string& by);
  /// Adds what is not here yet, all or nothing; nothing if `only_look`. Says what it does (app/take_over.h).
  TakenOver take_over(const ShopFile&, const SameBikes&, bool only_look);

 private:
  void refresh();
  bool moves_lessons(const Event&) const;
  const Placed* last_told(const std::string& bike) const;
  void append(const std::vector<NewEvent>&, const std::vector<Attachment>& = {});
  void write_with(int job, const std::vector<Entry>&, const std::vector<Attachment>&);
  /// Reads what others wrote, does it, and does it anew if another program was quicker.
  template <class Do>
  auto newest(Do change) {
    constexpr int kMostTimes = 20;
    for (int again = 0;; ++again) {
      refresh();
      if (!key_.empty() && store_.receipt(key_)) throw WrittenBefore{};
      try {
        return change();
      } catch (const Stale&) {
        if (again == kMostTimes) throw;
      }
    }
  }
  Job& open_job(int number);
  Attachment attached(const std::string& sha256) const;
  std::vector<Json> read_data(const std::vector<const Placed*>&) const;
  Learned learned_from(std::vector<const Job*>, const std::string& bike) const;
  Diagnosis judged(int job) const;  // as diagnosis(), without the advice
  Json believed_before(int job) const;
  Json closing(int job, JobEnd, std::vector<std::string> causes, const std::string& words, double doubt) const;

  struct WrittenBefore {};

  const Knowledge* knowledge_;
  Store store_;
  Clock clock_;
  NewId new_id_;
  std::string key_;                         // of the order that is being carried out
  std::int64_t relearnt_ = 0;               // the last event that changes what earlier jobs taught later ones
  mutable std::map<int, Learned> learned_;  // by job, as far as asked for
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
void check_table(const Knowledge&, const std::string& reading, const std::map<double, double>& rows,
                 const std::string& field, std::vector<Problem>&);
void check_access(const Knowledge&, const std::string& part, double off_min, double on_min, std::vector<Problem>&);

}  // namespace crankwise
