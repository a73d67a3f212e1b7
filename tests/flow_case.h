// Gases and runs that the tests of the flow share.
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

#include "core/flow/duct.h"
#include "core/flow/volume.h"

namespace crankwise::flow {

inline constexpr double kAirConstant = 287.05;

/// Everything in it has this gamma and constant.
inline thermo::WorkingGas perfect_gas(double gamma = 1.4, double constant_j_kg_k = kAirConstant) {
  const thermo::LinearGas one{constant_j_kg_k, constant_j_kg_k / (gamma - 1), 0};
  return {one, one, one};
}

/// Three gases that differ, with heat capacities that rise; figures of the usual size.
inline thermo::WorkingGas three_gases() { return {{287.05, 690, 0.09}, {75, 1300, 1.2}, {285, 740, 0.16}}; }

/// Gas that is the same for ever at the end of a duct; `w.u` outwards.
template <typename Real>
Stream<Real> stream_of(const Gas<Real>& gas, const Primitive<Real>& w, Real area_m2) {
  const Real mass = w.rho * w.u * area_m2;
  const Conserved<Real> c = conserved_of(gas, w);
  return {mass, mass * w.u + w.p * area_m2, area_m2 * w.u * (c.energy + w.p), mass * w.y.fuel, mass * w.y.burned};
}

/// An end that is closed.
template <typename Real>
Stream<Real> wall(const Gas<Real>& gas, const Primitive<Real>& end, Real area_m2) {
  return through_end(gas, end, area_m2, Real(0), Rest<Real>{end.p, end.p / (end.rho * kAirConstant), end.y}).out;
}

inline double fastest(const Gas<double>& gas, const Duct<double>& duct) {
  double most = 0;
  for (int i = 0; i < duct.cells(); ++i) {
    const Primitive<double> w = duct.at(gas, i);
    most = std::max(most, std::abs(w.u) + side_of(gas, w).sound);
  }
  return most;
}

/// Runs to `until_s` in steps of `courant` cells; the ends get the gas there and the step.
using EndOf = std::function<Stream<double>(const Primitive<double>& end, double dt_s)>;
inline void run(const Gas<double>& gas, Duct<double>& duct, double until_s, const EndOf& left, const EndOf& right,
                double courant = 0.9, const std::function<void(double)>& after = {}) {
  const double dx = duct.length() / duct.cells();
  double t = 0;
  for (int n = 0; t < until_s; ++n) {
    // The waves that will be are not yet there to be measured.
    const double dt = std::min(until_s - t, (n < 10 ? 0.1 : 1) * courant * dx / fastest(gas, duct));
    duct.step(gas, dt, left(duct.left_end(gas, dt), dt), right(duct.right_end(gas, dt), dt));
    t += dt;
    if (after) after(t);
  }
}

/// A duct of one area, 1 m2 unless said.
inline Duct<double> even_duct(int cells, double length_m, double diameter_m = 1.1283791670955126, double friction = 0) {
  Duct<double> duct(cells, friction);
  duct.shape(0, std::vector<Stretch>{{length_m, diameter_m, diameter_m, 300}});
  return duct;
}

}  // namespace crankwise::flow
