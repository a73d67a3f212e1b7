// What is due on a bike, by hours and by days, why, and how likely trouble is if it is left.
//
//   DueList list = due_list(shop, "red-125", 5);   // trouble within the next 5 h
//   for (const DueItem& i : list.items) print(i.upkeep->work, reason_in_words(i));
#pragma once

#include <string>
#include <vector>

#include "app/shop.h"

namespace crankwise {

enum class Urgency {
  overdue,
  soon,     // within the hours asked for, or within 14 days
  unknown,  // no renewal in the record, and the bike is old enough for it to be overdue
  later,
};
std::string_view text(Urgency);

struct DueItem {
  const Upkeep* upkeep = nullptr;
  Urgency urgency = Urgency::later;
  double every_h = 0, every_days = 0;    // 0: not by that
  bool own_h = false, own_days = false;  // the interval is this bike's own
  bool hard = false;                     // the hours are those of hard use
  double age_h = -1, age_days = -1;      // since its renewal; -1: not known
  double oldest_h = -1;                  // hours of the engine, which it can be old at most; -1: not known
  Renewal renewed;                       // hours -1 and no day: none in the record
  double used = 0;                       // share of the interval that is gone; 1: due now
  double chance = -1;                    // of trouble; -1: cannot be told
};

struct DueList {
  std::string bike;
  double within_h = 0;
  std::vector<DueItem> items;  // most urgent first
  double chance_of_any = 0;    // of those whose chance can be told, each by itself
  int not_told = 0;            // how many cannot
};

/// Chances: of trouble in the next `within_h` hours for what wears with the hours, given that it is right so far; for
/// what ages in days (fuel, fluids) that it has gone off by now, which shows only when the bike is ridden. A part with
/// no renewal in the record is as old as the engine at most and, for the chance, at most one interval: any age up to
/// that is as likely. Only the time since renewal counts, and things fail one without the other.
DueList due_list(const Shop&, const std::string& bike, double within_h);

/// "24 h of usually 15 h, renewed at 14 h: overdue by 9 h".
std::string reason_in_words(const DueItem&);
/// "overdue by 9 h; usually 15 h", or "up to 38 h old; usually 40 h" if only the engine's hours are known.
std::string left_in_words(const DueItem&);

}  // namespace crankwise
