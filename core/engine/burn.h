// How the charge burns: the Vibe function, and what mixture, residual gas, spark and speed do to it.
//
//   vibe_burned(x, kVibeComplete)                       // share burned at share x of the burn angle
//   const auto now = charge_burn(state, state_at_reference, kPetrolFlame, kUsualLimits);
//   now.angle_factor; now.complete; now.misfire;        // longer than the reference; share that burns; share of cycles
//
// Templates on Real: core/engine/real.h.
#pragma once

#include "core/engine/real.h"

namespace crankwise::engine {

/// 1 - exp(-a x^(m + 1)) (Vibe 1970).
struct VibeShape {
  double a = 0, m = 0;
};
inline constexpr VibeShape kVibeComplete{6.908, 2};  // 99.9 % burned at the end
inline constexpr VibeShape kVibeHeywood{5, 2};       // 99.3 % (Heywood, Internal Combustion Engine Fundamentals, ch. 9)

/// x is the share of the burn angle; below 0 it counts as 0, above 1 as 1.
template <typename Real>
Real vibe_burned(const Real& x, const VibeShape& shape) {
  return Real(1) - exp(Real(-shape.a) * pow(within(x, Real(0), Real(1)), Real(shape.m + 1)));
}

/// d burned / dx, for 0 <= x <= 1. m above 0.
template <typename Real>
Real vibe_rate(const Real& x, const VibeShape& shape) {
  const Real low = pow(within(x, Real(0), Real(1)), Real(shape.m));
  return Real(shape.a * (shape.m + 1)) * low * exp(Real(-shape.a) * low * within(x, Real(0), Real(1)));
}

/// Laminar flame speed: (b + b_phi (phi - phi_best)^2) (T / 298 K)^alpha (p / 1 atm)^beta (1 - 2.06 x^0.77), with phi =
/// 1 / lambda, alpha = alpha0 + alpha1 phi^alpha_power, beta likewise, x the share of burned gas by volume.
/// Metghalchi and Keck 1982; petrol and burned gas Rhodes and Keck 1985; as in Heywood, table 9.3 (from memory). Fitted
/// to 300-700 K, 0.4-50 atm, phi 0.7-1.4; the exponents do not follow phi beyond. The cold speed is no less than 1 cm/s
/// and the factor of burned gas no less than 0.15, about that of a third of it, the most it can be trusted with (both
/// guesses). Newer measurements give 10 to 30 % more speed; only ratios are used here.
struct FlameLaw {
  double b_m_s = 0, b_phi_m_s = 0, phi_best = 1;
  double alpha0 = 2.98, alpha1 = -0.8, alpha_power = 1;
  double beta0 = -0.38, beta1 = 0.22, beta_power = 1;
};
inline constexpr FlameLaw kPetrolFlame{.b_m_s = 0.305,
                                       .b_phi_m_s = -0.549,
                                       .phi_best = 1.21,
                                       .alpha0 = 2.4,
                                       .alpha1 = -0.271,
                                       .alpha_power = 3.51,
                                       .beta0 = -0.357,
                                       .beta1 = 0.14,
                                       .beta_power = 2.77};
inline constexpr FlameLaw kIsoOctaneFlame{.b_m_s = 0.263, .b_phi_m_s = -0.847, .phi_best = 1.13};
inline constexpr FlameLaw kMethanolFlame{.b_m_s = 0.369, .b_phi_m_s = -1.405, .phi_best = 1.11};
inline constexpr FlameLaw kPropaneFlame{.b_m_s = 0.342, .b_phi_m_s = -1.387, .phi_best = 1.08};

/// The charge at the spark.
template <typename Real>
struct ChargeState {
  Real lambda = Real(1);       // of what is fresh
  Real residual = Real(0);     // burned gas in the charge, share by volume, 0 to 1
  Real spark = Real(1);        // spark energy to that of a sound ignition, 0 (none) to 1
  Real turns_per_s = Real(0);  // above 0
  Real temp_k = Real(600);
  Real p_pa = Real(10e5);
};

template <typename Real>
Real flame_speed_m_s(const ChargeState<Real>& charge, const FlameLaw& law) {
  const Real phi = Real(1) / charge.lambda, off = phi - Real(law.phi_best);
  const Real cold = max(Real(law.b_m_s) + Real(law.b_phi_m_s) * off * off, Real(0.01));
  const Real fitted = within(phi, Real(0.7), Real(1.4));
  const Real alpha = Real(law.alpha0) + Real(law.alpha1) * pow(fitted, Real(law.alpha_power));
  const Real beta = Real(law.beta0) + Real(law.beta1) * pow(fitted, Real(law.beta_power));
  const Real diluted = Real(1) - Real(2.06) * pow(within(charge.residual, Real(0), Real(1)), Real(0.77));
  return cold * pow(charge.temp_k / Real(298), alpha) * pow(charge.p_pa / Real(101325), beta) *
         max(diluted, Real(0.15));
}

/// Mixtures that burn at all: lambda lean about 1.35 to 1.5, rich about 0.55 to 0.6 (Heywood, ch. 9; *common
/// practice*). Residual gas draws both limits towards the middle, in proportion, until nothing burns; a weak spark
/// draws them too, as energy^0.3 (a guess that halves the range at a tenth of the energy).
struct FlameLimits {
  double lean = 1.45, rich = 0.58, middle = 0.95;
  double most_residual = 0.6;   // hot two-strokes burn with half; cool four-strokes stop at 0.3 to 0.4, common practice
  double blur = 0.03;           // of lambda, from cycle to cycle
  double most_complete = 0.97;  // Heywood, ch. 3: 0.95 to 0.98 in sound burning
};
inline constexpr FlameLimits kUsualLimits{};

template <typename Real>
struct BurnLimits {
  Real lean, rich;
};
template <typename Real>
BurnLimits<Real> burn_limits(const ChargeState<Real>& charge, const FlameLimits& usual) {
  const Real fresh = within(Real(1) - charge.residual / Real(usual.most_residual), Real(0), Real(1));
  const Real share = fresh * pow(within(charge.spark, Real(0), Real(1)), Real(0.3));
  return {Real(usual.middle) + Real(usual.lean - usual.middle) * share,
          Real(usual.middle) - Real(usual.middle - usual.rich) * share};
}

/// Share that lies beyond either limit when these are blurred: 1 where the limits meet.
template <typename Real>
Real beyond_limits(const Real& lambda, const BurnLimits<Real>& limits, double blur) {
  return min(soft_step((lambda - limits.lean) / Real(blur)) + soft_step((limits.rich - lambda) / Real(blur)), Real(1));
}

template <typename Real>
struct ChargeBurn {
  Real angle_factor;  // burn angle to that of the reference
  Real complete;      // share of what has oxygen to burn with that burns, in a cycle that fires
  Real misfire;       // share of cycles that do not fire
};

/// Burn angle: (flame speed)^(-2/3) (turns)^(1/3), the turbulent flame of Hires, Tabaczynski and Novak (SAE 780232),
/// which Heywood gives in ch. 14 (from memory). A weak spark lengthens it by a tenth at most (a guess). Towards the
/// limits half of the charge is left in partial burns. Rich mixtures lack oxygen besides: core/thermo/products.h,
/// heat_share().
template <typename Real>
ChargeBurn<Real> charge_burn(const ChargeState<Real>& charge, const ChargeState<Real>& reference, const FlameLaw& law,
                             const FlameLimits& usual) {
  const BurnLimits<Real> limits = burn_limits(charge, usual);
  const auto slowness = [](const Real& spark) { return Real(1.1) - Real(0.1) * within(spark, Real(0), Real(1)); };
  const Real slower = flame_speed_m_s(reference, law) / flame_speed_m_s(charge, law);
  const Real third = Real(1.0 / 3);
  const Real near = beyond_limits(charge.lambda, limits, 2 * usual.blur);
  return {pow(slower * slower * charge.turns_per_s / reference.turns_per_s, third) * slowness(charge.spark) /
              slowness(reference.spark),
          Real(usual.most_complete) * (Real(1) - Real(0.5) * near), beyond_limits(charge.lambda, limits, usual.blur)};
}

}  // namespace crankwise::engine
