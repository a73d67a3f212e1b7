// What burning leaves, and how hot it gets.
//
//   const Atoms charge = charge_atoms(atoms_of(Species::ch4), 1.0, kTextbookAir);
//   equilibrium(charge, 2225, kAtmospherePa)->share(Species::co);       // 0.9 %
//
// Pressures in Pa, temperatures in K; amounts in mol of whatever was put in. Mixtures of ideal gases.
#pragma once

#include <array>
#include <optional>

#include "core/thermo/fuels.h"
#include "core/thermo/nasa.h"

namespace crankwise::thermo {

/// mol of each to one of oxygen.
struct AirMakeup {
  double n2 = 0, ar = 0;
};
inline constexpr AirMakeup kDryAirMakeup{3.7279, 0.0446};  // 78.084, 20.946 and 0.934 % (ISO 2533), the rest left out
inline constexpr AirMakeup kTextbookAir{3.76, 0};
inline constexpr AirMakeup kHeywoodAir{3.773, 0};  // argon counted as nitrogen (Heywood, chapter 3)

inline constexpr std::size_t kProducts = 12;  // the first of Species

struct GasMix {
  std::array<double, kProducts> mol{};

  double& operator[](Species s) { return mol[static_cast<std::size_t>(s)]; }
  double operator[](Species s) const { return mol[static_cast<std::size_t>(s)]; }
  double total_mol() const;
  double share(Species s) const { return (*this)[s] / total_mol(); }
};

/// Air with one mol of oxygen.
GasMix air_mix(const AirMakeup&);

double mass_kg(const GasMix&);
double gas_constant_j_kg_k(const GasMix&);
double cp_j_kg_k(const GasMix&, double temp_k);   // frozen: nothing reacts
double gamma_of(const GasMix&, double temp_k);    // frozen
double enthalpy_j(const GasMix&, double temp_k);  // of all of it, with the heat of formation

/// A mol of fuel, or of a formula, with air for this equivalence ratio phi (1 / lambda; above 0): all its atoms.
Atoms charge_atoms(const Atoms& fuel, double phi, const AirMakeup&);

/// Complete burning, nothing broken up. Lean: CO2, H2O and oxygen left over. Rich: CO2, H2O, CO and H2 in the balance
/// of the water-gas reaction, CO2 + H2 = CO + H2O, at the temperature at which it freezes; Heywood (chapter 4) takes
/// its constant as 3.5, which is that at 1740 K. Precondition: oxygen for all carbon to become CO at least.
inline constexpr double kWaterGasFreezesK = 1740;
GasMix complete_products(const Atoms&, double water_gas_k = kWaterGasFreezesK);

/// CO H2O / (CO2 H2).
double water_gas_constant(double temp_k);

/// Chemical equilibrium of N2 O2 CO2 H2O CO H2 OH O H NO N and inert Ar: least Gibbs energy by Newton's iteration on
/// the element potentials (Gordon and McBride, NASA RP-1311, damped as there). Nothing if it does not settle; it does
/// from 1000 to 3500 K, phi 0.4 to 2, which the tests walk through. Needs hydrogen and oxygen; carbon and nitrogen may
/// be absent.
std::optional<GasMix> equilibrium(const Atoms&, double temp_k, double p_pa);

/// Adiabatic flame temperature.
struct FlameStart {
  Atoms atoms;            // of the whole charge
  double enthalpy_j = 0;  // of it, with the heat of formation
  double mol = 0;         // of gas, before burning
  double temp_k = kReferenceK;
  double p_pa = kAtmospherePa;
};
/// A mol of this fuel as vapour with air, at 298.15 K and 1 atm.
FlameStart flame_start(Species fuel, double phi, const AirMakeup&);
/// A kg of it; its enthalpy follows from its lower heating value and heat of evaporation.
FlameStart flame_start(const Fuel& vapour, double phi, const AirMakeup&);

enum class Dissociation { none, equilibrium };
/// Nothing outside 1000 to 4000 K.
std::optional<double> flame_at_constant_pressure_k(const FlameStart&, Dissociation = Dissociation::equilibrium);
std::optional<double> flame_at_constant_volume_k(const FlameStart&, Dissociation = Dissociation::equilibrium);

/// Share of the lower heating value that is set free at this lambda (air to air that just burns the fuel) with complete
/// products: 1 if lean; rich, what CO and H2 keep is missing. Precondition as for complete_products.
double heat_share(const Fuel&, double lambda);

}  // namespace crankwise::thermo
