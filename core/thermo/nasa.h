// Heat capacity, enthalpy and entropy of the gases that take part in burning.
//
//   cp/R = a1 + a2 T + a3 T^2 + a4 T^3 + a5 T^4 and its integrals, two ranges a species, joined at 1000 K.
//
// Coefficients: thermodynamic part of GRI-Mech 3.0 (reference pressure 1 atm). Not of it: ethanol (Burcat's tables)
// and iso-octane (Lawrence Livermore mechanism, joined at 1396 K), both from memory. Held from 200 or 300 K to at least
// 3500 K (5000 K the fuels); a little outside the polynomial goes on. Per mol, temperatures in K (above 0).
#pragma once

#include <cstddef>

namespace crankwise::thermo {

inline constexpr double kMolarGasConstant = 8.314462618;  // J/(mol K)
inline constexpr double kAtmospherePa = 101325;
inline constexpr double kReferenceK = 298.15;

/// The first twelve are what burning leaves (core/thermo/products.h).
enum class Species { n2, o2, co2, h2o, co, h2, oh, o, h, no, n, ar, ch4, c3h8, ch3oh, c2h5oh, c8h18 };
inline constexpr std::size_t kSpecies = 17;

/// So many mol of each element; of a species, its atoms.
struct Atoms {
  double c = 0, h = 0, o = 0, n = 0, ar = 0;
};
Atoms atoms_of(Species);

/// Of so many mol; atomic masses of IUPAC, shortened.
double mass_kg(const Atoms&);

double molar_mass_kg_mol(Species);
double molar_cp_j_mol_k(Species, double temp_k);

/// With the heat of formation: at 298.15 K that of formation from the elements.
double molar_enthalpy_j_mol(Species, double temp_k);

/// At 1 atm.
double molar_entropy_j_mol_k(Species, double temp_k);

}  // namespace crankwise::thermo
