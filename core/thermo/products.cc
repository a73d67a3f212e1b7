#include "core/thermo/products.h"

#include <cassert>
#include <cmath>

namespace crankwise::thermo {
namespace {

constexpr Species at(std::size_t i) { return static_cast<Species>(i); }

}  // namespace

double GasMix::total_mol() const {
  double sum = 0;
  for (const double m : mol) sum += m;
  return sum;
}

GasMix air_mix(const AirMakeup& air) {
  GasMix mix;
  mix[Species::o2] = 1;
  mix[Species::n2] = air.n2;
  mix[Species::ar] = air.ar;
  return mix;
}

double mass_kg(const GasMix& mix) {
  double sum = 0;
  for (std::size_t i = 0; i < kProducts; ++i) sum += mix.mol[i] * molar_mass_kg_mol(at(i));
  return sum;
}

double gas_constant_j_kg_k(const GasMix& mix) { return kMolarGasConstant * mix.total_mol() / mass_kg(mix); }

double cp_j_kg_k(const GasMix& mix, double temp_k) {
  double sum = 0;
  for (std::size_t i = 0; i < kProducts; ++i) sum += mix.mol[i] * molar_cp_j_mol_k(at(i), temp_k);
  return sum / mass_kg(mix);
}

double gamma_of(const GasMix& mix, double temp_k) {
  const double cp = cp_j_kg_k(mix, temp_k);
  return cp / (cp - gas_constant_j_kg_k(mix));
}

double enthalpy_j(const GasMix& mix, double temp_k) {
  double sum = 0;
  for (std::size_t i = 0; i < kProducts; ++i) sum += mix.mol[i] * molar_enthalpy_j_mol(at(i), temp_k);
  return sum;
}

Atoms charge_atoms(const Atoms& fuel, double phi, const AirMakeup& air) {
  assert(phi > 0);
  const double oxygen = (fuel.c + fuel.h / 4 - fuel.o / 2) / phi;
  return {fuel.c, fuel.h, fuel.o + 2 * oxygen, fuel.n + 2 * air.n2 * oxygen, fuel.ar + air.ar * oxygen};
}

double water_gas_constant(double temp_k) {
  const auto gibbs = [&](Species s) {
    return molar_enthalpy_j_mol(s, temp_k) - temp_k * molar_entropy_j_mol_k(s, temp_k);
  };
  const double change = gibbs(Species::co) + gibbs(Species::h2o) - gibbs(Species::co2) - gibbs(Species::h2);
  return std::exp(-change / (kMolarGasConstant * temp_k));
}

GasMix complete_products(const Atoms& atoms, double water_gas_k) {
  assert(atoms.o >= atoms.c && atoms.c >= 0 && atoms.h >= 0);
  GasMix mix;
  mix[Species::n2] = atoms.n / 2;
  mix[Species::ar] = atoms.ar;
  const double spare = atoms.o - 2 * atoms.c - atoms.h / 2;
  if (spare >= 0) {
    mix[Species::co2] = atoms.c;
    mix[Species::h2o] = atoms.h / 2;
    mix[Species::o2] = spare / 2;
    return mix;
  }
  // x of the oxygen missing is missing from CO2 (CO = x, H2 = lack - x):
  // x (H / 2 - lack + x) = k (C - x) (lack - x).
  const double k = water_gas_constant(water_gas_k), lack = -spare, water = atoms.h / 2;
  const double a = k - 1, b = -(k * (atoms.c + lack) + water - lack), c = k * atoms.c * lack;
  const double root = std::sqrt(b * b - 4 * a * c);
  const double x = 2 * c / (-b + root);  // the lesser root, also where a is 0
  mix[Species::co] = x;
  mix[Species::co2] = atoms.c - x;
  mix[Species::h2] = lack - x;
  mix[Species::h2o] = water - lack + x;
  return mix;
}

double heat_share(const Fuel& fuel, double lambda) {
  assert(lambda > 0);
  const GasMix mix = complete_products(charge_atoms(fuel.mol_kg, 1 / lambda, kDryAirMakeup));
  const auto burns = [](Species from, Species to) {  // with oxygen, of which the heat of formation is 0
    return molar_enthalpy_j_mol(from, kReferenceK) - molar_enthalpy_j_mol(to, kReferenceK);
  };
  const double kept =
      mix[Species::co] * burns(Species::co, Species::co2) + mix[Species::h2] * burns(Species::h2, Species::h2o);
  return 1 - kept / fuel.lower_heating_j_kg;
}

}  // namespace crankwise::thermo
