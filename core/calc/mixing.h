// Oil in the petrol of a two-stroke.
//
//   oil_for_fuel(5e-3, 32);                                   // 0.156 L of oil to 5 L of petrol
//   correct_can({.fuel_m3 = 4.902e-3, .oil_m3 = 0.098e-3}, 32).add_oil_m3;   // 5 L that were mixed 50:1
//
// A ratio of 32 (said 32:1) is parts of fuel to one part of oil, so the oil is 1 / 33 of the mix. Volumes in m3; any
// other unit will do as well if it is kept throughout. Arithmetic alone, so no source but the definition; the usual
// ratios are *common practice*, from trade pages.
#pragma once

#include "core/calc/flag.h"

namespace crankwise {

/// What a mechanic should be asked about at this ratio (above 0).
CalcFlags ratio_flags(double ratio);

/// Oil to add to so much petrol: fuel / ratio.
double oil_for_fuel(double fuel_m3, double ratio);

/// Share of oil in the finished mix: 1 / (ratio + 1).
double oil_share(double ratio);

/// The other way; 0 < share < 1.
double ratio_of_share(double share);

struct Can {
  double fuel_m3 = 0;
  double oil_m3 = 0;
};

/// What is in so much finished mix.
Can split_mix(double mix_m3, double ratio);

/// Infinite without oil; 0 without fuel. The can must not be empty.
double ratio_of(const Can&);

/// What makes a can right, in which only one is above 0.
struct CanCorrection {
  double add_oil_m3 = 0;
  double add_fuel_m3 = 0;
  Can after;
  CalcFlags flags;  // of the wanted ratio
};
CanCorrection correct_can(const Can&, double wanted_ratio);

/// What another ratio does to the mixture that burns: oil takes the place of petrol in the jet. Petrol through the same
/// jet goes as its share of the mix, k / (k + 1); that thicker fuel flows worse is left out.
struct MixChange {
  double petrol_factor = 1;  // above 1 is richer
  CalcFlags flags;
};
MixChange mixture_after(double from_ratio, double to_ratio);

}  // namespace crankwise
