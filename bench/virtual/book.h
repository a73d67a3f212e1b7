// What has been written down on a job, as one body of knowledge sees it: the same state, prices and happenings that
// app/diagnosis.h makes of the entries, without asking for advice (held together by a test).
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "core/plan/plan.h"
#include "edge/bike_model.h"
#include "edge/job.h"

namespace crankwise::bench {

class Book {
 public:
  /// The bike model must live on.
  explicit Book(const BikeModel&);

  void add(const Entry&);

  const BikeModel& bike() const { return *bike_; }
  const PlanModel& plan() const { return plan_; }
  const PlanState& state() const { return state_; }
  const Model& model() const { return model_; }
  const std::vector<Happening>& history() const { return history_; }
  Belief believe() const { return crankwise::believe(model_, history_); }
  const PlanStep& step(int s) const { return plan_.steps[static_cast<size_t>(s)]; }

  // What a step takes from a state of strip-down.
  PartMask after(PartMask from, const PlanStep&) const;
  Effort reach(PartMask from, const PlanStep&) const;  // access and warming up
  Effort close_and_run(PartMask from) const;
  double joined(const Effort& e) const { return e.joined(plan_.minutes_per_money); }
  static double steady(double shows);  // of a trouble that is there every time
  double give_up_cost() const;         // joined, from here
  bool may_do(const PlanStep& s) const { return state_.engine_runs || !(s.needs_running || s.needs_hot); }

 private:
  void on(const SaidSo&);
  void on(const Did&);
  void on(const WentBack&);
  void on(const RanIt&);
  void on(const auto&) {}
  void derive();
  void unsettle(const std::vector<Cure>&);
  bool any(bool Finding::*flag, Answer) const;

  const BikeModel* bike_;
  Model model_;
  PlanModel plan_;
  PlanState state_;
  std::vector<Happening> history_;
  std::map<int, Answer> answers_;
};

}  // namespace crankwise::bench
