// Heat from the gas to the walls of the cylinder, W/(m2 K).
//
// Woschni is printed with two pairs of constant and temperature exponent, which differ by 17 % at 2300 K; this is the
// one of Heywood (Internal Combustion Engine Fundamentals, eq. 12.19). Lengths in m, pressures in Pa, temperatures in
// K, all above 0. Templates on Real: core/engine/real.h.
#pragma once

#include "core/engine/real.h"

namespace crankwise::engine {

/// 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8 with p in kPa; w is the gas speed below.
template <typename Real>
Real woschni_w_m2_k(const Real& bore_m, const Real& p_pa, const Real& temp_k, const Real& gas_m_s) {
  return Real(3.26) * pow(bore_m, Real(-0.2)) * pow(p_pa / Real(1000), Real(0.8)) * pow(temp_k, Real(-0.55)) *
         pow(gas_m_s, Real(0.8));
}

/// By the piston's mean speed (Woschni 1967, from memory), without swirl.
inline constexpr double kWoschniGasExchange = 6.18;
inline constexpr double kWoschniClosed = 2.28;      // compression, burning and expansion
inline constexpr double kWoschniBurning = 3.24e-3;  // m/(s K): from the start of burning to the exhaust; else 0

/// Gas with nothing burning in it: at some moment between closing and spark, and the pressure now if it had not fired.
template <typename Real>
struct MotoredState {
  Real swept_m3, volume_m3, temp_k, p_pa;  // the last three at that moment
  Real motored_pa;                         // now
};

/// w = c1 Sp + c2 Vs T1 / (p1 V1) (p - p_motored); never below c1 Sp.
template <typename Real>
Real woschni_gas_m_s(const Real& c1, const Real& piston_mean_m_s, const Real& c2, const Real& p_pa,
                     const MotoredState<Real>& motored) {
  const Real burning = max(p_pa - motored.motored_pa, Real(0));
  return c1 * piston_mean_m_s + c2 * motored.swept_m3 * motored.temp_k / (motored.p_pa * motored.volume_m3) * burning;
}

/// Of burned gas: 3.3e-7 T^0.7 Pa s (air; Heywood, eq. 4.52, from memory; rich burned gas 3 % less).
template <typename Real>
Real gas_viscosity_pa_s(const Real& temp_k) {
  return Real(3.3e-7) * pow(temp_k, Real(0.7));
}

/// cp mu / Pr, Prandtl number 0.7.
template <typename Real>
Real gas_conductivity_w_m_k(const Real& cp_j_kg_k, const Real& viscosity_pa_s) {
  return cp_j_kg_k * viscosity_pa_s / Real(0.7);
}

/// Share a in Nu = a Re^0.7 (Annand 1963; as Blair uses it, Design and Simulation of Two-Stroke Engines, from memory).
inline constexpr double kAnnandTwoStroke = 0.26;
inline constexpr double kAnnandFourStroke = 0.49;

/// Density times piston speed times bore over viscosity.
template <typename Real>
Real annand_reynolds(const Real& density_kg_m3, const Real& piston_mean_m_s, const Real& bore_m,
                     const Real& viscosity_pa_s) {
  return density_kg_m3 * piston_mean_m_s * bore_m / viscosity_pa_s;
}

template <typename Real>
Real annand_w_m2_k(const Real& a, const Real& reynolds, const Real& conductivity_w_m_k, const Real& bore_m) {
  return a * pow(reynolds, Real(0.7)) * conductivity_w_m_k / bore_m;
}

}  // namespace crankwise::engine
