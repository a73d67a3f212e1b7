// One engine as the simulation takes it: dimensions, settings and the state of its parts, all of which a fault may
// change. Everything in SI; angles in radians of the crank.
//
// Angles of ports and valves are where they open or close, told as a workshop tells them: ports after top dead centre,
// valves before or after the dead centre that they lie at. Areas called "effective" have their discharge in them.
#pragma once

#include <numbers>
#include <vector>

#include "core/calc/cycle.h"
#include "core/calc/geometry.h"
#include "core/engine/friction.h"
#include "core/flow/duct.h"
#include "core/thermo/working_gas.h"

namespace crankwise::engine {

/// Straight lines between points, level beyond them; x ascending.
struct Curve {
  struct Point {
    double x = 0, y = 0;
  };
  std::vector<Point> points;
  double at(double x) const;
};

struct AirBox {
  double volume_m3 = 0.008;
  double inlet_m2 = 0.004;   // effective, of the openings of the box
  double filter_m2 = 0.004;  // effective, of the oiled, clean filter
};

struct Reed {
  double window_m2 = 0;   // effective, all windows together
  double edge_m = 0;      // length of the petals' free edges
  double natural_hz = 0;  // first bending
  double lift_m_pa = 0;   // of the tip, by pressure, at rest
  double damping = 0.2;   // share of the critical
  double stop_m = 0;      // the tip's greatest lift
  double gap_m2 = 0;      // effective, that stays open when it is shut: a chipped petal, a bent seat
};

/// Rectangular, opened by the piston's edge.
struct Port {
  double opens_rad = 0;  // after top dead centre
  double width_m = 0;    // all of a kind together
  double discharge = 0.75;
};

/// Lowers the top edge of the exhaust port until the engine is fast enough.
struct ExhaustValve {
  bool fitted = false;
  double low_opens_rad = 0;          // the port's opening while it is down
  double rises_rpm = 0, up_rpm = 0;  // begins to rise, is up
};

struct Scavenging {
  double displaced = 0.35;      // scavenge ratio up to which old gas is pushed out unmixed
  double short_circuit = 0.08;  // share of the fresh charge that goes straight out
};

struct TwoStrokeParts {
  Reed reed;
  double cage_m3 = 6e-5;   // between throttle and reed
  double case_m3 = 0;      // of the crankcase at bottom dead centre, transfers not counted
  flow::Stretch transfer;  // all transfer passages together as one
  Port transfer_port;
  Port exhaust_port;
  ExhaustValve exhaust_valve;
  Scavenging scavenging;
};

struct Valve {
  int count = 2;
  double head_m = 0;
  double lift_m = 0;
  double opens_rad = 0;   // inlet: before top dead centre; exhaust: before bottom dead centre
  double closes_rad = 0;  // inlet: after bottom dead centre; exhaust: after top dead centre
  double discharge = 0.65;
  double leak_m2 = 0;  // effective, past the seat
};

struct FourStrokeParts {
  std::vector<flow::Stretch> port;  // from throttle to inlet valves
  double body_m3 = 3e-5;            // at the throttle
  Valve inlet, exhaust;
};

struct Throttle {
  double bore_m = 0;  // 0, or wider than the runner's end: as that
  double open = 1;    // share of the bore's area
};

/// Packing round the last stretch of the exhaust, its perforated core.
struct Silencer {
  double volume_m3 = 0;            // of the gas in the packing; 0: none
  double resistance_pa_s_m = 600;  // of perforation and packing to the flow through them
};

struct Burn {
  double duration_rad = 60 * std::numbers::pi / 180;  // 0 to 99.9 %, at lambda 0.87, 8 % residual gas, 6000 rpm
  double shape = 2;                                   // Vibe's m
  double efficiency = 0.9;                            // of the heat, at its best mixture
  Curve spark_rad;                                    // before top dead centre, over rpm
  double limit_rpm = 0;                               // no spark above it; 0: no limit
  double spark = 1;                                   // strength: 0 lights nothing, 1 whatever can burn
  double missing = 0;                                 // share of the sparks that do not come at all
};

struct Walls {
  double head_k = 480, piston_k = 520, barrel_k = 420, case_k = 350;
};

enum class Fuelling { carburettor, injection, ideal };

/// Areas as effective ones.
struct CarburettorJets {
  double main_m2 = 0, needle_m2 = 0, pilot_m2 = 0;
  double bleed_m2 = 0;   // of the main circuit's air jet
  double lip_m = 0.004;  // from the fuel's level to the lip of the spray tube
  double spray =
      0.8;          // of the velocity head that the spray tube's hood adds to the signal; blown back, it takes it off
  double vent = 1;  // share of the signal that the vents let the bowl follow; 0: no vent
  double bowl_m3 = 6e-5;  // of fuel in the bowl
};

struct Fuel {
  double air_to_fuel = 14.6;  // stoichiometric, by mass
  double heat_j_kg = 43.4e6;  // lower heating value
  double evaporation_j_kg = 349e3;
  double density_kg_m3 = 745;
  double octane = 95;
  thermo::WorkingGas gas;
};

inline constexpr double kMappedPa = 101325, kMappedK = 293.15;

struct Mixture {
  Fuelling by = Fuelling::ideal;
  double lambda = 0.88;  // ideal, and what an injected engine is mapped for
  CarburettorJets jets;
  Curve injected_kg;  // by rpm: a cycle's fuel, in air of kMappedPa and kMappedK; the box goes by the air's density
  double injected_share = 1;  // of that which comes: pressure, a clogged injector, a sensor that lies
  double supply_kg_s = 1;     // what tap, hose or pump can bring on
};

struct Leaks {
  double intake_m2 = 0;  // behind the throttle, draws air
  double case_m2 = 0;    // crankcase to outside: left crank seal, base gasket
  double head_m2 = 0;    // cylinder to outside
  double rings_m2 = 0;   // cylinder to crankcase
  double header_m2 = 0;  // at the exhaust port's joint
  double pipe_m2 = 0;    // halfway down the exhaust
};

struct Surroundings {
  double p_pa = 101325, temp_k = 293.15;
};

struct Design {
  Cycle cycle = Cycle::two_stroke;
  CrankTrain train;
  double clearance_m3 = 0;
  AirBox box;
  std::vector<flow::Stretch> runner;  // from the air box to the throttle
  Throttle throttle;
  TwoStrokeParts two;
  FourStrokeParts four;
  std::vector<flow::Stretch> exhaust;  // from the port to the open end
  double tail_open = 1;                // share of the end that is free
  Silencer silencer;
  Burn burn;
  Walls walls;
  ChenFlynn friction;
  Fuel fuel;
  Mixture mixture;
  Leaks leaks;
};

}  // namespace crankwise::engine
