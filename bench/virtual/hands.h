// The hands on a virtual bike: they do what a policy says, pay for it, and say what they found. The same charge for
// every policy.
//
// Charged: parts off and on, warming up, the step's own minutes and money, gaskets on putting back. A known good part
// that did not help goes back: its minutes again, its money not. When the job is closed everything goes back on.
#pragma once

#include <vector>

#include "bench/virtual/answers.h"
#include "bench/virtual/book.h"
#include "bench/virtual/job.h"

namespace crankwise::bench {

struct Bill {
  Effort spent;
  int steps = 0;
  int parts_off = 0;       // parts taken off, all in all
  int bought_in_vain = 0;  // parts or materials paid for while none of what they put right was there
  double money_in_vain = 0;
  bool given_up = false;  // ended by the last resort
  bool stalled = false;   // given up because the policy went round in circles
  bool faulty = false;    // called fixed while a fault was there
};

class Hands {
 public:
  /// `real`: the bike as it is. Both must live on.
  Hands(const BikeModel& real, const Job&);

  /// The complaint, as it is written down.
  std::vector<Entry> take_in();
  /// Does a step of the plan; what is then written down.
  std::vector<Entry> perform(int step);
  /// Called fixed: everything back on.
  void close();

  bool ended() const { return bill_.given_up; }
  const Bill& bill() const { return bill_; }
  const std::vector<int>& there() const { return there_; }  // faults there now
  const Book& book() const { return book_; }
  /// The same entries with what was measured as numbers, as somebody writes them down who reads the gauge.
  std::vector<Entry> as_read(std::vector<Entry>) const;
  /// Nothing would come of this step: all it says has been said.
  bool idle(int step) const;
  void give_up_stalled();

 private:
  void charge(Effort e) { bill_.spent += e; }
  void go(const PlanStep&);  // access and warming up
  void ask(const PlanStep&, std::vector<Entry>&);
  void repair(int step, std::vector<Entry>&);
  void run(int step, std::vector<Entry>&);
  void put_back(int step, std::vector<Entry>&);
  void pay(const PlanStep&, bool in_vain);
  void write(std::vector<Entry>&, Entry);

  const BikeModel* real_;
  const Job* job_;
  Book book_;
  Gauges gauges_;
  Answers answers_;
  Bill bill_;
  std::vector<int> there_;
  std::vector<int> tries_;  // by fault: repairs of it so far
  struct Trial {
    int step;
    bool in_vain;
    std::vector<int> cured;
  };
  std::vector<Trial> trials_;     // known good parts in the bike, not yet run
  std::vector<int> fresh_cures_;  // put right since the last run
  int runs_ = 0;
};

/// What it would cost at best if the faults were known: the cheapest repairs and one run, from everything on.
Effort cost_if_known(const BikeModel& real, const Job&);

}  // namespace crankwise::bench
