// What is written down of one bike's hours: meter readings, rides by estimate, renewals, how it is ridden, intervals
// of its own. Rebuilt from the events like everything in the shop.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "app/moment.h"

namespace crankwise {

enum class HoursFrom { meter, estimate };

/// The engine's hours at one moment. What is told later may be less: a meter corrects an estimate.
struct HourMark {
  Moment moment;
  std::string at;  // UTC
  double hours = 0;
  HoursFrom from = HoursFrom::meter;
};

struct Renewal {
  std::string told_at;  // UTC
  double hours = -1;    // of the engine then; -1: not known
  std::string day;      // "2026-05-04"; empty: not known
};
/// The one that was done later, as far as hours and days tell.
const Renewal& later(const Renewal&, const Renewal&);

struct OwnInterval {
  double hours = 0, days = 0;  // 0: not by that
};

class HourBook {
 public:
  std::vector<HourMark> marks;
  double meter_lag = 0;                    // engine's hours less what the meter shows
  std::map<std::string, Renewal> renewed;  // part -> what the bike's owner told last (jobs know of others)
  std::map<std::string, OwnInterval> own;  // by upkeep
  bool hard = false;                       // raced, or ridden in sand and mud

  void add(const HourMark&);
  /// Hours of the engine at this moment, as far as is known now; -1: not known.
  double hours_at(const Moment&) const;
  /// The same for a day, between two marks in proportion; -1 before the first.
  double hours_on(const std::string& day) const;
  /// The least that the engine can have: what a meter showed last. 0 if none was read.
  double metered() const;
  /// Where the hours come from: "by the meter on 2026-09-26", "38 h by the meter on ..., 2.5 h since by estimate".
  std::string source() const;
};

}  // namespace crankwise
