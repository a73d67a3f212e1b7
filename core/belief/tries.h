// Each fault split by which of its repairs work, every try with its own luck: for the bound on what is left out, which
// asks for the weight of every member from the start to now.
#pragma once

#include <span>
#include <vector>

#include "core/belief/belief.h"

namespace crankwise {

struct Try {
  int fault = 0;
  std::vector<int> put_right_by;  // numbers of the repairs of this fault that work; more than one only if it came back
  bool cured = false;             // put right by now
  bool since_run = false;         // put right since the last run
};

class Tries {
 public:
  Tries(const Model&, std::span<const Happening> history);

  // To be told in the order of the history.
  void repaired(const Cure&);
  void put_back(int fault);
  void ran();

  std::vector<Try> members;
  std::vector<double> odds;  // prior odds beside

 private:
  std::vector<int> count_;  // repairs so far, per fault
};

}  // namespace crankwise
