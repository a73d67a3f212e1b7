// Jets, ignition timing, valve clearance and the gap that a spark jumps.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "app/readings/method.h"
#include "core/calc/air.h"
#include "core/calc/geometry.h"
#include "core/calc/jetting.h"
#include "core/calc/spark.h"

namespace crankwise::methods {
namespace {

using Of = AskedCondition::Of;

/// The number that would pass in standard air what this one passes in today's.
Correction jet_corrected(const Taken& t) {
  constexpr double kUnknownDay = 0.012;  // a summer day asks for other jets than a winter day; half of 2.5 %
  Correction c = as_read(t);
  const auto pressure = air_pressure(t);
  if (!pressure && !t.at.has("temperature")) {
    c.log_spread = kUnknownDay;
    return c;
  }
  const double kelvin = t.at.has("temperature") ? t.at.si("temperature") : kStandardTemperatureK;
  const double humidity = t.at.has("humidity") ? t.at.si("humidity") : 0;
  const MoistAir today = air_from_humidity(pressure.value_or(kStandardPressurePa), kelvin, humidity);
  const MoistAir standard = air_from_humidity(kStandardPressurePa, kStandardTemperatureK, 0);
  const JetNumbering by = t.at.word("numbered-by") == "flow" ? JetNumbering::flow : JetNumbering::diameter;
  if (!pressure) c.log_spread = kUnknownDay;
  c.value = number_for_fuel(t.value, jet_area_factor(today, standard), by);
  c.brought_to("in standard air (sea level, 15 C, dry)");
  add_flags(c, today.flags);
  return c;
}

/// Degrees before top dead centre as piston travel.
std::optional<double> degrees_as_drop(const Taken& t, double si, Quantity q) {
  if (q != Quantity::angle || !t.at.has("stroke") || !t.at.has("rod") || si < 0 || si > 1) return {};
  const CrankTrain train{.bore_m = 1, .stroke_m = t.at.si("stroke"), .rod_m = t.at.si("rod")};
  if (train.rod_m <= train.stroke_m / 2) return {};
  return from_si(t, piston_drop_m(train, si));
}

Correction timing_corrected(const Taken& t) {
  Correction c = as_read(t);
  if (!t.at.has("stroke") || !t.at.has("rod")) return c;
  const CrankTrain train{.bore_m = 1, .stroke_m = t.at.si("stroke"), .rod_m = t.at.si("rod")};
  const double drop = to_si(t, t.value);
  if (train.rod_m < train.stroke_m) c.notes.emplace_back("the rod is shorter than the stroke: were the two swapped?");
  if (train.rod_m <= train.stroke_m / 2 || drop > train.stroke_m) return c;
  c.notes.push_back(fmt::format("{:.3g} mm is {:.1f} degrees before top dead centre", 1e3 * drop,
                                180 / std::numbers::pi * crank_at_drop_rad(train, drop)));
  return c;
}

Correction clearance_corrected(const Taken& t) {
  constexpr double kWarm = 0.3;  // a warm clearance is up to a third off, either way; common practice
  Correction c = as_read(t);
  if (t.at.word("engine") == "warm") {
    c.log_spread = kWarm;
    c.most_ratio = 1.5;
    c.notes.emplace_back("clearances hold for a cold engine: let it stand overnight and measure again");
  }
  return c;
}

/// The gap that the same volts jump in standard air: thin air sparks over further.
Correction spark_corrected(const Taken& t) {
  constexpr double kUnknownHeight = 0.04;  // spread of the air's density over the places where people ride
  Correction c = as_read(t);
  const auto pressure = air_pressure(t);
  if (!pressure) c.log_spread = kUnknownHeight;
  if (!pressure || t.value <= 0) return c;
  const GapGas here{*pressure, t.at.has("temperature") ? t.at.si("temperature") : 293.15};
  const SparkNeed need = spark_need(here, to_si(t, t.value));
  const double gap = widest_gap_m({kStandardPressurePa, 293.15}, need.volts);
  if (gap > 0) c.value = from_si(t, gap);
  c.brought_to("at sea level");
  c.notes.push_back(fmt::format("takes about {:.0f} kV", 1e-3 * need.volts));
  add_flags(c, need.flags);
  return c;
}

AskedCondition air_temperature() {
  return quantity(Of::test, "temperature", "of the air in the shade", "degC", -40, 55);
}

}  // namespace

const Method& jet() {
  static const Method kMethod{
      with_height(
          {air_temperature(), quantity(Of::test, "humidity", "relative", "%", 0, 100),
           choice(Of::bike, "numbered-by", "diameter: hole in 1/100 mm; flow: what passes", {"diameter", "flow"})}),
      jet_corrected};
  return kMethod;
}

const Method& timing() {
  static const Method kMethod{{quantity(Of::bike, "stroke", "of the crank", "mm", 20, 130),
                               quantity(Of::bike, "rod", "of the connecting rod, between centres", "mm", 40, 250)},
                              timing_corrected,
                              degrees_as_drop,
                              "degrees up to 57, with stroke and rod of the bike told"};
  return kMethod;
}

const Method& valve_clearance() {
  static const Method kMethod{{choice(Of::test, "engine", "", {"cold", "warm"})}, clearance_corrected};
  return kMethod;
}

const Method& spark_gap() {
  static const Method kMethod{with_height({air_temperature()}), spark_corrected};
  return kMethod;
}

}  // namespace crankwise::methods
