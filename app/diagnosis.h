// A bike and what was written down about it, judged: what is wrong and what to do next.
//
//   Diagnosis d = diagnose(knowledge, bike, entries, shop);
//   d.belief.still_there(), d.advice.options.front(), d.suspects(10)
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "app/readings/appraise.h"
#include "core/plan/plan.h"
#include "edge/bike_model.h"
#include "edge/job.h"

namespace crankwise {

/// How a reading was judged, for showing.
struct ReadingVerdict {
  const Reading* reading = nullptr;
  Appraised appraised;
  std::size_t entry = 0;                  // index of the entry that it comes from
  std::size_t first = 0, happenings = 0;  // of the history, that it made
};

/// What an entry usually takes, as the plan counts it from the state of strip-down before it.
struct UsualEffort {
  Effort access, own;  // parts off and on to get there; the step itself
};

struct Suspect {
  int fault = -1;
  double probability = 0;
};

class Diagnosis {
 public:
  const BikeModel& bike() const { return *bike_; }
  std::vector<Suspect> suspects(std::size_t count) const;  // still there, likeliest first
  const Finding& finding(int f) const { return *bike_->findings[static_cast<std::size_t>(f)]; }
  const Fault& fault(int f) const { return *bike_->faults[static_cast<std::size_t>(f)]; }

  std::vector<Happening> history;
  std::vector<std::size_t> entry_of;  // per happening: index of the entry that it comes from
  std::vector<ReadingVerdict> verdicts;
  std::vector<UsualEffort> usual;         // per entry
  std::vector<std::string> left_out;      // entries that do not apply to this bike, in words
  std::map<std::string, Answer> answers;  // latest, by finding
  std::set<std::string> contexts;
  PlanState state;
  Belief belief;
  Advice advice;

 private:
  friend Diagnosis judge(const Knowledge&, const Bike&, const std::vector<Entry>&, const ShopSettings&, const Learned&);
  std::unique_ptr<BikeModel> bike_;  // belief points into it
};

/// Without the advice: about half the time.
Diagnosis judge(const Knowledge&, const Bike&, const std::vector<Entry>&, const ShopSettings&, const Learned& = {});
Diagnosis diagnose(const Knowledge&, const Bike&, const std::vector<Entry>&, const ShopSettings&, const Learned& = {});

/// Between which chances of the leading fault the advice stands; plans the job some twenty times.
Standing standing_of(const Diagnosis&);

}  // namespace crankwise
