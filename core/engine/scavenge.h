// Scavenging of a two-stroke: how much of the charge that enters stays.
//
// By volume, at one pressure and temperature. Scavenge ratio SR: fresh charge that entered, to the cylinder; scavenging
// efficiency SE: what of the cylinder is fresh at the end; trapping efficiency SE / SR: what of the charge stayed
// (Benson, Blair, Heywood ch. 6). Benson and Brandham: a share takes the short way to the exhaust port; the rest pushes
// old gas out until it fills a share of the cylinder, then mixes at once with all of it.
#pragma once

#include "core/engine/real.h"

namespace crankwise::engine {

struct ScavengeRule {
  double displaces_to = 0;   // 0 to 1
  double short_circuit = 0;  // 0 to 1
};
inline constexpr ScavengeRule kPerfectMixing{0, 0};
inline constexpr ScavengeRule kPerfectDisplacement{1, 0};

/// Charge delivered a second over what the cylinder takes a second: `volume_m3` at the density of the charge at the
/// pressure in the exhaust.
double scavenge_ratio(double delivered_kg_s, double density_kg_m3, double volume_m3, double cycles_per_s);

/// From an empty (all old) cylinder; ratio 0 or more.
double scavenging_efficiency(const ScavengeRule&, double ratio);

/// Ratio above 0.
double trapping_efficiency(const ScavengeRule&, double ratio);

/// Of what gas that leaves through the exhaust port is made, as shares that sum to 1.
template <typename Real>
struct LeavingGas {
  Real entering;  // straight from the transfer ports
  Real mixed;     // as the cylinder is on the whole
  Real old;       // as it was before there was any fresh charge
};

/// The same step by step. `fresh` is the share of fresh charge in the cylinder now, `in_over_out` flow into the
/// cylinder to flow out of it (0 once the transfers are closed): the short way takes its share of what enters, at most
/// all that leaves. The change from displacing to mixing lies within 0.002 of `fresh` below displaces_to.
/// Template on Real: core/engine/real.h.
template <typename Real>
LeavingGas<Real> leaving_gas(const Real& displaces_to, const Real& short_circuit, const Real& fresh,
                             const Real& in_over_out) {
  constexpr double kChange = 0.002;
  const Real entering = within(short_circuit * in_over_out, Real(0), Real(1));
  const Real mixing = within((fresh - displaces_to + Real(kChange)) / Real(kChange), Real(0), Real(1));
  const Real rest = Real(1) - entering;
  return {entering, rest * mixing, rest * (Real(1) - mixing)};
}
template <typename Real>
LeavingGas<Real> leaving_gas(const ScavengeRule& rule, const Real& fresh, const Real& in_over_out) {
  return leaving_gas(Real(rule.displaces_to), Real(rule.short_circuit), fresh, in_over_out);
}

/// Share of fresh charge in what leaves.
template <typename Real>
Real fresh_leaving(const ScavengeRule& rule, const Real& fresh, const Real& in_over_out) {
  const LeavingGas<Real> gas = leaving_gas(rule, fresh, in_over_out);
  return gas.entering + gas.mixed * fresh;
}

}  // namespace crankwise::engine
