// How near the end gas is to knock. An indicator only: good for more or less, not for a limit in degrees.
//
//   integral += induction_rate(octane, p_pa, unburned_k) * dt_s;    // from closing to the end of burning
//   1 - integral;                                                    // the margin; at 0 or below it knocks
//
// Livengood and Wu 1955: the end gas goes off when the integral of dt / tau is 1. Douaud and Eyzat (SAE 780080), as in
// Heywood, Internal Combustion Engine Fundamentals, eq. 9.61 (from memory):
//   tau = 17.68 ms (ON / 100)^3.402 p^-1.7 exp(3800 / T), p in atm.
// The same is printed with 18.69 ms, which fits p in kgf/cm2. Template on Real: core/engine/real.h.
#pragma once

namespace crankwise::engine {

/// Induction time; octane 80 to 110, Pa, K of the unburned gas.
template <typename Real>
Real induction_s(const Real& octane, const Real& p_pa, const Real& temp_k) {
  return Real(17.68e-3) * pow(octane / Real(100), Real(3.402)) * pow(p_pa / Real(101325), Real(-1.7)) *
         exp(Real(3800) / temp_k);
}

/// 1 / tau, 1/s.
template <typename Real>
Real induction_rate(const Real& octane, const Real& p_pa, const Real& temp_k) {
  return Real(1) / induction_s(octane, p_pa, temp_k);
}

}  // namespace crankwise::engine
