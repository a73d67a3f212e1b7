// Sensors that go with their supply, and batteries by their sort.
#include <cmath>

#include "app/readings/method.h"
#include "core/calc/air.h"
#include "core/calc/electric.h"

namespace crankwise::methods {
namespace {

using Of = AskedCondition::Of;
constexpr double kSupply = 5;            // V: what figures hold for
constexpr double kUnknownSupply = 0.03;  // 4.5 to 5.5 V are allowed, most are near 5; from factory handbooks

AskedCondition supply() { return quantity(Of::test, "supply", "at the sensor's plug", "V", 3, 6); }

Correction by_supply(const Taken& t) {
  Correction c = as_read(t);
  if (!t.at.has("supply")) {
    c.log_spread = kUnknownSupply;
    return c;
  }
  const ScaledSpan scaled = at_supply({1, 1}, kSupply, t.at.si("supply"));
  c.value /= scaled.span.low;
  if (t.at.si("supply") != kSupply) c.brought_to("with a supply of 5.00 V");
  add_flags(c, scaled.flags);
  if (t.value > t.at.si("supply")) {
    c.most_ratio = 1.3;
    c.notes.emplace_back("more than its supply: signal and supply wire swapped?");
  }
  return c;
}

Correction intake_pressure_corrected(const Taken& t) {
  constexpr double kUnknownHeight = 0.03, kNotQuiteStraight = 0.2;  // a sensor does not start at 0 V for no pressure
  Correction c = by_supply(t);
  const auto pressure = air_pressure(t);
  if (!pressure) {
    c.log_spread = std::hypot(c.log_spread, kUnknownHeight);
    return c;
  }
  const double factor = kStandardPressurePa / *pressure;
  c.value *= factor;
  c.log_spread = std::hypot(c.log_spread, kNotQuiteStraight * std::abs(std::log(factor)));
  c.brought_to("at sea level");
  return c;
}

}  // namespace

const Method& sensor_volts() {
  static const Method kMethod{{supply()}, by_supply};
  return kMethod;
}

const Method& intake_pressure() {
  static const Method kMethod{with_height({supply()}), intake_pressure_corrected};
  return kMethod;
}

const Method& battery() {
  static const Method kMethod{{choice(Of::bike, "battery", "its sort", {"any", "flooded", "sealed", "mat", "lithium"})},
                              as_read};
  return kMethod;
}

}  // namespace crankwise::methods
