// The belief of the policies to compare with: the likeliest fault sets after the complaint, carried on from happening
// to happening. The same model as core/belief, which splits every fault by its tries and so grows dear after dozens of
// repairs; here only what is left matters, and what a part that goes back would bring back.
//
// Looks that share their error are judged together if they come in one step.
#pragma once

#include <array>
#include <span>

#include "bench/virtual/book.h"

namespace crankwise::bench {

struct World {
  std::array<int, 3> left{-1, -1, -1};   // faults still there, ascending, -1 after them
  std::array<int, 3> cured{-1, -1, -1};  // put right by the last try at them
  bool since_run = false;                // something was put right since the last run
  double weight = 0;

  int count() const { return (left[0] >= 0) + (left[1] >= 0) + (left[2] >= 0); }
};

class Filter {
 public:
  /// The book must live on.
  explicit Filter(const Book&);

  /// Takes up what is new in the book.
  void update();
  const std::vector<World>& worlds() const { return worlds_; }  // weights sum to one
  double nothing_left() const;
  std::vector<double> still_there() const;  // by fault
  double chance_so(int finding, const World&) const;

 private:
  void answered(std::span<const Happening>);
  void repaired(const std::vector<Cure>&);
  void put_back(const std::vector<int>&);
  void ran(RunResult);
  void touched(int fault);
  void merge();
  template <class Factor>
  void weigh(Factor);  // weight *= factor(world), then sum to one; left as it was if nothing remains

  const Book* book_;
  std::vector<World> worlds_;
  size_t taken_ = 0;                        // happenings taken up
  bool ran_ = false;                        // since the last repair
  std::vector<char> asked_;                 // by finding: answered, and no repair since that bears on it
  std::vector<std::vector<float>> absent_;  // by finding and fault: 1 - strength
};

}  // namespace crankwise::bench
