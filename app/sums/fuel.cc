#include <fmt/format.h>

#include "app/inputs/air.h"
#include "app/sums/sum.h"
#include "core/calc/fuel_supply.h"

namespace crankwise {
namespace {

constexpr double kPerHourKwh = 1 / 3.6e6;  // 1 kg/kWh in kg/J
constexpr double kMLMin = 60e6;            // m3/s in mL/min

double usual_consumption(const Inputs& in) { return (in.word("engine") == "two-stroke" ? 0.55 : 0.31) * kPerHourKwh; }

FuelDemand demand_of(const Inputs& in) { return demand_from_power({in.si("power"), usual_consumption(in)}, kPetrol); }

SumAnswer demand(const Inputs& in) {
  const FuelDemand d = demand_of(in);
  SumAnswer a{{{"at full load", kMLMin * d.volume_m3_s, "mL/min", 0},
               {"with a margin of 1.5", kEnoughMargin * kMLMin * d.volume_m3_s, "mL/min", 0}},
              fmt::format("{} * {:.2f} kg/kWh / {:.0f} kg/m3 = {:.0f} mL/min", in.told("power"),
                          usual_consumption(in) / kPerHourKwh, kPetrol.density_kg_m3, kMLMin * d.volume_m3_s),
              {}};
  add_notes(a, d.flags);
  return a;
}

void supply_values(SumAnswer& a, const Supply& s, double demand_m3_s) {
  a.values = {{"flows", kMLMin * s.flow_m3_s, "mL/min", 0},
              {"the engine burns", kMLMin * demand_m3_s, "mL/min", 0},
              {"times what it burns", s.margin, "", 2}};
  add_notes(a, s.flags);
}

SumAnswer tap(const Inputs& in) {
  const FuelDemand d = demand_of(in);
  SumAnswer a;
  supply_values(a, measured_gravity_supply(in.si("volume"), in.si("time"), d.volume_m3_s), d.volume_m3_s);
  a.worked = fmt::format("{} in {} = {:.0f} mL/min", in.told("volume"), in.told("time"),
                         kMLMin * in.si("volume") / in.si("time"));
  return a;
}

SumAnswer pump(const Inputs& in) {
  const FuelDemand d = demand_of(in);
  const PumpTest test{in.si("volume"), in.si("time"), in.si("pressure"), in.si("regulated")};
  SumAnswer a;
  supply_values(a, pump_supply(test, d.volume_m3_s), d.volume_m3_s);
  a.worked = fmt::format("{} in {} at {}", in.told("volume"), in.told("time"), in.told("pressure"));
  return a;
}

SumAnswer vent(const Inputs& in) {
  const FuelDemand d = demand_of(in);
  const VentAnswer v =
      blocked_vent({in.si("air"), in.si("head"), in.si("ambient"), in.si("bowl")}, kPetrol, d.volume_m3_s);
  SumAnswer a{{{"drawn until it stops", 1e6 * v.drawn_m3, "mL", 0}, {"runs on at full load for", v.seconds, "s", 0}},
              fmt::format("{} of air loses {} of head: {:.0f} mL", in.told("air"), in.told("head"), 1e6 * v.drawn_m3),
              {}};
  add_notes(a, v.flags);
  return a;
}

}  // namespace

std::vector<Sum> fuel_sums() {
  const Input power{"power", "at full load", "kW", 0.5, 100};
  const Input engine{"engine", "its cycle", "", 0, 0, {}, false, {"two-stroke", "four-stroke"}};
  const Input volume{"volume", "caught in a measure", "mL", 1, 5000}, time{"time", "it ran", "s", 1, 600};
  return {{"fuel-demand",
           "Petrol the engine burns at full load",
           "Fuel",
           "power * petrol per work / density; two-stroke 0.55, four-stroke 0.31 kg/kWh",
           "racing two-strokes 0.45 to 0.65, four-strokes 0.28 to 0.34 kg/kWh (from memory); margin common practice",
           {power, engine},
           demand},
          {"tap-flow",
           "Does the tap give enough?",
           "Fuel",
           "volume / time against what the engine burns",
           "a margin of 1.5 is common practice",
           {volume, time, power, engine},
           tap,
           {"petrol-vapour"}},
          {"pump-flow",
           "Does the pump give enough, at its pressure?",
           "Fuel",
           "volume / time against what the engine burns, at the regulated pressure",
           "250 to 350 kPa in most handbooks; what runs freely says nothing of a pump",
           {volume,
            time,
            {"pressure", "at which it was measured; 0 if it ran freely", "kPa", 0, 1000},
            {"regulated", "pressure of the handbook", "kPa", 100, 1000, 300.0},
            power,
            engine},
           pump,
           {"petrol-vapour", "fuel-under-pressure"}},
          {"blocked-vent",
           "How long it runs with a blocked cap vent",
           "Fuel",
           "the air in the tank expands (p V constant) until it has lost the pressure of the head",
           "Boyle; vapour left out, so it stops no sooner",
           {{"air", "in the tank above the fuel", "L", 0.05, 30},
            {"head", "from the fuel in the tank down to the float needle", "mm", 20, 600, 200.0},
            {"ambient", "air pressure here", "kPa", 50, 110, 101.325},
            {"bowl", "petrol in the float bowl", "mL", 0, 300, 60.0},
            power,
            engine},
           vent,
           {"petrol-vapour"}}};
}

}  // namespace crankwise
