// The state of a gas in a duct, as what is conserved and as what is seen, and the flux between two of them.
#pragma once

#include "core/flow/charge.h"

namespace crankwise::flow {

/// Per volume: mass, momentum, energy, fuel, burned gas.
template <typename Real>
struct Conserved {
  Real rho, momentum, energy, fuel, burned;
};

template <typename Real>
struct Primitive {
  Real rho, u, p;  // kg/m3, m/s, Pa
  Shares<Real> y;
};

/// Per area and second. The energy's flux carries the enthalpy.
template <typename Real>
struct Flux {
  Real mass, momentum, energy, fuel, burned;
};

template <typename Real>
CRANKWISE_INLINE Primitive<Real> primitive_of(const Gas<Real>& gas, const Conserved<Real>& c) {
  const Real volume = 1.0 / c.rho, u = c.momentum * volume;
  const Shares<Real> y{c.fuel * volume, c.burned * volume};
  const Charge<Real> charge = charge_of(gas, y);
  const Real temp_k = charge.temperature(c.energy * volume - 0.5 * u * u);
  return {c.rho, u, c.rho * charge.constant * temp_k, y};
}

template <typename Real>
Conserved<Real> conserved_of(const Gas<Real>& gas, const Primitive<Real>& w) {
  const Charge<Real> charge = charge_of(gas, w.y);
  const Real temp_k = w.p / (w.rho * charge.constant);
  return {w.rho, w.rho * w.u, w.rho * (charge.energy(temp_k) + 0.5 * w.u * w.u), w.rho * w.y.fuel, w.rho * w.y.burned};
}

/// One side of a face.
template <typename Real>
struct Side {
  Primitive<Real> w;
  Real energy;  // per volume
  Real sound;   // speed, m/s
};

template <typename Real>
CRANKWISE_INLINE Side<Real> side_of(const Gas<Real>& gas, const Primitive<Real>& w) {
  const Charge<Real> charge = charge_of(gas, w.y);
  const Real temp_k = w.p / (w.rho * charge.constant), cv = charge.cv(temp_k);
  return {w, w.rho * (charge.energy(temp_k) + 0.5 * w.u * w.u),
          sqrt((cv + charge.constant) / cv * charge.constant * temp_k)};
}

/// The approximate Riemann solver HLLC (Toro, Riemann Solvers and Numerical Methods for Fluid Dynamics, chapter 10),
/// with the wave speeds of Davis bounded by those of the averages.
template <typename Real>
CRANKWISE_INLINE Flux<Real> hllc(const Side<Real>& l, const Side<Real>& r) {
  const Real mean_u = 0.5 * (l.w.u + r.w.u), mean_a = 0.5 * (l.sound + r.sound);
  const Real sl = min(l.w.u - l.sound, mean_u - mean_a), sr = max(r.w.u + r.sound, mean_u + mean_a);
  const Real ml = l.w.rho * (sl - l.w.u), mr = r.w.rho * (sr - r.w.u);  // below 0, above 0
  const Real middle = (r.w.p - l.w.p + ml * l.w.u - mr * r.w.u) / (ml - mr);
  const auto to_left = middle > Real(0);  // the contact goes to the right: what is left of it is at the face
  const auto pick = [&](Real a, Real b) { return select(to_left, a, b); };
  const Real rho = pick(l.w.rho, r.w.rho), u = pick(l.w.u, r.w.u), p = pick(l.w.p, r.w.p),
             energy = pick(l.energy, r.energy), fuel = pick(l.w.y.fuel, r.w.y.fuel),
             burned = pick(l.w.y.burned, r.w.y.burned), m = pick(ml, mr);
  // Outside the fan of waves the correction is nothing.
  const Real s = pick(min(sl, Real(0)), max(sr, Real(0)));
  const Real s_wave = pick(sl, sr);
  const Real over = 1.0 / (s_wave - middle), ratio = (s_wave - u) * over, rho_star = rho * ratio;
  const Real p_star = p + m * (middle - u);
  const Real energy_star = ratio * energy + (p_star * middle - p * u) * over;
  const Real mass = rho * u + s * (rho_star - rho);
  return {mass, rho * u * u + p + s * (rho_star * middle - rho * u), u * (energy + p) + s * (energy_star - energy),
          mass * fuel, mass * burned};
}

}  // namespace crankwise::flow
