// One observation as a function of what is wrong.
//
// Every answer, reading and run becomes the same thing: how probable was it, if exactly the set H of faults is there?
//
//   Likelihood   L(H) = constant + coef * prod over i in H of factor[i]
//   Observation  offset + weight * product of likelihoods
//
// A finding of the noisy-OR kind with leak and links c_i is absent with Q(H) = (1 - leak) prod (1 - c_i), so
//     yes   = hit - (hit - false_alarm) * Q        coef below 0: more faults make it likelier ("rising")
//     no    = (1 - hit) + (hit - false_alarm) * Q  coef above 0: more faults make it unlikelier ("falling")
// The answer of a run after a repair is a product of two; looks that share their error are
//     P(bad look) * P(answers | bad look) + P(good look) * product of the answers of a good look.
#pragma once

#include <vector>

namespace crankwise {

struct Likelihood {
  double constant = 0;
  double coef = 0;
  std::vector<float> factor;  // one entry per member of the hypothesis space, each in [0, 1]

  double at_none() const { return constant + coef; }
  double greatest() const { return coef > 0 ? constant + coef : constant; }
};

struct Observation {
  double offset = 0;
  double weight = 1;
  std::vector<Likelihood> parts;  // at least one
};

}  // namespace crankwise
