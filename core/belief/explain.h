// Why the belief is what it is: weights of evidence, and whether the evidence hangs together.
//
// Weight of evidence (Good 1950): decibans, 10 log10 of the factor by which odds change; 3 dB about doubles them, 10 dB
// is ten times. Findings are not independent, so a finding is weighed by leaving it out: dB(P(all)) - dB(P(all but
// it)).
#pragma once

#include <span>
#include <vector>

#include "core/belief/belief.h"

namespace crankwise {

/// 10 log10 of the odds of p, p held between 1e-9 and 1 - 1e-9.
double decibans(double p);
/// Posterior probability from a prior and a likelihood ratio given in decibans.
double after_weight(double prior, double weight_db);

struct EvidenceWeight {
  std::size_t happening = 0;  // index in the history; only answers, readings and runs are weighed
  double db = 0;              // for the fault being there now
};

/// One rebuild a happening. `fault`: index in the model.
std::vector<EvidenceWeight> weigh_evidence(const Model&, std::span<const Happening> history, int fault);

/// Conflict in bits (Jensen's measure): log2 of (product of P(e_i)) / P(e_1 .. e_n) over the answers and readings
/// before the first repair. Above 0 the findings speak against each other more than chance would have it.
double conflict_bits(const Model&, std::span<const Happening> history);

}  // namespace crankwise
