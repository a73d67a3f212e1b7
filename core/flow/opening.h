// Gas through an opening: from a volume to another, and from the end of a duct to a volume, both ways and choked.
//
// Quasi-steady and isentropic to the throat (St Venant and Wantzel); the discharge is in the effective area. Into a
// duct the pressure of the throat is that of the duct's end: nothing is recovered behind it (Benson, The Thermodynamics
// and Gas Dynamics of Internal Combustion Engines, vol. 1, "constant pressure" model; from memory). At the end of a
// duct the wave that comes from inside, isentropic with 2 a / (gamma - 1) + u kept, and the opening decide together:
// one equation for the speed there. It is met within 1e-4 of the flow to ratios of pressure of 10, within 1e-3 to 50.
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
  if (!any(area_m2 > Real(0))) return {Real(0), Real(0), Real(0), Real(0), Real(0)};
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
  const Real sound = sqrt(gamma_in * w.p / w.rho), half_k = 0.5 * (gamma_in - 1.0), e = gamma_in / half_k;
  // All speeds below are in that of sound.
  const Real x_wall = max(1.0 + half_k * w.u / sound, Real(0.5)), x_rest = pow(rest.p / w.p, 1.0 / e);
  const auto outwards = x_wall > x_rest;
  const auto pick = [&](Real a, Real b) { return select(outwards, a, b); };
  const Real gamma = pick(gamma_in, gamma_out), k = gamma - 1.0, one_over_gamma = 1.0 / gamma;
  const Real critical = pow(2.0 / (gamma + 1.0), gamma / k), through = open * open * 2.0 * gamma / k;
  const Real r_temp_rest = out.constant * rest.temp_k, sound_squared = sound * sound;
  const Real cooling = 0.5 * sound_squared / (out.cp(rest.temp_k) * rest.temp_k);

  struct Face {
    Real x, p, rho, warmth;  // sound over that of the end; warmth: temperature over that at rest
    Real nozzle, duct;       // mass flux through the opening, squared, and mass flux in the duct
    Real fall;               // what `nozzle` less `duct` squared, but for its square law, loses per `v`
  };
  // The gas moves at `v`, without its sign.
  const auto face = [&](Real v) {
    Face f;
    f.x = x_wall - pick(half_k, -half_k) * v;
    const Real v_squared = v * v, x_squared = f.x * f.x, x0_squared = x_squared + half_k * v_squared;
    f.p = w.p * pow(x_squared, 0.5 * e);
    const Real p0 = pick(w.p * pow(x0_squared, 0.5 * e), rest.p);
    const Real r_temp0 = pick(x0_squared * sound_squared / gamma_in, r_temp_rest);
    const Real r = min(max(pick(rest.p, f.p) / p0, critical), Real(1));
    const Real part = pow(r, one_over_gamma);
    const Real choke = through * p0 * p0 / r_temp0;
    f.nozzle = max(choke * part * (part - r), Real(0));
    f.warmth = max(1.0 - cooling * v_squared, Real(0.3));
    f.rho = pick(gamma_in * f.p / (sound_squared * x_squared), f.p / (r_temp_rest * f.warmth));
    f.duct = f.rho * v * sound;
    const Real steep = choke * part * (r * (1.0 + one_over_gamma) - 2.0 * one_over_gamma * part);  // times r
    const Real bend = 2.0 * f.duct * f.duct;
    f.fall = pick((f.x - v) / x0_squared * (f.nozzle * (gamma_in + 1.0) + gamma_in * steep) - bend / f.x,
                  steep * gamma_in / f.x + bend * (gamma_in / f.x + 2.0 * cooling * v / f.warmth));
    return f;
  };
  // As open as can be, or sonic. Outwards a choked opening has one Mach number before it, the subsonic one of the
  // ratio of areas (a cubic in sqrt(1 - open) that has the right slopes at both ends). Inwards not more than as if the
  // pressure behind the opening did not rise, by the energy of that flow: flux R T0 = p v + flux R / (2 cp) v^2 with
  // p = p_wall + z v.
  const Real alpha = sqrt(0.5 * (gamma + 1.0)), shut = sqrt(max(1.0 - open, Real(0)));
  const Real third = 2.0 * critical * alpha + alpha - 2.0, second = 1.0 - alpha - third;
  const Real mach = 1.0 - shut * (alpha + shut * (second + shut * third));
  const Real p_wall = w.p * pow(x_wall, e), z = gamma_in * p_wall / (x_wall * sound);
  const Real hot = open * sqrt(hole_flow_squared(rest.p, r_temp_rest, gamma, p_wall / rest.p)) * r_temp_rest;
  const auto entering = [&](Real slope) {
    return 2.0 * hot / (p_wall + sqrt(p_wall * p_wall + 4.0 * hot * (slope + hot * cooling / sound_squared))) / sound;
  };
  const Real inwards = entering(z);
  const Real sonic_in = sqrt(2.0 * gamma_out / (gamma_out + 1.0) * r_temp_rest) / sound;
  const Real v_rest = abs(x_wall - x_rest) / half_k;
  Real least = 0, most = min(v_rest, pick(x_wall / (1.0 + half_k), min(inwards, sonic_in)));
  const Real rise = w.p * pow(x_wall + half_k * most, e) - p_wall;  // a chord of p for the start
  Real v = min(most, pick(mach * x_wall / (1.0 + half_k * mach), entering(max(rise / (most * sound + 1e-6), z))));
  Face f = face(v);
  // The opening lets through what arrives. Newton's step for the square law with the slope found.
  const auto better = [&] {
    const Real per_v = f.rho * sound, a = per_v * per_v, c = f.nozzle + f.fall * v;
    const Real root = sqrt(max(f.fall * f.fall + 4.0 * a * c, Real(0)));
    return select(f.fall > Real(0), 2.0 * c / max(f.fall + root, Real(1e-30)), (root - f.fall) / (2.0 * a));
  };
  const Real limit = most;
  for (int i = 0; i < 4; ++i) {
    // The last step squares what is missing. A lane that is near enough waits for the others.
    constexpr double kNear = 1e-3;
    const Real next = max(min(better(), most), least);
    const auto far = abs(next - v) > kNear * next;
    if (!any(far)) break;
    v = select(far, next, v);
    f = face(v);
    const auto below = f.nozzle > f.duct * f.duct;
    least = select(below, v, least);
    most = select(below, most, v);
  }
  // Neither flux is exact in few bits: that of the duct where the opening is small, nor that of the opening where it
  // is wide; one more step weighs them. What is at the face follows it.
  const Real last = max(min(better(), limit), Real(0)), change = last - v, cooler = e * half_k / f.x * change;
  const Real p = f.p * (1.0 + pick(-cooler, cooler)), speed = last * sound;
  const Real rho = f.rho * (1.0 + pick(-cooler / gamma_in, cooler + 2.0 * cooling * v / f.warmth * change));
  const Real size = area_m2 * rho * speed, mass = pick(size, -size);
  const Real heat = pick(in.enthalpy(p / (rho * in.constant)) + 0.5 * speed * speed, out.enthalpy(rest.temp_k));
  return {{mass, area_m2 * p + size * speed, mass * heat, mass * pick(w.y.fuel, rest.y.fuel),
           mass * pick(w.y.burned, rest.y.burned)},
          p,
          mass / (area_m2 * rho)};
}

}  // namespace crankwise::flow
