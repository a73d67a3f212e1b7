// Who decides what to do next on a virtual bike. A policy sees what is written down on the job and the knowledge it was
// given, never the truth. All close a job by the same proof (clean runs until the doubt is small) and all may give up.
#pragma once

#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "edge/bike_model.h"

namespace crankwise::bench {

enum class PolicyKind {
  ours,         // the advice of diagnose()
  list,         // one fixed list, cheap things first
  sorted_list,  // the same list sorted once for the complaint, then kept
  ratio,        // repairs only: chance over cost, thought over after each
  information,  // information per minute; a fault likelier than one half is put right
  no_readings,  // as ours, but nothing is ever measured: looks, swaps and repairs alone
};
inline constexpr PolicyKind kPolicies[] = {PolicyKind::ours,  PolicyKind::list,        PolicyKind::sorted_list,
                                           PolicyKind::ratio, PolicyKind::information, PolicyKind::no_readings};
std::string_view text(PolicyKind);  // for tables
std::string_view word(PolicyKind);  // for the command line

/// What a policy knows: perhaps wrong, of the same shape as the truth.
struct Believed {
  const Knowledge* knowledge;
  const Bike* bike;
  const BikeModel* model;            // fitted from these
  const Learned* learned = nullptr;  // and from this, if there is any
};

class Policy {
 public:
  virtual ~Policy() = default;
  virtual void note(const std::vector<Entry>&) = 0;
  /// Does it take numbers for what was measured? Otherwise it is told whether they speak for the finding.
  virtual bool reads_gauges() const { return false; }
  /// The step of the plan to do now; nothing: it is proven, close the job.
  virtual std::optional<int> next() = 0;
  /// What the last next() was chosen from, best first; empty if this policy does not say.
  virtual std::vector<Option> options() const { return {}; }
  /// Chance of every fault being there now, as of the last next(); empty if this policy is not asked for it.
  virtual std::vector<double> forecast() const { return {}; }
};

/// What it points to must live on.
std::unique_ptr<Policy> make_policy(PolicyKind, const Believed&);

}  // namespace crankwise::bench
