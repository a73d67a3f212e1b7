// One virtual job: what is wrong with the bike, drawn from the prior of its kind, and what the rider tells of it.
#pragma once

#include <vector>

#include "bench/virtual/answers.h"
#include "bench/virtual/dice.h"
#include "edge/bike_model.h"

namespace crankwise::bench {

inline constexpr int kMostTold = 4;  // complaints that a rider comes with, at most

struct Job {
  Dice dice;
  std::vector<int> faults;  // one to three, ascending
  std::vector<int> told;    // complaint findings that the rider says are so, at least one
  int round = 0;            // of the throws of its answers (Answers)
  bool steady = false;      // the rider would deny that it comes and goes
};

Job draw_job(const BikeModel&, std::uint64_t seed, int number);

}  // namespace crankwise::bench
