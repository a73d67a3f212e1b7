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
  }
  Rest<Real> rest(const Gas<Real>& gas) const {
    const Shares<Real> y{fuel / mass, burned / mass};
    const Charge<Real> charge = charge_of(gas, y);
    const Real temp_k = charge.temperature(energy / mass);
    return {mass * charge.constant * temp_k / m3, temp_k, y};
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
};

}  // namespace crankwise::flow
