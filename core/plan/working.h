// A small copy of the belief to plan with: the heaviest fault sets, what every finding would say under each, and the
// cost of working through the faults one by one from there.
#pragma once

#include <array>
#include <utility>
#include <vector>

#include "core/plan/plan.h"

namespace crankwise::plan {

/// What a bit of information costs on the bench: a good look gives about 0.6 bit in 5 minutes. On 50 jobs drawn from
/// the knowledge 6 did better than 12.
inline constexpr double kMinutesPerBit = 8;
inline constexpr std::size_t kSets = 160;  // more sets move no advice, less weight is lost than the answers err

/// The faults still there under one hypothesis; -1 where there is none.
struct Left {
  std::array<int, 3> fault{-1, -1, -1};
  int size() const { return (fault[0] >= 0) + (fault[1] >= 0) + (fault[2] >= 0); }
  bool none() const { return fault[0] < 0; }
  void remove(int f);
};

/// One way things may be, with its chance.
struct World {
  Left left;
  int set = 0;  // index of the fault set it comes from: what findings say
  double weight = 0;
};
using Worlds = std::vector<World>;

/// A way to deal with some faults: a repair blind (all that it cures), or a look at one fault and the repair if it is
/// bad.
struct Block {
  int repair = -1;     // step
  int look = -1;       // step; -1: blind
  int finding = -1;    // what the look must say
  int fault = -1;      // of a look; the likeliest one of a blind repair is found when it is proposed
  double cure = 0;     // of a look: chance that the repair puts the fault right
  double ends_if = 0;  // of a look: chance that it says bad and the repair works, if the fault is there alone
  double later_look = 0, later_repair = 0;  // joined cost with everything on the bike to begin with
  double least = 0;                         // joined cost without any access: no state of strip-down makes it cheaper
  int first_step() const { return look >= 0 ? look : repair; }
};

class Working {
 public:
  Working(const PlanModel&, const Belief&, const PlanState&);

  const PlanModel& model() const { return model_; }
  const Worlds& worlds() const { return worlds_; }  // weights sum to one; worlds()[i].set == i
  /// P(the answer is yes | set), one a set; empty if no step that may be done would answer it.
  const std::vector<float>& yes(int finding) const { return yes_[static_cast<std::size_t>(finding)]; }
  /// Chance that one run is clean though the set is there.
  double quiet(const Left&) const;

  PartMask after(PartMask from, const PlanStep&) const;
  Effort reach(PartMask from, const PlanStep&) const;  // access and warming up
  Effort close_and_run(PartMask from) const;
  double joined(const Effort& e) const { return e.joined(model_.minutes_per_money); }
  bool may_do(const PlanStep&) const;

  struct Ranked {
    Block block;
    double ends = 0;  // chance that it ends the job
    double cost = 0;  // joined, expected
    double index() const { return ends / cost; }
  };
  /// Blocks worth a thought from this state of strip-down, highest index first.
  std::vector<Ranked> ranked(PartMask from) const;

  /// Expected joined cost from here; the lesser of two ways to go on:
  ///   in_order    the blocks in the order of their index until a run is clean, or giving up where that is cheaper
  ///   by_looking  what every fault set costs once it is known, and kMinutesPerBit for each bit that is missing to know
  ///   it
  /// The weights need not sum to one (the cost is of their sum). `asked`: findings that have just been answered, so
  /// that looking for them again says nothing new.
  double cost_to_go(const Worlds&, PartMask from, const std::vector<int>& asked = {}) const;
  double in_order(const Worlds&, PartMask from, const std::vector<int>& asked = {}) const;
  double by_looking(const Worlds&) const;

 private:
  void make_blocks();
  double ends(const Block&, const std::vector<double>& alone) const;
  double cost(const Block&, double chance_bad, PartMask from) const;
  std::pair<double, double> costs(const Block&, PartMask from) const;  // of the look, of the repair with its run
  std::vector<double> chances_bad(const Worlds&, double sum) const;
  std::vector<double> alone(const Worlds&) const;

  const PlanModel& model_;
  const Model& belief_model_;
  bool engine_runs_, engine_hot_;
  Worlds worlds_;
  std::vector<std::vector<float>> yes_;
  std::vector<Block> blocks_;
  std::vector<int> asked_findings_;  // those that some block's look answers
  std::vector<double> known_cost_;   // per fault: the cheapest repair with its run
  double give_up_later_ = 0;
};

}  // namespace crankwise::plan
