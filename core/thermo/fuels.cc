#include "core/thermo/fuels.h"

#include <cassert>

namespace crankwise::thermo {
namespace {

constexpr double kAirKgPerMolOxygen = 4.773 * 28.962e-3;
constexpr double kCalorieJ = 4.184;

/// Both weighted and added up.
Atoms mean(const Atoms& a, double share_a, const Atoms& b, double share_b) {
  return {a.c * share_a + b.c * share_b, a.h * share_a + b.h * share_b, a.o * share_a + b.o * share_b,
          a.n * share_a + b.n * share_b, a.ar * share_a + b.ar * share_b};
}

struct Heat {
  double lower_heating_j_kg, evaporation_j_kg, density_kg_m3;
};

/// `vapour_kg_mol` 0: the formula is that of the molecule.
Fuel pure(FuelKind kind, const Atoms& formula, const Heat& heat, double vapour_kg_mol = 0) {
  const double kg = mass_kg(formula);
  Fuel fuel{mean(formula, 1 / kg, {}, 0),
            heat.lower_heating_j_kg,
            heat.evaporation_j_kg,
            heat.density_kg_m3,
            1 / (vapour_kg_mol > 0 ? vapour_kg_mol : kg),
            {}};
  fuel.mass_share[static_cast<std::size_t>(kind)] = 1;
  return fuel;
}

double petrol_cp_j_kg_k(double temp_k) {
  const double t = temp_k / 1000;
  return kCalorieJ * (-24.078 + t * (256.63 + t * (-201.68 + t * 64.750)) + 0.5808 / (t * t)) / 114.8e-3;
}

double kind_cp_j_kg_k(FuelKind kind, double temp_k) {
  const auto of = [&](Species s) { return molar_cp_j_mol_k(s, temp_k) / molar_mass_kg_mol(s); };
  switch (kind) {
    case FuelKind::petrol:
      return petrol_cp_j_kg_k(temp_k);
    case FuelKind::iso_octane:
      return of(Species::c8h18);
    case FuelKind::methanol:
      return of(Species::ch3oh);
    case FuelKind::ethanol:
      return of(Species::c2h5oh);
  }
  return 0;
}

}  // namespace

Fuel petrol() { return pure(FuelKind::petrol, {.c = 1, .h = 1.87}, {43.44e6, 349e3, 745}, 110e-3); }

Fuel iso_octane() { return pure(FuelKind::iso_octane, atoms_of(Species::c8h18), {44.3e6, 308e3, 692}); }

Fuel methanol() { return pure(FuelKind::methanol, atoms_of(Species::ch3oh), {20.09e6, 1177e3, 792}); }

Fuel ethanol() { return pure(FuelKind::ethanol, atoms_of(Species::c2h5oh), {26.95e6, 921e3, 789}); }

Fuel blend(const Fuel& first, const Fuel& second, double volume_share) {
  assert(volume_share >= 0 && volume_share <= 1);
  const double density = (1 - volume_share) * first.density_kg_m3 + volume_share * second.density_kg_m3;
  const double b = volume_share * second.density_kg_m3 / density, a = 1 - b;
  Fuel fuel{mean(first.mol_kg, a, second.mol_kg, b),
            a * first.lower_heating_j_kg + b * second.lower_heating_j_kg,
            a * first.evaporation_j_kg + b * second.evaporation_j_kg,
            density,
            a * first.vapour_mol_kg + b * second.vapour_mol_kg,
            {}};
  for (std::size_t i = 0; i < kFuelKinds; ++i) {
    fuel.mass_share[i] = a * first.mass_share[i] + b * second.mass_share[i];
  }
  return fuel;
}

double stoichiometric_oxygen_mol_kg(const Fuel& fuel) { return fuel.mol_kg.c + fuel.mol_kg.h / 4 - fuel.mol_kg.o / 2; }

double stoichiometric_air(const Fuel& fuel) { return stoichiometric_oxygen_mol_kg(fuel) * kAirKgPerMolOxygen; }

double vapour_cp_j_kg_k(const Fuel& fuel, double temp_k) {
  double sum = 0;
  for (std::size_t i = 0; i < kFuelKinds; ++i) {
    if (fuel.mass_share[i] > 0) sum += fuel.mass_share[i] * kind_cp_j_kg_k(static_cast<FuelKind>(i), temp_k);
  }
  return sum;
}

}  // namespace crankwise::thermo
