// A slide carburettor as functions of the pressure that draws the fuel.
//
//   FuelCircuit<double> main{.jet_m2 = hole_m2(1.75e-3), .jet_cd = 0.65, .ring_m2 = needle_ring_m2(...), ...};
//   circuit_fuel_kg_s(main, {}, Bowl<double>{.vent_pa = 1e5}, outlet_pa, air_kg_m3);
//
// Air and fuel as incompressible through holes (Heywood, Internal Combustion Engine Fundamentals, ch. 7). Fuel of a
// circuit passes its jet, meets the air of its bleed, and leaves with it as foam through the ring of needle and needle
// jet, or the pilot's outlet, against the lip, which is how far the outlet is above the fuel. The foam is one fluid of
// the mean density (no slip), and fuel and bleed air are drawn by one pressure y: with fuel K1 sqrt(2 rho_f y), air
// K2 sqrt(2 rho_a y), foam through K3 and d the whole pressure (areas K with their coefficients),
//   y = d / (1 + (K1 sqrt rho_f + K2 sqrt rho_a) (K1 / sqrt rho_f + K2 / sqrt rho_a) / K3^2);
// without a bleed these are two holes in series. Close to d = 0 the flow goes to 0 in a straight line (kSoftPa).
// Jet numbers and needles of a bench sum: core/calc/jetting.h. Templates on Real: core/engine/real.h. SI.
#pragma once

#include <numbers>

#include "core/calc/air.h"
#include "core/engine/real.h"

namespace crankwise::engine {

inline constexpr double kSoftPa = 5;  // about 0.7 mm of petrol

template <typename Real>
Real hole_m2(const Real& bore_m) {
  return Real(std::numbers::pi / 4) * bore_m * bore_m;
}

/// Open ring between needle and needle jet; none where the needle is thicker.
template <typename Real>
Real needle_ring_m2(const Real& tube_m, const Real& needle_m) {
  return max(hole_m2(tube_m) - hole_m2(needle_m), Real(0));
}

/// Thickness of the needle in the mouth of its jet, raised by so much. Clip in a lower groove: add the grooves to the
/// lift.
template <typename Real>
struct TaperNeedle {
  Real straight_m;      // thickness of the upper, straight part
  Real taper_begins_m;  // lift at which the taper comes into the mouth
  Real slope;           // thickness lost per length: 2 tan(half the angle between its sides)
};
template <typename Real>
Real needle_thickness_m(const TaperNeedle<Real>& needle, const Real& lift_m) {
  return max(needle.straight_m - needle.slope * max(lift_m - needle.taper_begins_m, Real(0)), Real(0));
}

/// Air through a venturi that is this much below the pressure before it: cd A sqrt(2 rho dp).
template <typename Real>
Real venturi_air_kg_s(const Real& cd, const Real& area_m2, const Real& air_kg_m3, const Real& drop_pa) {
  return cd * area_m2 * soft_root(Real(2) * air_kg_m3 * drop_pa, Real(2 * kSoftPa) * air_kg_m3);
}

/// Drop of pressure where air passes at this speed, either way: rho v^2 / 2. A two-stroke's air passes the same slide
/// to and fro and takes fuel every time.
template <typename Real>
Real venturi_drop_pa(const Real& air_kg_m3, const Real& air_m_s) {
  return air_kg_m3 * air_m_s * air_m_s * Real(0.5);
}

/// The speed at which fuel begins to flow over the lip: sqrt(2 g lip rho_f / rho_a).
template <typename Real>
Real lip_air_m_s(const Real& lip_m, const Real& fuel_kg_m3, const Real& air_kg_m3) {
  return sqrt(Real(2 * kGravity) * lip_m * fuel_kg_m3 / air_kg_m3);
}

template <typename Real>
struct FuelCircuit {
  Real jet_m2 = Real(0);
  Real jet_cd = Real(0.65);
  Real ring_m2 = Real(0);  // ring of needle and needle jet, or the pilot's outlet with its screw
  Real ring_cd = Real(0.7);
  Real bleed_m2 = Real(0);  // air jet, with the air screw
  Real bleed_cd = Real(0.7);
  Real lip_m = Real(0);  // outlet above the fuel at its right level
};

/// 0 open to 1 closed.
template <typename Real>
struct BlockedShares {
  Real jet = Real(0), ring = Real(0), bleed = Real(0);
};

template <typename Real>
struct Bowl {
  Real vent_pa = Real(101325);  // above the fuel: what the vent hoses see
  Real level_drop_m = Real(0);  // fuel below its right level; below 0 too high
  Real fuel_kg_m3 = Real(745);
};

/// Pressure that draws the fuel of a circuit whose outlet is at `outlet_pa`; below 0 nothing flows.
template <typename Real>
Real circuit_signal_pa(const FuelCircuit<Real>& circuit, const Bowl<Real>& bowl, const Real& outlet_pa) {
  return bowl.vent_pa - outlet_pa - Real(kGravity) * bowl.fuel_kg_m3 * (circuit.lip_m + bowl.level_drop_m);
}

/// Fuel out of a circuit. `air_kg_m3` is that of the bleed's air.
template <typename Real>
Real circuit_fuel_kg_s(const FuelCircuit<Real>& circuit, const BlockedShares<Real>& blocked, const Bowl<Real>& bowl,
                       const Real& outlet_pa, const Real& air_kg_m3) {
  const auto open = [](const Real& cd, const Real& area_m2, const Real& shut) {
    return cd * area_m2 * (Real(1) - within(shut, Real(0), Real(1)));
  };
  const Real jet = open(circuit.jet_cd, circuit.jet_m2, blocked.jet);
  const Real ring = open(circuit.ring_cd, circuit.ring_m2, blocked.ring);
  const Real bleed = open(circuit.bleed_cd, circuit.bleed_m2, blocked.bleed);
  const Real thinner = sqrt(bowl.fuel_kg_m3 / air_kg_m3);
  const Real foam = (jet + bleed / thinner) * (jet + bleed * thinner);
  // sqrt(ring^2 / (ring^2 + foam)) of the signal's root; the smallest number keeps a circuit that is shut from 0 / 0.
  const Real share = ring / sqrt(ring * ring + foam + Real(1e-30));
  const Real signal = circuit_signal_pa(circuit, bowl, outlet_pa);
  return jet * share * soft_root(Real(2) * bowl.fuel_kg_m3 * signal, Real(2 * kSoftPa) * bowl.fuel_kg_m3);
}

/// Main jet in series with the needle, and the pilot, each at its own outlet.
template <typename Real>
struct Carburettor {
  FuelCircuit<Real> main, pilot;
};
template <typename Real>
struct CarburettorBlocked {
  BlockedShares<Real> main = {}, pilot = {};
};
template <typename Real>
struct CarburettorAir {
  Real main_outlet_pa, pilot_outlet_pa;  // at the needle jet, and behind the slide
  Real density_kg_m3;
};
template <typename Real>
Real carburettor_fuel_kg_s(const Carburettor<Real>& carburettor, const CarburettorBlocked<Real>& blocked,
                           const Bowl<Real>& bowl, const CarburettorAir<Real>& air) {
  return circuit_fuel_kg_s(carburettor.main, blocked.main, bowl, air.main_outlet_pa, air.density_kg_m3) +
         circuit_fuel_kg_s(carburettor.pilot, blocked.pilot, bowl, air.pilot_outlet_pa, air.density_kg_m3);
}

}  // namespace crankwise::engine
