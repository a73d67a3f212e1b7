// Takes of engines, made by recipe, of which the truth is known exactly.
//
//   for (const std::string& name : names(Set::tuning)) {
//     const Case c = make(Set::tuning, name);   // the same samples whenever and wherever it is made
//     sound::follow(sound::signal_of(c.samples), c.engine);
//     c.truth.rpm.rpm(1.25);
//   }
//
// The tuning set is there to choose by; the scoring set has the same kinds of take and more, with other engines,
// speeds, noises and seeds, and nothing may be chosen by it.
#pragma once

#include <string>
#include <vector>

#include "core/sound/track.h"
#include "tests/sounds/truth.h"

namespace crankwise::sounds {

enum class Set { tuning, scoring };

struct Case {
  std::string name;
  sound::Engine engine;        // what its rider knows
  std::vector<float> samples;  // at sound::kRateHz
  Truth truth;
};

/// In the order of the kinds.
std::vector<std::string> names(Set);
/// `name` is one of names(set).
Case make(Set, const std::string& name);
/// Of all the dice of one case; no two cases share one.
std::uint64_t seed(Set, const std::string& name);

/// All at once: some 50 MB.
std::vector<Case> tuning_set();
std::vector<Case> scoring_set();

}  // namespace crankwise::sounds
