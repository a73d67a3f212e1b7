// A diagnosis in words.
#pragma once

#include <string>
#include <vector>

#include "app/diagnosis.h"

namespace crankwise {

/// "about doubles", "about 5 times likelier", "about half as likely" ...
std::string weight_in_words(double decibans);

struct Reason {
  std::string what;  // "hits a wall at one speed: yes", "run: same as before"
  double db = 0;
  std::string words;
};

struct Why {
  double prior = 0;  // before anything was answered
  double now = 0;
  std::vector<std::string> before;      // what moved the prior: contexts and hours
  std::vector<Reason> raised, lowered;  // heaviest first, at least 1 dB
  std::vector<std::string> turns;       // what would change the answer
};
Why why(const Diagnosis&, int fault);

/// What one reading alone did to a fault that causes what it speaks for.
struct Moved {
  int fault = -1;
  double db = 0;
  double chance = 0;  // by how much its chance rose
};
/// Those whose chance it changed most first; of 1 dB or more, and at least a little likely before or after.
std::vector<Moved> moved_by(const Diagnosis&, const ReadingVerdict&);

/// How a reading was judged, a sentence each: how it lies, what it speaks for, what else is to be said.
std::vector<std::string> verdict_in_words(const Diagnosis&, const ReadingVerdict&);

/// Warnings about the belief as a whole: contradiction, conflict, what the sets of four and more could weigh.
std::vector<std::string> doubts(const Diagnosis&);

/// One entry, as it reads in a list.
std::string entry_in_words(const Knowledge&, const Entry&);
std::string outcome_in_words(const Diagnosis&, const Outcome&);
/// Why the last resort is the advice.
std::string why_last_resort(const Diagnosis&);

}  // namespace crankwise
