// The three gases of which the engine sums are made: air, vapour of the fuel, and what burning leaves.
//
//   const WorkingGas gas = working_gas(petrol());
//   gas.burned.gamma(1500);
//
// Heat capacity is a line in temperature, cv(T) = cv0 + cv1 T, so that energy gives temperature by a square root. Air
// and burned gas are fitted by least squares over 250 to 2000 K, every 10 K, to core/thermo/nasa.h: cp within 3 %,
// gamma within 1 % from 300 to 2000 K. Burned gas is the complete products of the fuel with as much air as just burns
// it, nothing broken up: against equilibrium at 40 bar the energy from 300 K up is 2 % short at 2200 K, 6 % at 2600 K
// and 13 % at 3000 K, so peaks come out too hot. Vapour is fitted over 250 to 1000 K, where there is most of it, to
// vapour_cp_j_kg_k(): within 10 % from 300 K; a line through all up to 2000 K would be far off in the inlet. J/(kg K),
// K.
#pragma once

#include "core/thermo/fuels.h"

namespace crankwise::thermo {

struct LinearGas {
  double constant_j_kg_k = 0;
  double cv0_j_kg_k = 0;
  double cv1_j_kg_k2 = 0;

  double cv_j_kg_k(double temp_k) const { return cv0_j_kg_k + cv1_j_kg_k2 * temp_k; }
  /// Internal energy, 0 at 0 K.
  double energy_j_kg(double temp_k) const { return (cv0_j_kg_k + cv1_j_kg_k2 * temp_k / 2) * temp_k; }
  double gamma(double temp_k) const { return 1 + constant_j_kg_k / cv_j_kg_k(temp_k); }
};

struct WorkingGas {
  LinearGas air, fuel, burned;
};
WorkingGas working_gas(const Fuel&);

}  // namespace crankwise::thermo
