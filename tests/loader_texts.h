// Knowledge texts for tests of the loader.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "edge/knowledge.h"
#include "edge/problem.h"

namespace crankwise::small {

using Files = std::vector<std::pair<std::string, std::string>>;

/// The least that is whole.
inline const char* const kGood = R"(source = "from memory"
[trait.two-stroke]
name = "two-stroke"
group = "cycle"
[trait.four-stroke]
name = "four-stroke"
group = "cycle"
[trait.reed-valve]
name = "reed valve"
[class.cross]
name = "crosser"
displacement_cc = 125
traits = ["two-stroke", "reed-valve"]
[context.stood-long]
short = "stood long"
ask = "Did it stand long?"
[tool.pressure-gauge]
name = "pressure gauge"
[caution.hot-parts]
title = "Hot parts"
text = "Let it cool."
[part.seat]
name = "seat"
off_min = 1
on_min = 1
[part.tank]
name = "tank"
off_min = 3
on_min = 3
after = ["seat"]
[fault.jet-blocked]
name = "jet blocked"
part = "jet"
share = 10
causes = { weak = "mostly", jet-dirty = "nearly always" }
wears = { part = "jet", life_h = 100, shape = 2 }
[fault.not-in-list]
name = "something else"
part = "bike"
share = 1
last_resort = true
causes_every = { complaint = "often" }
[finding.weak]
short = "weak"
ask = "Is it weak?"
kind = "complaint"
words = ["weak", "no power"]
[finding.jet-dirty]
short = "jet dirty"
ask = "Is the jet dirty?"
[reading.jet-flow]
name = "Flow"
ask = "Catch it for a minute."
unit = "mL/min"
possible = [0, 10000]
below = "jet-dirty"
ranges = [{ healthy = [100, 200] }]
[step.look-at-jet]
name = "Look at the jet"
minutes = 5
answers = ["jet-dirty"]
reads = ["jet-flow"]
[step.clean-jet]
name = "Clean the jet"
kind = "clean"
minutes = 10
cures = { jet-blocked = "nearly always" }
[step.ride]
name = "Ride it"
kind = "run"
engine = "ridden"
minutes = 5
[step.strip]
name = "Full strip"
kind = "replace"
minutes = 600
last_resort = true
cures = { not-in-list = "nearly always" }
)";

inline std::string message(const Files& files) {
  try {
    parse_knowledge(files);
  } catch (const BadInput& e) {
    return e.what();
  }
  return "no problem found";
}

}  // namespace crankwise::small
