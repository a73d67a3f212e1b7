// Fuel that runs, by itself or pumped, its oil, and the tank's vent.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/readings/method.h"
#include "core/calc/air.h"
#include "core/calc/fuel_supply.h"
#include "core/calc/mixing.h"

namespace crankwise::methods {
namespace {

using Of = AskedCondition::Of;

AskedCondition power() {
  return quantity(Of::bike, "power", "of the engine at its best, for the fuel that it burns", "kW", 1, 80);
}
AskedCondition seconds() {
  return quantity(Of::test, "seconds", "that it ran, if what came out is told in mL", "s", 1, 300);
}
AskedCondition head() {
  return quantity(Of::test, "head", "from the fuel's surface in the tank to the end of the hose", "mm", 20, 1500);
}

/// At full load, by the power told.
std::optional<double> demand_m3_s(const Taken& t) {
  if (!t.at.has("power")) return {};
  const double kg_per_kwh = Traits(t.bike->traits).has("two-stroke") ? 0.55 : 0.31;  // from memory: middle of both
  return demand_from_power({t.at.si("power"), kg_per_kwh / 3.6e6}, kPetrol).volume_m3_s;
}

ReadingYardstick enough_for(const Taken& t, double demand) {
  constexpr double kFreely = 3;  // the usual tap gives up to three times what is enough; common practice
  constexpr double kMost = 10;   // between a handbook's figure and the range of a kind
  const double enough = from_si(t, kEnoughMargin * demand);
  ReadingYardstick y{FigureFrom::worked, fmt::format("1.5 times what {} burns at full load", t.at.told("power")),
                     enough, kFreely * enough};
  y.most_ratio = kMost;
  return y;
}

Correction tap_corrected(const Taken& t) {
  constexpr double kUnknownHead = 0.1;  // flow goes with the root of the head; common practice
  Correction c = as_read(t);
  const bool heads = t.at.has("head") && t.at.has("least-head") && t.at.si("least-head") < t.at.si("head");
  const double lowest = heads ? t.value * std::sqrt(t.at.si("least-head") / t.at.si("head")) : t.value;
  if (heads) c.notes.push_back(fmt::format("with the tank at its lowest {:.0f} {}", lowest, t.reading->unit));
  if (!heads) c.log_spread = kUnknownHead;
  const auto demand = demand_m3_s(t);
  if (!demand) return c;
  c.worked = enough_for(t, *demand);
  c.notes.push_back(fmt::format("{:.1f} times what the engine burns at full load", to_si(t, lowest) / *demand));
  // What is enough must still come when the tank is low; figures and usual flows are those of a tank a quarter full.
  if (heads && !own_yardstick(*t.reading, *t.bike)) c.value = lowest, c.brought_to("with the tank at its lowest");
  return c;
}

Correction pump_corrected(const Taken& t) {
  constexpr double kFreely = 0.15;  // what runs freely only hints at what comes under pressure; common practice
  constexpr double kLeastVolts = 11.5, kThirsty = 0.15;  // below that it gives less; common practice
  Correction c = as_read(t);
  if (t.at.word("outlet") == "free") {
    c.log_spread = kFreely;
    c.notes.emplace_back(in_words(CalcFlag::not_under_pressure));
  }
  if (t.at.has("volts") && t.at.si("volts") < kLeastVolts) {
    c.log_spread = std::hypot(c.log_spread, kThirsty);
    c.notes.push_back(
        fmt::format("the pump had only {}: feed it from a good battery and measure again", t.at.told("volts")));
  }
  if (const auto demand = demand_m3_s(t)) {
    c.worked = enough_for(t, *demand);
    c.notes.push_back(fmt::format("{:.1f} times what the engine burns at full load", to_si(t, c.value) / *demand));
  }
  return c;
}

/// What ran out, over the seconds told.
std::optional<double> volume_as_flow(const Taken& t, double si, Quantity q) {
  if (q != Quantity::volume || !t.was_told("seconds")) return {};
  return from_si(t, si / t.at.si("seconds"));
}

Correction mix_corrected(const Taken& t) {
  Correction c = as_read(t);
  const auto own = own_yardstick(*t.reading, *t.bike);
  if (t.at.has("can") && !own)
    c.notes.emplace_back("to put a can right its own mix must be known, as the figure mix-ratio of the bike");
  if (t.value <= 0 || !own) return c;
  const double wanted = std::sqrt(own->low * own->high);
  if (t.at.has("can")) {
    const CanCorrection fix = correct_can(split_mix(t.at.si("can"), t.value), wanted);
    const bool oil = fix.add_oil_m3 > 0;
    c.notes.push_back(fmt::format("{} of it comes to {:.3g}:1 with {:.0f} mL of {} more", t.at.told("can"), wanted,
                                  1e6 * (oil ? fix.add_oil_m3 : fix.add_fuel_m3), oil ? "oil" : "petrol"));
  }
  const double richer = 100 * (mixture_after(wanted, t.value).petrol_factor - 1);
  if (std::abs(richer) >= 0.3)
    c.notes.push_back(
        fmt::format("by its oil alone it runs {:.1f} % {}", std::abs(richer), richer > 0 ? "richer" : "leaner"));
  add_flags(c, ratio_flags(t.value));
  return c;
}

Correction vent_corrected(const Taken& t) {
  Correction c = as_read(t);
  if (!t.at.has("air-space") || !t.at.has("head")) return c;
  const VentTest test{.air_space_m3 = t.at.si("air-space"),
                      .head_m = t.at.si("head"),
                      .ambient_pa = air_pressure(t).value_or(kStandardPressurePa)};
  const double shut = blocked_vent(test, kPetrol, 1e-6).drawn_m3;
  // A vent that lets any air in lets many times that through; common practice.
  constexpr double kSome = 5, kPlenty = 100, kMost = 15;
  c.worked = ReadingYardstick{FigureFrom::worked, fmt::format("a shut tank would stop after {:.0f} mL", 1e6 * shut),
                              from_si(t, kSome * shut), from_si(t, kPlenty * shut)};
  c.worked->most_ratio = kMost;
  return c;
}

}  // namespace

const Method& tap_flow() {
  static const Method kMethod{
      {head(), seconds(),
       quantity(Of::bike, "least-head", "from the surface at reserve to the float needle", "mm", 10, 1000), power()},
      tap_corrected,
      volume_as_flow,
      "mL, with the seconds told"};
  return kMethod;
}

const Method& pump_flow() {
  static const Method kMethod{
      {choice(Of::test, "outlet", "under-pressure: through the regulator, as it runs", {"free", "under-pressure"}),
       quantity(Of::test, "volts", "at the pump while it ran", "V", 5, 16), seconds(), power()},
      pump_corrected,
      volume_as_flow,
      "mL, with the seconds told"};
  return kMethod;
}

const Method& mix() {
  static const Method kMethod{{quantity(Of::test, "can", "how much of it there is", "L", 0.01, 1000)}, mix_corrected};
  return kMethod;
}

const Method& vent() {
  static const Method kMethod{
      with_height({quantity(Of::test, "air-space", "above the fuel in the tank", "L", 0.1, 50), head()}),
      vent_corrected};
  return kMethod;
}

}  // namespace crankwise::methods
