// Fuels and their blends by volume.
//
//   stoichiometric_air(blend(petrol(), ethanol(), 0.10));   // 14.0 kg of air burn a kg of E10
//
// Everything is kept by mass, so that a blend is a mean by mass (volumes are taken to add up). Liquid at 20 C. Oil in
// the petrol of a two-stroke: core/calc/mixing.h; viscosity of petrol: core/calc/fuel_supply.h.
#pragma once

#include <array>
#include <cstddef>

#include "core/thermo/nasa.h"

namespace crankwise::thermo {

/// Pure fuels of which blends are made.
enum class FuelKind { petrol, iso_octane, methanol, ethanol };
inline constexpr std::size_t kFuelKinds = 4;

struct Fuel {
  Atoms mol_kg;                                 // mol of each element in a kg
  double lower_heating_j_kg = 0;                // of the liquid, water of the products as vapour
  double evaporation_j_kg = 0;                  // heat of evaporation
  double density_kg_m3 = 0;                     // of the liquid
  double vapour_mol_kg = 0;                     // mol of vapour from a kg
  std::array<double, kFuelKinds> mass_share{};  // of each pure fuel
};

/// Petrol as CH1.87, vapour of 110 g/mol (Heywood, Internal Combustion Engine Fundamentals, table D.4, from memory);
/// heat 43.44 MJ/kg and evaporation 349 kJ/kg (US Department of Energy fuel table; Heywood has 44.0); 745 kg/m3.
Fuel petrol();

/// 44.3 MJ/kg, 308 kJ/kg, 692 kg/m3 (Heywood, table D.4, from memory).
Fuel iso_octane();

/// 20.09 MJ/kg, 1177 kJ/kg (US Department of Energy fuel table), 792 kg/m3 (Heywood, table D.4, from memory).
Fuel methanol();

/// 26.95 MJ/kg, 921 kJ/kg (US Department of Energy fuel table), 789 kg/m3 (from memory).
Fuel ethanol();

/// `volume_share` of the second in the blend, 0 to 1: blend(petrol(), ethanol(), 0.85) is E85.
Fuel blend(const Fuel&, const Fuel& second, double volume_share);

/// mol of O2 that just burn a kg: C + H / 4 - O / 2.
double stoichiometric_oxygen_mol_kg(const Fuel&);

/// kg of air that just burn a kg; air of 28.962 g/mol with 4.773 mol to one of oxygen (Heywood, chapter 3).
double stoichiometric_air(const Fuel&);

/// Of the vapour. Petrol: Heywood's polynomial for petrol of 114.8 g/mol (chapter 4, from memory), made for 300 to
/// 1000 K; the others from core/thermo/nasa.h.
double vapour_cp_j_kg_k(const Fuel&, double temp_k);

}  // namespace crankwise::thermo
