// What was taken from a recording brings its own uncertainty.
#include "app/readings/method.h"

namespace crankwise::methods {
namespace {

Correction with_its_doubt(const Taken& t) {
  Correction c = as_read(t);
  if (t.at.has("give-or-take")) c.log_spread = t.at.si("give-or-take");
  return c;
}

}  // namespace

const Method& recording() {
  static const Method kMethod{
      {quantity(AskedCondition::Of::test, "give-or-take",
                "of a recording: one standard deviation, in percent of the figure", "%", 0, 300)},
      with_its_doubt};
  return kMethod;
}

}  // namespace crankwise::methods
