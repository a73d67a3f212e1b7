// The knowledge fitted to one bike: what applies to its equipment, as the numbers that the cores work with.
//
// Prior odds: shares of what applies, scaled so that `multiple_share` of the bikes have two faults or more; times the
// context factors; times the wear factor of the part's hours. Shares and strengths are those of the knowledge, moved
// by what the shop has learned.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "core/belief/belief.h"
#include "core/plan/plan.h"
#include "edge/job.h"
#include "edge/knowledge.h"
#include "edge/learned.h"
#include "edge/yardstick.h"

namespace crankwise {

struct ShopSettings {
  double money_per_hour = 60;  // what an hour is worth; joins time and money
  std::string currency = "money";
  double multiple_share = 0.12;  // share of bikes with more than one fault; common practice
  std::set<std::string> lacks;   // tools the shop does not have
  Conditions usual;              // of readings taken here: height, the gauge's hose ...
  double simulated_worth = 0;    // answers that a simulated strength counts as, beside those of one by hand; 0: none
};

Json settings_data(const ShopSettings&);
/// Answers: 0 to 1000.
bool is_simulated_worth(double);

struct BikeModel {
  const Knowledge* knowledge = nullptr;
  Traits traits;
  Model model;  // faults[i] belongs to model.faults[i], and so on
  PlanModel plan;
  std::vector<const Fault*> faults;
  std::vector<const Finding*> findings;
  std::vector<const Part*> parts;
  std::vector<const Step*> steps;    // null for a question
  std::vector<int> question;         // per step of the plan: the finding that it asks the rider about, or -1
  Yardsticks yardsticks;             // by reading, of those that have one
  std::set<std::string> unreadable;  // findings that no reading can tell of this bike, for want of a figure
  std::map<std::string, int> fault_index, finding_index, part_index, step_index;

  int fault(const std::string& id) const { return at(fault_index, id); }  // -1 if it does not apply
  int finding(const std::string& id) const { return at(finding_index, id); }
  int part(const std::string& id) const { return at(part_index, id); }
  int step(const std::string& id) const { return at(step_index, id); }
  std::vector<Reading const*> readings_of(const Step&) const;  // those that apply to the bike
  /// What stands behind a step of the plan, in words.
  std::string step_name(int step) const;
  std::string step_id(int step) const;  // of a question: the finding's id

 private:
  static int at(const std::map<std::string, int>& index, const std::string& id) {
    const auto found = index.find(id);
    return found == index.end() ? -1 : found->second;
  }
};

/// `contexts`: what was so before (yes); the bike's traits must be known to the knowledge.
BikeModel fit(const Knowledge&, const Bike&, const std::set<std::string>& contexts, const ShopSettings&,
              const Learned& = {});

/// What hours and contexts make of the odds of the faults that apply: fault -> factor, where it is not 1.
std::map<std::string, double> odds_factors(const Knowledge&, const Bike&, const std::set<std::string>& contexts);

}  // namespace crankwise
