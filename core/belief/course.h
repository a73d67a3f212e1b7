// The course of a job, as events on the faults still there, and what it says of the start.
//
// The table of the belief follows the faults still there: what is put right leaves the set, and nothing later depends
// on it but the next run, which asks whether anything was put right since the last one. What was there at the start is
// found backwards: how probable is all that came later, given the set before it (the backward pass of the
// forward-backward method, Rabiner 1989).
//
// A member of the sets is a fault that is there or, behind the faults, one that is out but will go back in.
#pragma once

#include <span>
#include <variant>
#include <vector>

#include "core/belief/likelihood.h"
#include "core/belief/set_table.h"

namespace crankwise::course {

/// A run: quiet(H), times `touched` if anything was put right since the last run, else `nothing`.
struct RunSeen {
  Likelihood quiet;
  double touched = 1, nothing = 1;
  std::vector<float> untouched;  // 0 for each member put right since the last run; empty if there is none

  /// With the second factor of a bike of which nothing has left the set since the last run.
  Observation if_none_left() const;
  /// ... of which something has.
  Likelihood if_gone() const;
};
struct Cured {
  std::vector<double> chance;  // per member
};
struct Moved {
  int from, to;
  double share;
};
struct Resized {
  int before, after;
};
using Event = std::variant<Observation, RunSeen, Cured, Moved, Resized>;

/// Weights of the sets at the start after the whole course, from those before it.
SetTable start_after(const SetTable& before, std::span<const Event> course);

/// What may be left at the end of a set at the start, with the weights of the ways there.
struct End {
  int left[3] = {-1, -1, -1};  // members, in the order of the start
  double weight = 0;           // relative to the other ends of the same set
};
std::vector<End> ends_of(const int (&start)[3], std::span<const Event> course);

}  // namespace crankwise::course
