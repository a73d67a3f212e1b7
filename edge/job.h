// A bike, and a job on it, as plain data; and both as JSON (the words of the event log and of case files).
#pragma once

#include <map>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

#include "edge/knowledge.h"

namespace crankwise {

using Json = nlohmann::json;

/// Under which conditions something was measured, as told: "height" -> "1400 m", "kick" -> "brisk".
using Conditions = std::map<std::string, std::string>;

struct Figure {
  double low = 0, high = 0;  // equal for a single value
  std::string unit;
  bool baseline = false;  // measured on this bike when it was right; otherwise from its handbook
  Conditions at = {};
};

// What is written down on a job, in order.

/// What the mechanic says that an entry took; nothing where he says nothing.
struct Spent {
  std::optional<double> minutes;  // in all, what it took to get there included
  std::optional<double> money;    // parts and supplies paid for it
  bool operator==(const Spent&) const = default;
};
struct SaidSo {
  std::string finding;
  Answer answer;
};
struct Took {
  std::string reading;
  double value = 0;
  std::string unit;
  bool open = false;
  Spent spent = {};
  Conditions at = {};
};
struct Did {
  std::string step;
  Spent spent = {};
};
struct WentBack {
  std::string step;
};  // the known good part of this swap is out again
struct RanIt {
  RunResult result;
  std::string step;
  Spent spent = {};
};
struct Skipped {
  std::string step, why;
};
struct WasSo {
  std::string context;
  bool so = true;
};
struct NotMeant {
  std::string id;  // finding or context
};                 // heard in the rider's words, and left out when the mechanic was asked
struct PartsNow {
  std::vector<std::string> off;
};  // the mechanic says what is off
struct Noted {
  std::string text;
};
struct Pictured {
  std::string sha256, media_type;  // of the picture, which the store keeps
  int width = 0, height = 0;       // in pixels, as stored
  std::string caption;
  int of_act = 0;  // of the entries that it shows; 0: of the job as a whole
};
using Entry = std::variant<SaidSo, Took, Did, WentBack, RanIt, Skipped, WasSo, NotMeant, PartsNow, Noted, Pictured>;

/// A reading that was taken before.
struct PastReading {
  Took took;
  double hours = -1;  // of the engine then; below 0: not known
  bool this_job = false;
};

struct Bike {
  std::string id, name, bike_class;
  std::vector<std::string> traits;  // all of them, the class's and its own
  double displacement_cc = 0;
  double hours = 0;  // of the engine, now
  bool hours_known = false;
  std::map<std::string, Figure> figures, baselines;             // by reading; of the handbook, and its own
  Conditions facts;                                             // that corrections need: stroke, rod, clearance ...
  std::map<std::string, std::map<double, double>> tables;       // of thermistors, by reading: K -> ohm
  std::map<std::string, double> renewed_h;                      // part -> engine hours at its last renewal
  std::map<std::string, std::pair<double, double>> access_min;  // part -> minutes off, on
  std::vector<PastReading> readings;                            // of earlier jobs, oldest first; not in bike_data()
};

/// What the entry took, as told; nothing for kinds that take nothing.
Spent spent_on(const Entry&);

/// Is it text that every program can read?
bool is_utf8(std::string_view);

std::string_view text(Answer);
std::string_view text(RunResult);
std::optional<Answer> answer_from(std::string_view);
std::optional<RunResult> run_result_from(std::string_view);

/// kind of the entry as in the event log: "answered", "measured", "did", "put-back", "ran", "skipped", "context",
/// "not-meant", "parts-off", "noted", "photo".
std::string entry_kind(const Entry&);
Json entry_data(const Entry&);
Entry entry_from(const std::string& kind, const Json& data);  // throws std::exception on data that is not of the kind

Json figure_data(const Figure&);
Figure figure_from(const Json&);
Json table_data(const std::map<double, double>& rows);
std::map<double, double> table_from(const Json&);
Json bike_data(const Bike&);
Bike bike_from(const Json&);

}  // namespace crankwise
