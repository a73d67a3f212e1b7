// Gas through an opening: from a volume to another, and from the end of a duct to a volume, both ways and choked.
//
// Quasi-steady and isentropic to the throat (St Venant and Wantzel); the discharge is in the effective area. Into a
// duct the pressure of the throat is that of the duct's end: nothing is recovered behind it (Benson, The Thermodynamics
// and Gas Dynamics of Internal Combustion Engines, vol. 1, "constant pressure" model; from memory). At the end of a
// duct the wave that arrives from inside, p + rho a u, and the opening decide together: one equation for the pressure
// there.
#pragma once

#include "core/flow/state.h"

namespace crankwise::flow {

/// Gas at rest: what a duct ends in.
template <typename Real>
struct Rest {
  Real p, temp_k;
  Shares<Real> y;
};

/// Totals per second through an opening.
template <typename Real>
using Stream = Flux<Real>;

/// Mass per area and second, squared, of gas at rest of p0, T0 through a hole with `ratio` = p behind over p0.
template <typename Real>
Real hole_flow_squared(Real p0, Real r_temp0, Real gamma, Real ratio) {
  const Real k = gamma - 1.0;
  const Real critical = pow(2.0 / (gamma + 1.0), gamma / k);
  const Real r = min(max(ratio, critical), Real(1));
  const Real part = pow(r, 1.0 / gamma);
  return max(p0 * p0 / r_temp0 * (2.0 * gamma / k) * part * (part - r), Real(0));
}

/// From one volume to the other, above 0 from `a` to `b`.
template <typename Real>
Stream<Real> through_hole(const Gas<Real>& gas, const Rest<Real>& a, const Rest<Real>& b, Real area_m2) {
  const auto forward = a.p >= b.p;
  const auto pick = [&](Real x, Real y) { return select(forward, x, y); };
  const Shares<Real> y{pick(a.y.fuel, b.y.fuel), pick(a.y.burned, b.y.burned)};
  const Real temp_k = pick(a.temp_k, b.temp_k), p0 = pick(a.p, b.p), behind = pick(b.p, a.p);
  const Charge<Real> charge = charge_of(gas, y);
  const Real squared = hole_flow_squared<Real>(p0, charge.constant * temp_k, charge.gamma(temp_k), behind / p0);
  const Real mass = area_m2 * sqrt(squared) * pick(Real(1), Real(-1));
  return {mass, Real(0), mass * charge.enthalpy(temp_k), mass * y.fuel, mass * y.burned};
}

/// What goes out of the end of a duct.
template <typename Real>
struct EndFlow {
  Stream<Real> out;  // momentum: (rho u^2 + p) A, in the direction out of the duct
  Real p, u;         // at the end; u outwards
};

/// `w`: the gas at the end, u counted outwards. `open`: effective area over that of the duct, 0 to 1.
template <typename Real>
EndFlow<Real> through_end(const Gas<Real>& gas, const Primitive<Real>& w, Real area_m2, Real open,
                          const Rest<Real>& rest) {
  const Charge<Real> in = charge_of(gas, w.y), out = charge_of(gas, rest.y);
  const Real temp_k = w.p / (w.rho * in.constant), gamma_in = in.gamma(temp_k), gamma_out = out.gamma(rest.temp_k);
  const Real sound_squared = gamma_in * w.p / w.rho, sound = sqrt(sound_squared), z = w.rho * sound;
  const Real p_wall = max(w.p + z * w.u, 0.05 * w.p);
  const auto outwards = p_wall > rest.p;
  const auto pick = [&](Real a, Real b) { return select(outwards, a, b); };
  const Real gamma = pick(gamma_in, gamma_out), k = gamma - 1.0;
  const Real critical = pow(2.0 / (gamma + 1.0), gamma / k), one_over_gamma = 1.0 / gamma;
  const Real two_gamma_k = 2.0 * gamma / k, open_squared = open * open;
  const Real cp_out = out.cp(rest.temp_k), r_temp_rest = out.constant * rest.temp_k;

  struct Face {
    Real u, rho, nozzle;  // nozzle: mass flux squared through the opening
  };
  const auto face = [&](Real p) {
    Face f;
    f.u = (p_wall - p) / z;
    const Real rho_in = max(w.rho + (p - w.p) / sound_squared, 0.1 * w.rho);
    const Real mach_squared = f.u * f.u * rho_in / (gamma_in * p);
    const Real rise = 1.0 + 0.5 * (gamma_in - 1.0) * mach_squared;
    const Real p0_in = p * pow(rise, gamma_in / (gamma_in - 1.0));
    const Real p0 = pick(p0_in, rest.p);
    const Real r_temp0 = pick(p / rho_in * rise, r_temp_rest);
    const Real r = min(max(pick(rest.p / p0_in, p / rest.p), critical), Real(1));
    const Real part = pow(r, one_over_gamma);
    f.nozzle = open_squared * max(p0 * p0 / r_temp0 * two_gamma_k * part * (part - r), Real(0));
    const Real temp_out = max(rest.temp_k - 0.5 * f.u * f.u / cp_out, 0.3 * rest.temp_k);
    f.rho = pick(rho_in, p / (out.constant * temp_out));
    return f;
  };
  // The opening lets through what arrives: its flux squared less that of the duct rises from the far end of the bracket
  // to the wall's pressure.
  const auto excess = [&](const Face& f) { return f.nozzle - f.rho * f.rho * f.u * f.u; };
  Real near = p_wall;                                                                 // no flow
  Real far = pick(max(rest.p, p_wall - z * sound), min(rest.p, p_wall + z * sound));  // as open as can be, or sonic
  Real at_near = excess(face(near)), at_far = min(excess(face(far)), Real(0));
  Real p = far;
  Face f = face(far);
  for (int i = 0; i < 5; ++i) {  // false position with halving (Illinois)
    const Real span = at_near - at_far;
    p = select(span > Real(0), far + (near - far) * (-at_far) / max(span, Real(1e-30)), far);
    f = face(p);
    const Real e = excess(f);
    const auto below = e < Real(0);
    near = select(below, near, p);
    at_near = select(below, 0.5 * at_near, e);
    far = select(below, p, far);
    at_far = select(below, e, 0.5 * at_far);
  }
  const Real mass = area_m2 * min(sqrt(f.nozzle), f.rho * abs(f.u)) * pick(Real(1), Real(-1));
  const Real temp_face = p / (f.rho * in.constant);
  const Real heat = pick(in.enthalpy(temp_face) + 0.5 * f.u * f.u, out.enthalpy(rest.temp_k));
  return {{mass, area_m2 * p + mass * f.u, mass * heat, mass * pick(w.y.fuel, rest.y.fuel),
           mass * pick(w.y.burned, rest.y.burned)},
          p,
          mass / (area_m2 * f.rho)};
}

}  // namespace crankwise::flow
