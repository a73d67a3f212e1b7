// What may be written down, as files of shops have it: one table of kinds, each with its fields. A new kind is a row
// here and in docs/shop-file.schema.json.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "edge/job.h"
#include "edge/problem.h"

namespace crankwise {

struct EventField {
  enum class Type {
    text,      // UTF-8, without the byte 0
    number,    // 0 to 1e9
    hours,     // 0 to 1e5
    act,       // a whole number from 1: entries with one number were written together
    flag,      // true or false
    texts,     // list of texts
    figures,   // by reading: low, high, unit, baseline, at
    told,      // by condition: text
    rows,      // list of kelvin and ohm
    tables,    // by reading: rows
    hours_of,  // by part: hours
    minutes,   // by part: off, on
    factors,   // by fault: 0 to 1e9
    lesson,    // causes: list of factors; expected: factors
  };
  const char* name;
  Type type;
  bool needed = true;
};

/// Names that are not known, and values that cannot be, in data whose fields are right; `field` is that of the data.
using EventCheck = void (*)(const Knowledge&, const std::string& kind, const Json& data, std::vector<Problem>&);

struct EventKind {
  const char* of;  // "shop", "bike" or "job"
  const char* kind;
  std::vector<EventField> fields;
  EventCheck check;
};

const std::vector<EventKind>& event_kinds();
const EventKind* find_event_kind(const std::string& of, const std::string& kind);
/// The same of what a mechanic writes on a job; nothing for what the program adds (opened, closed, believed ...).
const EventKind* find_entry_kind(const std::string& kind);

}  // namespace crankwise
