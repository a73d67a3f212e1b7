// Gas in a vessel whose volume may change: cylinder, crankcase, air box. No waves within.
#pragma once

#include "core/flow/opening.h"

namespace crankwise::flow {

template <typename Real>
struct Volume {
  Real m3 = 1;
  Real mass = 0, energy = 0, fuel = 0, burned = 0;  // kg, J, kg, kg

  void fill(const Gas<Real>& gas, const Rest<Real>& rest) {
    const Charge<Real> charge = charge_of(gas, rest.y);
    mass = rest.p * m3 / (charge.constant * rest.temp_k);
    energy = mass * charge.energy(rest.temp_k);
    fuel = mass * rest.y.fuel;
    burned = mass * rest.y.burned;
    begin(Real(1));
  }
  Rest<Real> rest(const Gas<Real>& gas) const { return rest_of(gas, m3, mass, energy, fuel, burned); }
  /// A step begins: what is in it now and how long the step is stays known until the next. A step of no length is none.
  void begin(Real dt_s) {
    const auto on = dt_s > Real(0);
    const auto keep = [&](Real& was, Real now) { was = select(on, now, was); };
    keep(was_.m3, m3);
    keep(was_.mass, mass);
    keep(was_.energy, energy);
    keep(was_.fuel, fuel);
    keep(was_.burned, burned);
    keep(was_.dt_s, dt_s);
  }
  /// Half a step of `dt_s` on, if it goes on as in the last step: what the ends of ducts, that are taken half a step on
  /// too, are to meet. To be asked before begin().
  Rest<Real> rest_halfway(const Gas<Real>& gas, Real dt_s) const {
    const Real on = 0.5 * dt_s / was_.dt_s;
    const auto ahead = [&](Real now, Real before) { return max(now + on * (now - before), 0.5 * now); };
    return rest_of(gas, ahead(m3, was_.m3), ahead(mass, was_.mass), ahead(energy, was_.energy), ahead(fuel, was_.fuel),
                   ahead(burned, was_.burned));
  }
  void take(const Stream<Real>& in, Real dt_s) {
    mass += in.mass * dt_s;
    energy += in.energy * dt_s;
    fuel += in.fuel * dt_s;
    burned += in.burned * dt_s;
  }
  void give(const Stream<Real>& out, Real dt_s) { take(out, -dt_s); }
  /// By work alone: p dV, with the pressure halfway. Returns the work that the gas did, J.
  Real resize(const Gas<Real>& gas, Real to_m3) {
    const Rest<Real> now = rest(gas);
    const Real change = to_m3 - m3;
    const Real p = now.p * (1.0 - 0.5 * charge_of(gas, now.y).gamma(now.temp_k) * change / m3);
    energy -= p * change;
    m3 = to_m3;
    return p * change;
  }

 private:
  struct Before {
    Real m3, mass, energy, fuel, burned, dt_s;
  };
  static Rest<Real> rest_of(const Gas<Real>& gas, Real m3, Real mass, Real energy, Real fuel, Real burned) {
    const Shares<Real> y{fuel / mass, burned / mass};
    const Charge<Real> charge = charge_of(gas, y);
    const Real temp_k = charge.temperature(energy / mass);
    return {mass * charge.constant * temp_k / m3, temp_k, y};
  }
  Before was_{1, 0, 0, 0, 0, 1};
};

}  // namespace crankwise::flow
