// What flows: air, fuel vapour and burned gas in any shares, each with cv(T) = cv0 + cv1 T.
//
// The internal energy e = cv0 T + cv1 T^2 / 2 can be turned into the temperature in closed form, so that the conserved
// energy and the temperature always belong together, whatever the mixture. SI: J/kg, K, Pa, kg/m3.
#pragma once

#include "core/flow/lanes.h"
#include "core/thermo/working_gas.h"

namespace crankwise::flow {

/// Shares by mass; what is left is air.
template <typename Real>
struct Shares {
  Real fuel = 0, burned = 0;
};

/// The properties of one mixture.
template <typename Real>
struct Charge {
  Real constant;  // R, J/(kg K)
  Real cv0, cv1;  // J/(kg K), J/(kg K2)

  Real energy(Real temp_k) const { return temp_k * (cv0 + 0.5 * cv1 * temp_k); }
  Real enthalpy(Real temp_k) const { return energy(temp_k) + constant * temp_k; }
  /// (sqrt(cv0^2 + 2 cv1 e) - cv0) / cv1, written so that cv1 may be 0.
  Real temperature(Real energy) const { return 2.0 * energy / (cv0 + sqrt(cv0 * cv0 + 2.0 * cv1 * energy)); }
  Real cv(Real temp_k) const { return cv0 + cv1 * temp_k; }
  Real cp(Real temp_k) const { return cv(temp_k) + constant; }
  Real gamma(Real temp_k) const { return 1.0 + constant / cv(temp_k); }
};

/// The three kinds of gas in lanes: air, and what fuel and burned gas have more.
template <typename Real>
struct Gas {
  Charge<Real> air, fuel_more, burned_more;

  explicit Gas(const thermo::WorkingGas& g)
      : air(of(g.air, {})), fuel_more(of(g.fuel, g.air)), burned_more(of(g.burned, g.air)) {}

 private:
  static Charge<Real> of(const thermo::LinearGas& a, const thermo::LinearGas& b) {
    return {Real(a.constant_j_kg_k - b.constant_j_kg_k), Real(a.cv0_j_kg_k - b.cv0_j_kg_k),
            Real(a.cv1_j_kg_k2 - b.cv1_j_kg_k2)};
  }
};

template <typename Real>
CRANKWISE_INLINE Charge<Real> charge_of(const Gas<Real>& gas, const Shares<Real>& y) {
  const auto mix = [&](Real air, Real fuel, Real burned) { return air + fuel * y.fuel + burned * y.burned; };
  return {mix(gas.air.constant, gas.fuel_more.constant, gas.burned_more.constant),
          mix(gas.air.cv0, gas.fuel_more.cv0, gas.burned_more.cv0),
          mix(gas.air.cv1, gas.fuel_more.cv1, gas.burned_more.cv1)};
}

}  // namespace crankwise::flow
