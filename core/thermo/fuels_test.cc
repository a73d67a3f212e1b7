#include "core/thermo/fuels.h"

#include <gtest/gtest.h>

#include "core/thermo/products.h"

namespace crankwise::thermo {
namespace {

constexpr double kBtuPerPound = 2326;

TEST(ThermoFuels, StoichiometricAir) {
  // Heywood, table D.4.
  EXPECT_NEAR(stoichiometric_air(iso_octane()), 15.127, 15.127 * 2e-3);
  EXPECT_NEAR(stoichiometric_air(methanol()), 6.471, 6.471 * 2e-3);
  EXPECT_NEAR(stoichiometric_air(ethanol()), 9.002, 9.002 * 2e-3);
  EXPECT_NEAR(stoichiometric_air(petrol()), 14.599, 14.599 * 2e-3);
  // The same formula by hand for others.
  const auto air = [](const Atoms& a) {
    const double kg = mass_kg(a);
    Fuel fuel;
    fuel.mol_kg = {.c = a.c / kg, .h = a.h / kg, .o = a.o / kg};
    return stoichiometric_air(fuel);
  };
  EXPECT_NEAR(air({.c = 7, .h = 8}), 13.50, 13.50 * 2e-3);
  EXPECT_NEAR(air(atoms_of(Species::c3h8)), 15.67, 15.67 * 2e-3);
  EXPECT_NEAR(air(atoms_of(Species::ch4)), 17.23, 17.23 * 2e-3);
  EXPECT_NEAR(air({.c = 1, .h = 2}), 14.78, 14.78 * 2e-3);
}

TEST(ThermoFuels, HeatOfBurning) {
  EXPECT_NEAR(iso_octane().lower_heating_j_kg, 44.3e6, 44.3e6 * 2e-3);  // Heywood, table D.4
  EXPECT_NEAR(methanol().lower_heating_j_kg, 20.0e6, 0.2e6);
  EXPECT_NEAR(ethanol().lower_heating_j_kg, 26.9e6, 0.27e6);
  // US Department of Energy fuel table.
  EXPECT_NEAR(petrol().lower_heating_j_kg, 18676 * kBtuPerPound, 0.01e6);
  EXPECT_NEAR(methanol().lower_heating_j_kg, 8637 * kBtuPerPound, 0.01e6);
  EXPECT_NEAR(ethanol().lower_heating_j_kg, 11585 * kBtuPerPound, 0.01e6);
  EXPECT_NEAR(petrol().evaporation_j_kg, 150 * kBtuPerPound, 0.01 * 349e3);
  EXPECT_NEAR(ethanol().evaporation_j_kg, 396 * kBtuPerPound, 0.01 * 921e3);
  EXPECT_NEAR(methanol().evaporation_j_kg, 506 * kBtuPerPound, 0.01 * 1177e3);
}

double vapour_heat_j_kg(Species s) {
  const auto h = [](Species each) { return molar_enthalpy_j_mol(each, kReferenceK); };
  const Atoms a = atoms_of(s);
  return (h(s) - a.c * h(Species::co2) - a.h / 2 * h(Species::h2o)) / molar_mass_kg_mol(s);
}

TEST(ThermoFuels, HeatsFitTheEnthalpiesOfFormation) {
  struct Row {
    Species species;
    Fuel fuel;
    double vapour_j_kg, share;  // as the formula gives it; liquid and heat of evaporation
  };
  for (const Row& r : {Row{Species::c8h18, iso_octane(), 44.649e6, 2e-3},
                       {Species::ch3oh, methanol(), 19.929e6 + 1.177e6, 1e-2},
                       {Species::c2h5oh, ethanol(), 26.805e6 + 0.921e6, 1e-2}}) {
    const double burns = vapour_heat_j_kg(r.species);
    EXPECT_NEAR(burns / r.vapour_j_kg, 1, r.share);
    EXPECT_NEAR(burns / (r.fuel.lower_heating_j_kg + r.fuel.evaporation_j_kg), 1, 1e-2);
  }
  // Heywood, table D.4.
  EXPECT_NEAR(vapour_heat_j_kg(Species::ch4), 50.01e6, 0.1e6);
  EXPECT_NEAR(vapour_heat_j_kg(Species::c3h8), 46.35e6, 0.09e6);
}

TEST(ThermoFuels, Blends) {
  struct Row {
    double share, air, heat;  // mean by mass of the two, by hand
  };
  for (const Row& r :
       {Row{0.05, 14.303, 42.57e6}, {0.10, 14.009, 41.70e6}, {0.15, 13.717, 40.84e6}, {0.85, 9.801, 29.31e6}}) {
    const Fuel fuel = blend(petrol(), ethanol(), r.share);
    EXPECT_NEAR(stoichiometric_air(fuel) / r.air, 1, 1e-3) << r.share;
    EXPECT_NEAR(fuel.lower_heating_j_kg / r.heat, 1, 1e-3) << r.share;
  }
  const Fuel e85 = blend(petrol(), ethanol(), 0.85);
  EXPECT_NEAR(e85.lower_heating_j_kg * e85.density_kg_m3 / 1e9, 22.93, 0.03);  // MJ/L
  const Fuel back = blend(ethanol(), petrol(), 0.15);
  EXPECT_NEAR(back.density_kg_m3, e85.density_kg_m3, 1e-9);
  EXPECT_NEAR(back.mol_kg.o, e85.mol_kg.o, 1e-9);
  EXPECT_NEAR(back.mass_share[0], e85.mass_share[0], 1e-12);
  EXPECT_NEAR(back.vapour_mol_kg, e85.vapour_mol_kg, 1e-9);
}

TEST(ThermoFuels, Vapour) {
  // Iso-octane, Heywood's polynomial (chapter 4, from memory), by hand at 300 and 1000 K in cal/(mol K).
  EXPECT_NEAR(vapour_cp_j_kg_k(iso_octane(), 300) * 114.23e-3 / (45.34 * 4.184), 1, 0.02);
  EXPECT_NEAR(vapour_cp_j_kg_k(iso_octane(), 1000) * 114.23e-3 / (103.65 * 4.184), 1, 0.02);
  // Petrol by hand from the same table.
  EXPECT_NEAR(vapour_cp_j_kg_k(petrol(), 300), 42.96 * 4.184 / 114.8e-3, 1);
  const double half =
      vapour_cp_j_kg_k(blend(petrol(), ethanol(), 745 / (745.0 + 789)), 500);  // as much of each by mass
  EXPECT_NEAR(half, (vapour_cp_j_kg_k(petrol(), 500) + vapour_cp_j_kg_k(ethanol(), 500)) / 2, 1e-9 * half);
}

}  // namespace
}  // namespace crankwise::thermo
