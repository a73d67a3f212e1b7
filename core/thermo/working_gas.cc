#include "core/thermo/working_gas.h"

#include "core/thermo/products.h"

namespace crankwise::thermo {
namespace {

constexpr double kFromK = 250, kStepK = 10, kGasToK = 2000, kVapourToK = 1000;

/// The line with the least sum of squares to cp - R.
template <class Cp>
LinearGas fit(double constant_j_kg_k, double to_k, const Cp& cp) {
  const int steps = static_cast<int>((to_k - kFromK) / kStepK);
  double middle = 0, mean = 0, spread = 0, slope = 0;
  const auto at = [](int i) { return kFromK + i * kStepK; };
  for (int i = 0; i <= steps; ++i) {
    middle += at(i) / (steps + 1);
    mean += (cp(at(i)) - constant_j_kg_k) / (steps + 1);
  }
  for (int i = 0; i <= steps; ++i) {
    const double off = at(i) - middle;
    spread += off * off;
    slope += off * (cp(at(i)) - constant_j_kg_k - mean);
  }
  slope /= spread;
  return {constant_j_kg_k, mean - slope * middle, slope};
}

LinearGas fit(const GasMix& mix) {
  return fit(gas_constant_j_kg_k(mix), kGasToK, [&](double temp_k) { return cp_j_kg_k(mix, temp_k); });
}

}  // namespace

WorkingGas working_gas(const Fuel& fuel) {
  return {fit(air_mix(kDryAirMakeup)),
          fit(kMolarGasConstant * fuel.vapour_mol_kg, kVapourToK,
              [&](double temp_k) { return vapour_cp_j_kg_k(fuel, temp_k); }),
          fit(complete_products(charge_atoms(fuel.mol_kg, 1, kDryAirMakeup)))};
}

}  // namespace crankwise::thermo
