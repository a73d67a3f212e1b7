// Combustion by Vibe's function, from the charge that is there when the spark comes.
#pragma once

#include "core/engine/design.h"
#include "core/engine/real.h"
#include "core/flow/volume.h"

namespace crankwise::engine {

template <typename Real>
struct Burning {
  // Of the member.
  Real spark_rad, duration_rad, shape, efficiency, air_to_fuel, heat_j_kg, strength, missing;
  // Of this cycle.
  Real from_rad = 0, over_rad = 1;  // measured from top dead centre of the working stroke
  Real burned_share = 1, fuel_kg = 0, air_kg = 0, heat_j = 0;
  Real lambda = 1, residual = 0, misfire = 0;

  /// The spark comes now, in these lanes.
  template <typename Mask>
  void spark(Mask now, Real angle, const flow::Volume<Real>& v) {
    const Real air = max(v.mass - v.fuel - v.burned, Real(1e-9)), fuel = max(v.fuel, Real(1e-12));
    const Real l = air / (fuel * air_to_fuel), rest = v.burned / v.mass;
    // How the laminar flame slows away from a little rich, and with burned gas (Metghalchi and Keck 1982, Rhodes and
    // Keck 1985; parabola in the equivalence ratio and 1 - 2.06 y^0.77; from memory).
    const Real phi = 1.0 / l, off = phi - 1.1;
    const Real flame = max(1.0 - 2.0 * off * off, Real(0.15)) * max(1.0 - 1.6 * rest, Real(0.15));
    // Outside the limits it does not burn; near them not every time (Heywood, section 9.4; from memory).
    const Real lean = (l - (1.0 + (0.40 - 0.9 * rest) * strength)) * 6.0,
               rich = (0.80 - (0.25 - 0.25 * rest) * strength - l) * 12.0;
    // A spark needs the more voltage the denser the charge is (Paschen); a weak one fails at full load first.
    const Real need = 0.055 * v.mass / v.m3, weak = (need - strength) * 3.0;
    const Real miss = 1.0 - (1.0 - max(min(max(max(lean, rich), weak), Real(1)), Real(0))) * (1.0 - missing);
    const Real burns = 1.0 - miss;
    const Real used_fuel = min(fuel, air / air_to_fuel * 1.8), used_air = min(air, fuel * air_to_fuel);
    const Real energy = min(fuel, air / air_to_fuel) * heat_j_kg * efficiency;
    lambda = select(now, l, lambda);
    residual = select(now, rest, residual);
    misfire = select(now, miss, misfire);
    fuel_kg = select(now, used_fuel * burns, fuel_kg);
    air_kg = select(now, used_air * burns, air_kg);
    heat_j = select(now, energy * burns, heat_j);
    from_rad = select(now, angle, from_rad);
    over_rad = select(now, duration_rad * min(pow(1.0 / flame, Real(0.7)), Real(3)), over_rad);
    burned_share = select(now, Real(0), burned_share);
  }
  /// What burns until this angle, as measured in spark(); the share of the cycle's charge.
  void burn(Real angle, flow::Volume<Real>& v) {
    const Real x = min(max((angle - from_rad) / over_rad, Real(0)), Real(1));
    const Real share = 1.0 - exp(-6.908 * pow(max(x, Real(1e-6)), shape + 1.0));
    const Real now = max(share - burned_share, Real(0));
    burned_share = max(share, burned_share);
    v.fuel -= now * fuel_kg;
    v.burned += now * (fuel_kg + air_kg);
    v.energy += now * heat_j;
  }
};

}  // namespace crankwise::engine
