// Combustion by Vibe's function, from the charge that is there when the spark comes (core/engine/burn.h).
#pragma once

#include "core/engine/burn.h"
#include "core/engine/design.h"
#include "core/engine/real.h"
#include "core/flow/volume.h"

namespace crankwise::engine {

/// The state for which a design tells how long its charge burns.
inline constexpr double kBurnReferenceLambda = 0.87, kBurnReferenceResidual = 0.08, kBurnReferenceTurns = 100,
                        kBurnReferenceK = 650, kBurnReferencePa = 12e5;

template <typename Real>
struct Burning {
  // Of the member.
  Real spark_rad, duration_rad, shape, efficiency, air_to_fuel, heat_j_kg, strength, missing, turns_per_s;
  // Of this cycle.
  Real from_rad = 0, over_rad = 1;  // measured from top dead centre of the working stroke
  Real burned_share = 1, fuel_kg = 0, air_kg = 0, heat_j = 0;
  Real lambda = 1, residual = 0, misfire = 0;

  /// The spark comes now, in these lanes. `begins`: nothing but a spark that does not come is a misfire yet.
  template <typename Mask>
  void spark(Mask now, Mask begins, Real angle, const flow::Volume<Real>& v, const flow::Rest<Real>& gas) {
    const Real air = max(v.mass - v.fuel - v.burned, Real(1e-9)), fuel = max(v.fuel, Real(1e-12));
    const Real l = min(air / (fuel * air_to_fuel), Real(100)), rest = min(max(v.burned / v.mass, Real(0)), Real(1));
    const ChargeState<Real> reference{Real(kBurnReferenceLambda), Real(kBurnReferenceResidual), Real(1),
                                      Real(kBurnReferenceTurns),  Real(kBurnReferenceK),        Real(kBurnReferencePa)};
    const ChargeBurn<Real> charge = charge_burn(ChargeState<Real>{l, rest, strength, turns_per_s, gas.temp_k, gas.p},
                                                reference, kPetrolFlame, kUsualLimits);
    // A spark needs the more voltage the denser the charge is (Paschen); a weak one fails at full load first. How much
    // is a guess: a sound one has nearly half to spare at 10 kg/m3.
    const Real weak = min(max((0.055 * v.mass / v.m3 - strength) * 3.0, Real(0)), Real(1));
    const Real unlit = select(begins, Real(0), max(charge.misfire, weak));
    const Real miss = 1.0 - (1.0 - unlit) * (1.0 - missing);
    const Real burns = 1.0 - miss;
    // What has no oxygen burns in part, to carbon monoxide, and gives no heat beside that of the air.
    const Real used_fuel = min(fuel, 1.8 * air / air_to_fuel), used_air = min(air, fuel * air_to_fuel);
    const Real energy = min(fuel, air / air_to_fuel) * heat_j_kg * efficiency * charge.complete;
    lambda = select(now, l, lambda);
    residual = select(now, rest, residual);
    misfire = select(now, miss, misfire);
    fuel_kg = select(now, used_fuel * burns, fuel_kg);
    air_kg = select(now, used_air * burns, air_kg);
    heat_j = select(now, energy * burns, heat_j);
    from_rad = select(now, angle, from_rad);
    over_rad = select(now, duration_rad * min(charge.angle_factor, Real(3)), over_rad);
    burned_share = select(now, Real(0), burned_share);
  }
  /// What burns until this angle, as measured in spark(); returns the share of the cycle's charge that burned by then.
  Real burn(Real angle, flow::Volume<Real>& v) {
    const Real x = min(max((angle - from_rad) / over_rad, Real(0)), Real(1));
    const Real share = 1.0 - exp(-kVibeComplete.a * pow(max(x, Real(1e-6)), shape + 1.0));
    const Real now = max(share - burned_share, Real(0));
    burned_share = max(share, burned_share);
    v.fuel -= now * fuel_kg;
    v.burned += now * (fuel_kg + air_kg);
    v.energy += now * heat_j;
    return burned_share;
  }
};

}  // namespace crankwise::engine
