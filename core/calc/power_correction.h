// What an engine would make in standard air, by the rule that is named.
//
//   const PowerCorrection c = power_correction(PowerRule::iso1585, today, Cycle::four_stroke);
//   measured_w * c.factor;   // print name(c.rule) beside it: the rules differ by 5 %
//
// p is the pressure of the whole air, pd that of the dry air in it, both in kPa, T in K:
//   J1349    1.18 (99 / pd) sqrt(T / 298.15) - 0.18, which has a mechanical efficiency of 85 % built in
//   ISO 1585 (99 / pd)^1.2 (T / 298.15)^0.6, engines that breathe by themselves
//   DIN      (101.325 / p) sqrt(T / 293.15)
//   J607     (101.32 / pd) sqrt(T / 288.706), that is 29.92 inHg dry and 60 F
// Sources: SAE J1349, ISO 1585, DIN 70020, SAE J607; constants of J1349, ISO 1585 and J607 from memory. They are made
// for four-strokes. A two-stroke goes more nearly with the dry air it gets:
//   Density  1.225 / density of the dry air, kg/m3 (standard air at the sea, ISO 2533)
// The first two hold for factors from 0.93 to 1.07 (from memory); the others name no limits that we know of.
#pragma once

#include "core/calc/air.h"
#include "core/calc/cycle.h"
#include "core/calc/flag.h"

namespace crankwise {

enum class PowerRule { j1349, iso1585, din70020, j607, density };

/// "SAE J1349" and so on; of density "dry air density".
const char* name(PowerRule);

struct PowerCorrection {
  PowerRule rule{};
  double factor = 1;  // power in standard air to power in this air
  CalcFlags flags;
};

PowerCorrection power_correction(PowerRule, const MoistAir&, Cycle);

/// Share of its power at sea level that an engine has at this height, two ways that are not to be mixed.
struct PowerAtHeight {
  double by_density = 1;     // density of standard air to that at sea level
  double by_trade_rule = 1;  // 3 % less to each 1000 ft, *common practice*
  CalcFlags flags;
};
PowerAtHeight power_at_height(double geopotential_m);

}  // namespace crankwise
