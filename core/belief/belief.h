// What is wrong with this bike, given what was seen and done so far.
//
//   Belief b = believe(model, history);
//   b.still_there()[f]     chance that fault f is there now
//
// A hypothesis is the set of faults present at the start and what the repairs have left of it. Later answers are judged
// against the faults still there, a failed run removes what the repairs explain. Every try of a repair that works only
// sometimes has its own luck, and everything after it stays exact. A known good part that goes back out again puts its
// fault back in. The cost does not grow with the number of repairs before (course.h).
//
// The same finding answered twice with no repair between that bears on it counts once, the last answer. Answers on
// findings with one error group, given between the same repairs, share their error; a number stands alone, as its own
// error is in what it is worth.
#pragma once

#include <span>
#include <utility>
#include <variant>
#include <vector>

#include "core/belief/course.h"
#include "core/belief/set_table.h"

namespace crankwise {

enum class Answer { no, yes, unsure };
enum class RunResult { gone, better, same };

/// How a person answers, given whether it is so.
struct AnswerRates {
  double yes_if_so = 0.95;
  double yes_if_not = 0.03;
  double unsure_if_so = 0.12;
  double unsure_if_not = 0.08;
  /// P(answer | so), P(answer | not so)
  std::pair<double, double> chance(Answer) const;
};

struct Link {
  int fault = 0;
  double strength = 0;  // chance that this fault alone shows the finding, background not counted; 0 to 1
};

struct FindingModel {
  double background = 0.01;  // leak: seen though nothing in the list causes it
  std::vector<Link> links;
  AnswerRates rates;
  int error_group = -1;  // findings with the same number share their error
};

struct FaultModel {
  double odds = 0.01;   // prior odds, above 0
  double shows = 0.98;  // chance that one run brings the complaint out if only this is there
};

struct Model {
  std::vector<FaultModel> faults;
  std::vector<FindingModel> findings;
  std::vector<std::pair<int, int>> exclusive;
  double nothing_wrong = 1e-4;   // chance of a complaint about a healthy bike
  double false_trouble = 0.01;   // chance that a run of a healthy bike is called bad
  double better_if_cured = 0.5;  // a bad run after curing one of two faults is called "better"
  double better_if_not = 0.06;   // ... after curing nothing
};

// What can happen on a job.
struct Answered {
  int finding;
  Answer answer;
};
/// A number, as how probable it is if the finding is so and if it is not (any common scale).
struct Measured {
  int finding;
  double if_so, if_not;
};
struct Cure {
  int fault;
  double chance;
};
struct Repaired {
  std::vector<Cure> cures;
};
struct PutBack {
  std::vector<int> faults;
};  // the old part went back in: what the last repair of these cured is back
struct Ran {
  RunResult result;
};
using Happening = std::variant<Answered, Measured, Repaired, PutBack, Ran>;

class Belief {
 public:
  std::vector<double> still_there() const;       // per fault of the model: chance that it is there now
  std::vector<double> there_at_start() const;    // per fault: chance that it was part of the trouble; a rebuild's cost
  std::vector<double> alone_now() const;         // per fault: chance that it is the only one left
  double nothing_left() const;                   // chance that every fault has been put right
  double left_out() const { return left_out_; }  // bound on what sets of four and more faults could weigh
  double log_evidence() const { return table.log_evidence(); }

  /// Factor column (one entry per fault) of "finding is absent" for the faults still there, background included in the
  /// caller's hands: P(absent) = (1 - background) * expect(column).
  std::vector<float> absent_column(const FindingModel&) const;
  double chance_so(const FindingModel&) const;  // P(finding is so)
  std::vector<double> chances_so() const;       // of every finding of the model, much quicker than one by one

  struct Set {
    std::vector<int> faults;     // at the start, ascending
    std::vector<int> remaining;  // of these, still there
    double probability = 0;
  };
  /// The likeliest fault sets, likeliest first. After a repair about the cost of a rebuild.
  std::vector<Set> sets(std::size_t count) const;
  /// The likeliest sets still there, likeliest first; much quicker than sets() after repairs. `faults` stays empty.
  std::vector<Set> remaining_sets(std::size_t count) const;

  const Model* model = nullptr;  // the model it was made from; must live on
  SetTable table;                // the faults still there
  bool contradiction = false;    // an observation was impossible under every set and was left out

 private:
  friend class Rebuild;
  SetTable at_start() const;
  bool repaired_ = false;              // else the start is now
  SetTable before_repairs_;            // sets before the first repair
  std::vector<course::Event> course_;  // from there on
  double left_out_ = 0;
};

/// The belief after the complaint and everything in `history`, in order. Depends on nothing else.
Belief believe(const Model&, std::span<const Happening> history);

}  // namespace crankwise
