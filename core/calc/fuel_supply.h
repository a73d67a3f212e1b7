// Does enough fuel reach the engine?
//
//   const double burns = demand_from_power({.power_w = 30e3, .kg_per_j = 0.50 / 3.6e6}, kPetrol).volume_m3_s;
//   gravity_supply({.head_m = 0.2, .tap_bore_m = 3e-3, .hose_bore_m = 6e-3, .hose_m = 0.3}, kPetrol, burns).margin;
//
// A tank above the carburettor has 1 to 2 kPa of head, an injection pump hundreds: what runs by itself into a measure
// says nothing of a pump, and a tap that runs can still run short. A margin of 1.5 over the demand at full load is
// *common practice*; no factory figure is known.
//
// Volumes in m3, flows in m3/s, pressures in Pa, viscosity (kinematic) in m2/s.
#pragma once

#include "core/calc/cycle.h"
#include "core/calc/flag.h"

namespace crankwise {

struct Fuel {
  double density_kg_m3 = 0;
  double viscosity_m2_s = 0;
  double stoichiometric_air = 0;  // kg of air that just burns a kg
};
/// Ordinary petrol at 20 C: viscosity 0.5 to 0.6 mm2/s (US Department of Energy fuel table), air for CH1.87 (Heywood,
/// Internal Combustion Engine Fundamentals, table D.4, from memory).
inline constexpr Fuel kPetrol{745, 0.6e-6, 14.6};

inline constexpr double kEnoughMargin = 1.5;

struct FuelDemand {
  double mass_kg_s = 0;
  double volume_m3_s = 0;
  CalcFlags flags;
};

/// At full load from power and fuel per work: power * kg_per_j. Racing two-strokes 0.45 to 0.65 kg/kWh, four-strokes
/// 0.28 to 0.34 (from memory); 1 kg/kWh is 1 / 3.6e6 kg/J.
struct PowerLoad {
  double power_w = 0;
  double kg_per_j = 0;
};
FuelDemand demand_from_power(const PowerLoad&, const Fuel&);

/// At full load from the air an engine of this size takes in at this speed:
///   displacement * intakes a second * delivery_ratio * air density / (stoichiometric_air * lambda).
/// For a racing two-stroke this comes out at 0.6 of the above with the figures given here and there, which do not fit
/// each other; the larger is the safe one.
struct AirLoad {
  double displacement_m3 = 0;
  double turns_per_s = 0;
  Cycle cycle{};
  double delivery_ratio = 0;  // air taken in to that of one displacement in the open; 0.8 to 1.1 at full load
  double air_density_kg_m3 = 1.225;
  double lambda = 0.87;  // air given to air that just burns the fuel; below 1 is rich
};
FuelDemand demand_from_air(const AirLoad&, const Fuel&);

/// Flow through a hole under a head of its own fuel: cd * area * sqrt(2 g head) (Torricelli; Cd 0.6 for a sharp edge).
double flow_by_head(double bore_m, double head_m, double cd = 0.6);

/// Pressure lost in a straight hose.
struct HoseLoss {
  double reynolds = 0;    // 4 Q / (pi d nu)
  double laminar_pa = 0;  // smooth flow: 128 mu L Q / (pi d^4), Hagen and Poiseuille
  double likely_pa = 0;   // the same to Reynolds 2300; beyond, friction 0.316 / Re^0.25, Blasius (from memory)
  CalcFlags flags;
};
HoseLoss hose_loss(double flow_m3_s, double bore_m, double length_m, const Fuel&);

struct GravityFeed {
  double head_m = 0;  // from the surface in the tank to the float needle
  double tap_bore_m = 0;
  double hose_bore_m = 0;
  double hose_m = 0;
  double tap_cd = 0.6;
};

struct Supply {
  double flow_m3_s = 0;
  double margin = 0;  // of the flow to the demand
  CalcFlags flags;
};

/// What tap and hose let through: flow at which head of the tap and loss of the hose together use up the head.
Supply gravity_supply(const GravityFeed&, const Fuel&, double demand_m3_s);

/// A flow measured into a glass: volume / seconds against the demand.
Supply measured_gravity_supply(double volume_m3, double seconds, double demand_m3_s);

/// A pump's flow as measured, at the pressure at which it was measured (0: let run freely), against what it must hold.
struct PumpTest {
  double volume_m3 = 0;
  double seconds = 0;
  double pressure_pa = 0;            // gauge
  double regulated_pressure_pa = 0;  // gauge, of the handbook; 250 to 350 kPa in most
};
Supply pump_supply(const PumpTest&, double demand_m3_s);

/// A tank without a vent, air in it at one temperature (p V constant, Boyle): fuel stops when the air has lost the
/// pressure of the head. `bowl_m3` then still burns. Vapour is left out, so it stops no sooner than this.
/// The head must be less than the pressure outside.
struct VentTest {
  double air_space_m3 = 0;
  double head_m = 0;
  double ambient_pa = 101325;
  double bowl_m3 = 0;
};
struct VentAnswer {
  double drawn_m3 = 0;  // out of the tank until it stops
  double seconds = 0;   // until the bowl too is empty, at the demand
  CalcFlags flags;
};
VentAnswer blocked_vent(const VentTest&, const Fuel&, double demand_m3_s);

/// How far below that outside the air in a closed tank is after so much was drawn.
double vacuum_after_draw(double air_space_m3, double drawn_m3, double ambient_pa);

/// Flow of an injector that is held open: rated flow * sqrt(pressure / rated pressure), the pressures across it.
/// `open_share` is the share of the time that it must be open to meet the demand.
struct Injector {
  double rated_m3_s = 0;
  double rated_pressure_pa = 0;
};
struct InjectorFlow {
  double flow_m3_s = 0;
  double open_share = 0;
  CalcFlags flags;
};
InjectorFlow injector_flow(const Injector&, double pressure_pa, double demand_m3_s);

}  // namespace crankwise
