// Case files for the tests of reading and judging them.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "app/case_file.h"
#include "app/diagnosis.h"
#include "tests/refusal.h"
#include "tests/small_knowledge.h"

namespace crankwise::test {

inline Case parse(const std::string& text) { return parse_case(small_knowledge(), text, "case.json"); }

/// What the BadInput says that parsing throws, one line a problem; "" if it throws none.
inline std::string refusal_of(const Knowledge& k, const std::string& text) {
  return refusal([&] { parse_case(k, text, "case.json"); });
}
inline std::string refusal_of(const std::string& text) { return refusal_of(small_knowledge(), text); }

/// The entries as the event log would hold them, one a line.
inline std::string in_log(const std::vector<Entry>& entries) {
  std::string out;
  for (const Entry& e : entries) out += entry_kind(e) + " " + entry_data(e).dump() + "\n";
  return out;
}

inline Diagnosis judge(const Knowledge& k, const Case& c) { return diagnose(k, c.bike, c.entries, c.shop); }
inline Diagnosis judge(const std::string& text) { return judge(small_knowledge(), parse(text)); }

/// A case on the small two-stroke with `more` fields.
inline std::string two_stroke(const std::string& more) {
  return "{\"crankwise_case\": 1,\n\"bike\": {\"class\": \"mini-two-stroke\"}" + (more.empty() ? "" : ",\n" + more) +
         "}";
}
/// The same with a bike that has `fields` besides.
inline std::string two_stroke_with(const std::string& fields, const std::string& more = "") {
  return "{\"crankwise_case\": 1,\n\"bike\": {\"class\": \"mini-two-stroke\",\n" + fields + "}" +
         (more.empty() ? "" : ",\n" + more) + "}";
}

constexpr const char* kEverything = R"({
  "crankwise_case": 1,
  "bike": {
    "class": "mini-four-stroke", "name": "Blue 110",
    "without": ["injection"], "with": ["carburettor", "kick-start"],
    "displacement_cc": 124.5, "hours": 88.5,
    "renewed_h": {"plug": 80, "piston": 12.5},
    "figures": {
      "compression": {"low": 6.2, "high": 7.6, "unit": "bar"},
      "coil": {"value": 11, "unit": "kohm", "baseline": true}
    },
    "access_min": {"tank": {"off": 9, "on": 11.5}}
  },
  "complaint": "bogs up top, \"never\" when cold",
  "shop": {"money_per_hour": 48, "currency": "crowns", "lacks": ["gauge"]},
  "context": {"stood": true, "new-plug": false},
  "findings": {"only-hot": "no", "bogs-up-top": "yes", "breaks-up": "unsure"},
  "readings": {"compression": "6.9 bar", "coil": "open"},
  "steps": [
    {"step": "look-at-plug", "findings": {"plug-looks-bad": "no"}},
    {"step": "swap-plug", "run": "same", "put_back": true},
    {"skip": "test-spark", "why": "no tester"},
    {"skip": "wont-start"},
    {"step": "measure-coil", "readings": {"coil": "10.6 kohm"}},
    {"off": ["tank", "seat"], "note": "hose looks fine"},
    {"off": []},
    {"step": "clean-jet", "put_back": false},
    {"run": "better"},
    {"run": "gone"}
  ]
})";

}  // namespace crankwise::test
