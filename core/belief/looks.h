// Answers and readings as observations of the faults that are there.
#pragma once

#include <span>
#include <vector>

#include "core/belief/belief.h"
#include "core/belief/likelihood.h"

namespace crankwise {

/// What was seen at one place of the history.
struct Look {
  std::size_t place = 0;  // index in the history
  Observation seen;       // one factor per fault of the model: what it does while it is there
};

/// All looks, in order. A finding answered twice with no repair between that bears on it is one look, at the place of
/// the first answer; so are the answers on findings of one error group between two repairs.
std::vector<Look> looks_of(const Model&, std::span<const Happening> history);

/// Per fault: the chance that it alone does not show the finding.
std::vector<float> absent_by_fault(const Model&, const FindingModel&);

}  // namespace crankwise
