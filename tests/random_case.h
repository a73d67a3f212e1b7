// Random models and jobs from a seed, and the comparison of a belief with its judge.
#pragma once

#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "core/belief/belief.h"
#include "tests/oracle.h"

namespace crankwise {

class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  double share() { return static_cast<double>(engine_()) / 4294967296.0; }  // [0, 1), the same on every machine
  double between(double low, double high) { return low + (high - low) * share(); }
  int whole(int low, int high) { return low + static_cast<int>(share() * (high - low + 1)); }  // both included
  bool chance(double p) { return share() < p; }

 private:
  std::mt19937 engine_;
};

struct CaseKind {
  int least_faults = 2, most_faults = 12;
  double greatest_odds = 0.4;
  bool perfect = false;  // answers and runs without error, links as they are
  bool real = true;      // answers drawn from a job that could be; else anything may be answered
  bool repairs = true, runs = true, groups = true, exclusive = true, measured = true;
  int happenings = 14;
  int uncertain_cures = 3;
};

struct RandomCase {
  Model model;
  std::vector<Happening> history;
};

/// `kind` is what the case may hold, `seed` picks one.
RandomCase random_case(unsigned seed, const CaseKind& kind);
/// The model alone, for tests that write their own history.
Model random_model(Dice&, const CaseKind& kind);

/// In words, for the message of a failed test.
std::string in_words(const RandomCase&);

/// Largest difference of any number of the belief from that of the judge, and which number it was.
struct Difference {
  double size = 0;
  std::string where;
  void note(double a, double b, const std::string& name);
};
Difference difference(const Belief&, const oracle::Truth&);

}  // namespace crankwise
