// What the planner works on: a small copy of the belief, what every finding would say under each fault set, how each
// fault can be dealt with, and what a step costs from each state of strip-down.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <span>
#include <vector>

#include "core/plan/plan.h"

namespace crankwise::plan {

inline constexpr std::size_t kSets = 160;     // fault sets planned with; more move no advice
inline constexpr std::size_t kColumns = 192;  // findings planned with: the most telling ones

/// The faults still there, ascending; -1 where there is none.
struct Left {
  std::array<int, 3> fault{-1, -1, -1};
  int size() const { return (fault[0] >= 0) + (fault[1] >= 0) + (fault[2] >= 0); }
  Left without(int k) const;  // the k-th taken out
  bool operator==(const Left&) const = default;
  bool operator<(const Left& o) const { return fault < o.fault; }
};

/// A fault set that may be left, with its weight.
struct World {
  int left = 0;  // index into Problem::lefts()
  double weight = 0;
};

/// Where the bike stands: which parts are off, is it hot. A small number stands for it.
using Place = int;

/// Doing a step from a place: joined cost (access, warming up, its own minutes and money; of a swap without the part's
/// price), and the place after it.
struct Going {
  double cost = 0;
  Place to = 0;
};

struct RepairOf {
  int step = -1;
  double chance = 0;  // that it puts the fault right
  double later = 0;   // cost with its run, everything on to begin with
};

/// A look that mostly shows one fault if it is there.
struct LookAt {
  int step = -1, column = -1;
  double hit = 0, false_alarm = 0;     // chance of a yes if only this fault is there, if nothing is
  double later = 0, later_repair = 0;  // cost of looking with everything on; of the repair with its run after it
};

class Problem {
 public:
  Problem(const PlanModel&, const Belief&, const PlanState&, Tilt);

  const PlanModel& model() const { return model_; }
  const PlanStep& step(int s) const { return model_.steps[static_cast<std::size_t>(s)]; }
  std::size_t faults() const { return repairs_.size(); }

  const std::vector<World>& worlds() const { return worlds_; }  // at the start; weights sum to one
  const std::vector<Left>& lefts() const { return lefts_; }     // 0: nothing is left
  int without(int left, int k) const { return without_[static_cast<std::size_t>(left)][static_cast<std::size_t>(k)]; }
  /// Chance that a run is clean with these left.
  double quiet(int left) const { return quiet_[static_cast<std::size_t>(left)]; }

  // Findings that a step may answer, one column each, most telling first.
  std::size_t columns() const { return findings_.size(); }
  std::size_t stride() const { return stride_; }
  int finding(int column) const { return findings_[static_cast<std::size_t>(column)]; }
  /// Row of P(yes | left), and of the answer's entropy in bits.
  const float* yes(int left) const { return yes_.data() + static_cast<std::size_t>(left) * stride_; }
  const float* noise(int left) const { return noise_.data() + static_cast<std::size_t>(left) * stride_; }
  /// Where a column differs from its value with nothing left: few fault sets bear on a finding.
  struct Bearing {
    int left = 0;
    float yes = 0, noise = 0;  // more than with nothing left
  };
  std::span<const Bearing> bearing(int column) const {
    const auto c = static_cast<std::size_t>(column);
    return {bearing_.data() + bearing_from_[c], bearing_.data() + bearing_from_[c + 1]};
  }
  const std::vector<int>& columns_of(int step) const { return columns_of_[static_cast<std::size_t>(step)]; }
  const std::vector<int>& asks() const { return asks_; }  // steps that answer some column

  const std::vector<RepairOf>& repairs(int fault) const { return repairs_[static_cast<std::size_t>(fault)]; }
  /// Of the cheapest repair with its run, tried until it works; of the last resort where there is none.
  double known_cost(int fault) const { return known_cost_[static_cast<std::size_t>(fault)]; }
  /// No look at the fault and its repair have a higher index than this, times the weight of the fault.
  double look_index(int fault) const { return look_index_[static_cast<std::size_t>(fault)]; }
  const std::vector<LookAt>& looks(int fault) const { return looks_[static_cast<std::size_t>(fault)]; }

  Place start() const { return start_; }
  Place all_on() const { return 0; }
  Going go(Place from, int step);
  Going run(Place from) { return go(from, model_.run_step); }
  double give_up(Place from) { return go(from, model_.last_resort).cost; }
  double joined(const Effort& e) const { return e.joined(model_.minutes_per_money); }
  PartMask off(Place p) const { return places_[static_cast<std::size_t>(p)].off; }
  bool hot(Place p) const { return places_[static_cast<std::size_t>(p)].hot; }
  PartMask off_after(PartMask from, const PlanStep&) const;
  Effort reach(PartMask from, bool hot, const PlanStep&) const;  // access and warming up

 private:
  struct PlaceData {
    PartMask off = 0;
    bool hot = false;
    std::vector<Going> going;  // per step; to < 0: not worked out yet
  };
  int index_of(const Left&);
  Place place(PartMask off, bool hot);
  void take_worlds(const Belief&, Tilt);
  void make_rows(const Model&, const PlanState&);
  void keep_most_telling(std::vector<int> wanted);
  void make_dealings(const Model&);
  bool may_do(const PlanStep& s) const { return s.ready && (engine_runs_ || !(s.needs_running || s.needs_hot)); }

  const PlanModel& model_;
  bool engine_runs_;
  std::vector<World> worlds_;
  std::vector<Left> lefts_;
  std::map<Left, int> left_index_;
  std::vector<std::array<int, 3>> without_;
  std::vector<double> quiet_;
  std::vector<int> findings_;
  std::size_t stride_ = 0;
  std::vector<float> yes_, noise_;
  std::vector<Bearing> bearing_;
  std::vector<std::size_t> bearing_from_;
  std::vector<std::vector<int>> columns_of_;
  std::vector<int> asks_;
  std::vector<std::vector<RepairOf>> repairs_;
  std::vector<std::vector<LookAt>> looks_;
  std::vector<double> known_cost_, look_index_;
  std::vector<PlaceData> places_;
  std::map<std::pair<PartMask, bool>, Place> place_index_;
  Place start_ = 0;
};

}  // namespace crankwise::plan
