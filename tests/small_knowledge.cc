#include "tests/small_knowledge.h"

namespace crankwise::test {
namespace {

constexpr const char* kSmall = R"(
source = "common practice"

[trait.two-stroke]
name = "two-stroke"
group = "cycle"
[trait.four-stroke]
name = "four-stroke"
group = "cycle"
[trait.carburettor]
name = "carburettor"
group = "fuelling"
[trait.injection]
name = "fuel injection"
group = "fuelling"
[trait.reed-valve]
name = "reed valve"
[trait.kick-start]
name = "kick-starter"

[class.mini-two-stroke]
name = "small two-stroke"
displacement_cc = 85
traits = ["two-stroke", "carburettor", "reed-valve", "kick-start"]
[class.mini-four-stroke]
name = "small four-stroke"
displacement_cc = 110
traits = ["four-stroke", "injection"]

[tool.gauge]
name = "compression gauge"
[tool.spark-tester]
name = "spark tester"
[caution.vapour]
title = "Petrol vapour"
text = "No flame near."
[context.stood]
short = "stood for long"
ask = "Has it stood for more than a month?"
[context.new-plug]
short = "new plug already"
ask = "Has it got a new plug?"

[part.seat]
name = "seat"
off_min = 2
on_min = 2
to_run = false
[part.tank]
name = "tank"
off_min = 5
on_min = 6
after = ["seat"]
[part.plug]
name = "plug"
off_min = 2
on_min = 3
[part.reed-cage]
name = "reed cage"
off_min = 6
on_min = 8
applies = ["reed-valve"]

[fault.plug-worn]
name = "plug worn"
part = "plug"
share = 12
wears = { part = "plug", life_h = 20, shape = 2 }
[fault.plug-worn.causes]
breaks-up = "mostly"
wont-start = "sometimes"
plug-looks-bad = "often"
spark-weak = "often"
[fault.plug-worn.context]
new-plug = 0.2

[fault.main-jet-blocked]
name = "main jet blocked"
part = "carburettor"
applies = ["carburettor"]
share = 9
[fault.main-jet-blocked.causes]
bogs-up-top = "nearly always"
jet-dirty = "nearly always"
[fault.main-jet-blocked.context]
stood = 4

[fault.reed-chipped]
name = "reed petal chipped"
part = "reeds"
applies = ["reed-valve"]
share = 6
[fault.reed-chipped.causes]
bogs-up-top = "sometimes"
wont-start = "often"
reed-gap-wide = "mostly"
reed-chip-seen = "nearly always"
[fault.reed-chipped.context]
new-plug = 1.1

[fault.pump-weak]
name = "fuel pump weak"
part = "fuel pump"
applies = ["injection"]
share = 8
[fault.pump-weak.causes]
bogs-up-top = "nearly always"
fuel-pressure-low = "nearly always"

[fault.rings-worn]
name = "rings worn"
part = "rings"
share = 7
wears = { part = "piston", life_h = { two-stroke = 30, four-stroke = 120 }, shape = 3 }
[fault.rings-worn.causes]
wont-start = "sometimes"
bogs-up-top = "sometimes"
compression-low = "nearly always"

[fault.coil-open]
name = "coil open"
part = "coil"
share = 3
shows = 0.6
not_with = ["plug-worn"]
[fault.coil-open.causes]
breaks-up = "often"
coil-is-open = "mostly"
only-hot = "sometimes"
spark-weak = "mostly"

[fault.not-in-list]
name = "something not in this list"
part = "unknown"
share = 4
last_resort = true
causes_every = { complaint = "sometimes" }

[finding.bogs-up-top]
kind = "complaint"
short = "bogs up top"
ask = "Does it bog up top?"
words = ["bogs up top"]
background = "seldom"
[finding.breaks-up]
kind = "complaint"
short = "breaks up"
ask = "Does it break up?"
words = ["breaks up"]
background = "seldom"
on_stand = true
[finding.wont-start]
kind = "complaint"
short = "will not start"
ask = "Will it not start?"
words = ["will not start"]
no_running = true
[finding.only-hot]
kind = "when"
short = "only hot"
ask = "Only when hot?"
words = ["only hot"]
background = "seldom"
[finding.plug-looks-bad]
short = "plug looks bad"
ask = "Does the plug look bad?"
shares_error = "plug"
[finding.spark-weak]
kind = "test"
short = "spark weak"
ask = "Is the spark weak?"
[finding.jet-dirty]
short = "main jet dirty"
ask = "Is the main jet dirty?"
applies = ["carburettor"]
[finding.reed-chip-seen]
short = "reed petal chipped"
ask = "Is a petal chipped?"
applies = ["reed-valve"]
[finding.reed-gap-wide]
kind = "measured"
short = "reed petal stands off"
ask = "Does a petal stand off?"
applies = ["reed-valve"]
[finding.compression-low]
kind = "measured"
short = "compression low"
ask = "Is the compression low?"
[finding.fuel-pressure-low]
kind = "measured"
short = "fuel pressure low"
ask = "Is the fuel pressure low?"
applies = ["injection"]
[finding.coil-is-open]
kind = "measured"
short = "coil open"
ask = "Is the coil open?"

[reading.compression]
name = "compression"
ask = "Kick it with the throttle open."
unit = "psi"
possible = [0, 400]
method = "compression"
below = "compression-low"
spread = 0.07
ranges = [ { applies = ["two-stroke"], healthy = [120, 200] }, { healthy = [60, 115] } ]
[reading.reed-gap]
name = "reed gap"
ask = "Feeler at the worst petal."
unit = "mm"
possible = [0, 10]
above = "reed-gap-wide"
applies = ["reed-valve"]
ranges = [ { healthy = [0, 0.3] } ]
[reading.fuel-pressure]
name = "fuel pressure"
ask = "Pump running."
unit = "kPa"
possible = [0, 1000]
below = "fuel-pressure-low"
applies = ["injection"]
[reading.coil]
name = "coil"
ask = "Across the coil."
unit = "kohm"
possible = [0, 1e5]
method = "winding"
open = "coil-is-open"

[step.look-at-plug]
name = "Look at the plug"
kind = "look"
off = ["plug"]
minutes = 2
answers = ["plug-looks-bad"]
[step.test-spark]
name = "Test the spark"
kind = "look"
off = ["plug"]
minutes = 3
tools = ["spark-tester"]
answers = ["spark-weak"]
[step.look-at-jet]
name = "Look at the main jet"
kind = "look"
applies = ["carburettor"]
minutes = 6
cautions = ["vapour"]
answers = ["jet-dirty"]
[step.look-at-reeds]
name = "Look at the reeds"
kind = "look"
applies = ["reed-valve"]
off = ["reed-cage"]
minutes = 4
answers = ["reed-chip-seen"]
reads = ["reed-gap"]
[step.measure-compression]
name = "Measure the compression"
kind = "measure"
off = ["plug"]
minutes = 5
tools = ["gauge"]
reads = ["compression"]
[step.measure-fuel-pressure]
name = "Measure the fuel pressure"
kind = "measure"
applies = ["injection"]
off = ["tank"]
minutes = 8
reads = ["fuel-pressure"]
[step.measure-coil]
name = "Measure the coil"
kind = "measure"
minutes = 4
reads = ["coil"]
[step.swap-plug]
name = "Try a new plug"
kind = "swap"
off = ["plug"]
minutes = 2
money = 8
renews = ["plug"]
cures = { plug-worn = "always" }
[step.clean-jet]
name = "Clean the main jet"
kind = "clean"
applies = ["carburettor"]
minutes = 8
cures = { main-jet-blocked = "nearly always" }
[step.new-reeds]
name = "Fit new reeds"
kind = "replace"
applies = ["reed-valve"]
off = ["reed-cage"]
minutes = 8
money = 50
cures = { reed-chipped = "always" }
[step.new-pump]
name = "Fit a new fuel pump"
kind = "replace"
applies = ["injection"]
off = ["tank"]
minutes = 15
money = 120
cures = { pump-weak = "always" }
[step.new-piston]
name = "Fit piston and rings"
kind = "replace"
off = ["tank", "plug"]
minutes = 90
money = 110
renews = ["piston"]
cures = { rings-worn = "always" }
[step.new-coil]
name = "Fit a new coil"
kind = "replace"
minutes = 10
money = 60
cures = { coil-open = "always" }
[step.run-on-stand]
name = "Run it on the stand"
kind = "run"
engine = "running"
minutes = 3
expect = "Revs out."
[step.ride]
name = "Ride it"
kind = "run"
engine = "ridden"
minutes = 8
expect = "Pulls to the top."
[step.send-out]
name = "Send it out"
kind = "replace"
minutes = 300
money = 300
last_resort = true
cures = { not-in-list = "nearly always" }

[upkeep.plug]
name = "spark plug"
work = "Fit a new plug"
why = "It misses."
parts = ["plug"]
shape = 2
spread = 0
every = [{ applies = ["two-stroke"], hours = 20, hard_hours = 10, life_h = 60 }, { hours = 40, life_h = 120 }]
[upkeep.top-end]
name = "piston and bore"
work = "Fit piston and rings"
why = "They wear."
parts = ["piston", "bore"]
applies = ["two-stroke"]
shape = 3
every = [{ up_to_cc = 100, hours = 25, hard_hours = 10, life_h = 50 }, { hours = 40, life_h = 90 }]
[upkeep.fuel]
name = "fuel"
work = "Fill fresh fuel"
why = "It sours."
parts = ["fuel"]
cautions = ["vapour"]
shape = 3
spread = 0
every = [{ days = 30, life_days = 75 }]
[upkeep.oil]
name = "oil"
work = "Change the oil"
why = "It ages."
parts = ["oil"]
applies = ["four-stroke"]
shape = 2
every = [{ hours = 10, days = 365, life_h = 80 }]
)";

}  // namespace

Knowledge small_knowledge_and(const std::string& more) {
  return parse_knowledge({{"small.toml", kSmall}, {"more.toml", more}});
}

const Knowledge& small_knowledge() {
  static const Knowledge kKnowledge = parse_knowledge({{"small.toml", kSmall}});
  return kKnowledge;
}

}  // namespace crankwise::test
