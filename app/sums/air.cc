#include <fmt/format.h>

#include "app/inputs/air.h"
#include "app/sums/sum.h"
#include "core/calc/power_correction.h"

namespace crankwise {
namespace {

constexpr double kStandardDry = kStandardDensity;

SumAnswer todays_air(const Inputs& in) {
  const MoistAir air = air_of(in, "");
  const Altitude by_density = density_altitude(air.density_kg_m3);
  SumAnswer a{
      {{"density", air.density_kg_m3, "kg/m3", 3},
       {"of standard air", 100 * air.density_kg_m3 / kStandardDensity, "%", 1},
       {"dry air, which burns fuel", 100 * air.dry_density_kg_m3 / kStandardDry, "%", 1},
       {"density altitude", by_density.height_m, "m", 0},
       {"pressure", 1e-2 * air.pressure_pa, "hPa", 1},
       {"vapour in it", 1e-2 * air.vapour_pa, "hPa", 1}},
      fmt::format("({:.1f} Pa - {:.1f} Pa) / (287.05 * {:.2f} K) + {:.1f} Pa / (461.5 * {:.2f} K) = {:.4f} kg/m3",
                  air.pressure_pa, air.vapour_pa, air.temperature_k, air.vapour_pa, air.temperature_k,
                  air.density_kg_m3),
      {}};
  add_notes(a, air.flags);
  add_notes(a, by_density.flags);
  return a;
}

SumAnswer power(const Inputs& in) {
  const MoistAir air = air_of(in, "");
  const std::string& rule = in.word("rule");
  const PowerRule which = rule == "j1349"      ? PowerRule::j1349
                          : rule == "iso1585"  ? PowerRule::iso1585
                          : rule == "din70020" ? PowerRule::din70020
                          : rule == "j607"     ? PowerRule::j607
                                               : PowerRule::density;
  const Cycle cycle = in.word("engine") == "two-stroke" ? Cycle::two_stroke : Cycle::four_stroke;
  const PowerCorrection c = power_correction(which, air, cycle);
  SumAnswer a{{{std::string("in standard air by ") + name(which), 1e-3 * in.si("power") * c.factor, "kW", 2},
               {"factor", c.factor, "", 4}},
              fmt::format("{} * {:.4f} = {:.2f} kW", in.told("power"), c.factor, 1e-3 * in.si("power") * c.factor),
              {}};
  add_notes(a, c.flags);
  return a;
}

SumAnswer at_height(const Inputs& in) {
  const PowerAtHeight p = power_at_height(in.si("height"));
  SumAnswer a{{{"left by the density of the air", 100 * p.by_density, "%", 1},
               {"left by the trade rule", 100 * p.by_trade_rule, "%", 1}},
              fmt::format("density at {} over that at the sea = {:.3f}", in.told("height"), p.by_density),
              {}};
  add_notes(a, p.flags);
  return a;
}

}  // namespace

std::vector<Sum> air_sums() {
  std::vector<Input> power_inputs{{"power", "as measured", "kW", 0.1, 200}};
  for (Input& i : air_inputs("")) power_inputs.push_back(std::move(i));
  power_inputs.push_back(
      {"rule", "which standard", "", 0, 0, {}, false, {"density", "j1349", "iso1585", "din70020", "j607"}});
  power_inputs.push_back({"engine", "its cycle", "", 0, 0, {}, false, {"two-stroke", "four-stroke"}});
  return {{"air-today", "How dense the air is", "Air",
           "density = (p - e) / (R T) + e / (Rv T), e the pressure of the vapour",
           "ideal gases; standard atmosphere ISO 2533; vapour by Hyland and Wexler 1983 (ASHRAE Fundamentals 2017)",
           air_inputs(""), todays_air},
          {"standard-power", "Power as it would be in standard air", "Air",
           "power in standard air = power measured * factor of the rule",
           "SAE J1349, ISO 1585, DIN 70020, SAE J607, or the density of the dry air; the rules differ, so say which",
           std::move(power_inputs), power},
          {"power-at-height",
           "Power that height takes",
           "Air",
           "goes with the density of the air; trade rule: 3 % less for each 1000 ft",
           "standard atmosphere ISO 2533; the trade rule is common practice",
           {{"height", "above the sea", "m", -500, 5000}},
           at_height}};
}

}  // namespace crankwise
