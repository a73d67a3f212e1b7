#include "core/engine/faults.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

namespace crankwise::engine {
namespace {

constexpr double kDegree = std::numbers::pi / 180;
constexpr double kMm2 = 1e-6;

void retard(Design& d, double rad) {
  for (auto& point : d.burn.spark_rad.points) point.y -= rad;
}
void weaken_spark(Design& d, double s) { d.burn.spark = 1 - 0.9 * s; }
void narrow_end(Design& d, double s) { d.tail_open *= 1 - 0.93 * s; }
void leak_intake(Design& d, double s) { d.leaks.intake_m2 += 60 * kMm2 * s; }  // a joint open by half a millimetre
void leak_case(Design& d, double s) { d.leaks.case_m2 += 25 * kMm2 * s; }
void leak_head(Design& d, double s) { d.leaks.head_m2 += 2.5 * kMm2 * s; }
void leak_rings(Design& d, double s) { d.leaks.rings_m2 += 1.2 * kMm2 * s; }
void short_of_fuel(Design& d, double s) {
  // A sound tap brings a litre in a minute and more; nearly shut, little.
  d.mixture.supply_kg_s = std::min(d.mixture.supply_kg_s, 0.012 * (1 - s) * (1 - s) + 1e-5);
}
void inject(Design& d, double share) { d.mixture.injected_share *= share; }
void open_gap(Reed& r, double m2) { r.gap_m2 += m2; }
void lift(Valve& v, double change_m) {
  const double before = v.lift_m;
  v.lift_m = std::max(0.001, before + change_m);
  // A wide clearance takes time off both ends.
  const double angle = (v.lift_m - before) / before * 40 * kDegree;
  v.opens_rad += angle;
  v.closes_rad += angle;
}

constexpr std::array kFaults = {
    // Fuel on its way.
    SimulatedFault{"tap-blocked", "with the tap shut by {}", FaultOf::carburettor, short_of_fuel},
    SimulatedFault{"fuel-hose-kinked", "with the fuel hose closed by {}", FaultOf::carburettor, short_of_fuel},
    SimulatedFault{"cap-vent-blocked", "with the cap's vent blocked by {}", FaultOf::carburettor, short_of_fuel},
    SimulatedFault{"inline-filter-clogged", "with the fuel filter clogged by {}", FaultOf::carburettor, short_of_fuel},
    SimulatedFault{"fuel-stale", "with fuel gone stale by {}", FaultOf::any,
                   [](Design& d, double s) {
                     d.burn.duration_rad *= 1 + 0.4 * s;
                     d.burn.efficiency *= 1 - 0.08 * s;
                     d.burn.spark *= 1 - 0.3 * s;  // its light ends are gone
                   }},
    SimulatedFault{"water-in-fuel", "with water in the fuel, {} of the worst", FaultOf::any,
                   [](Design& d, double s) {
                     d.fuel.heat_j_kg *= 1 - 0.25 * s;
                     d.burn.missing = 1 - (1 - d.burn.missing) * (1 - 0.3 * s);
                   }},
    SimulatedFault{"mix-too-much-oil", "with {} of three times the oil", FaultOf::two_stroke,
                   [](Design& d, double s) {
                     // Oil in the place of fuel, and thicker: the jets pass less of both.
                     d.mixture.jets.main_m2 *= 1 - 0.08 * s;
                     d.mixture.lambda *= 1 + 0.08 * s;
                     d.burn.efficiency *= 1 - 0.03 * s;
                     d.burn.spark *= 1 - 0.35 * s;
                   }},
    // Carburettor.
    SimulatedFault{"main-jet-blocked", "with the main jet blocked by {}", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.main_m2 *= 1 - 0.97 * s; }},
    SimulatedFault{"pilot-jet-blocked", "with the pilot jet blocked by {}", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.pilot_m2 *= 1 - s; }},
    SimulatedFault{"main-too-rich", "with the main jet {} of the way to a third too large", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.main_m2 *= 1 + 0.35 * s; }},
    SimulatedFault{"main-too-lean", "with the main jet {} of the way to a third too small", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.main_m2 *= 1 - 0.35 * s; }},
    SimulatedFault{"needle-jet-worn", "with the needle jet worn, {} of the worst", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.needle_m2 *= 1 + 0.6 * s; }},
    SimulatedFault{"choke-stuck", "with the choke open by {}", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.pilot_m2 += 0.5 * d.mixture.jets.main_m2 * s; }},
    SimulatedFault{"float-level-high", "with the fuel {} of 8 mm too high", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.lip_m -= 0.008 * s; }},
    SimulatedFault{"float-level-low", "with the fuel {} of 12 mm too low", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.lip_m += 0.012 * s; }},
    SimulatedFault{"bowl-vents-blocked", "with the bowl's vents blocked by {}", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.vent = 1 - 0.9 * s; }},
    SimulatedFault{"throttle-not-full", "with the throttle short of full by {}", FaultOf::any,
                   [](Design& d, double s) { d.throttle.open *= 1 - 0.85 * s; }},
    // Air.
    SimulatedFault{"filter-dirty", "with the filter clogged by {}", FaultOf::any,
                   [](Design& d, double s) { d.box.filter_m2 *= 1 - 0.97 * s; }},
    SimulatedFault{"air-box-blocked", "with the air box blocked by {}", FaultOf::any,
                   [](Design& d, double s) { d.box.inlet_m2 *= 1 - 0.97 * s; }},
    SimulatedFault{"manifold-joint-loose", "with a leaking intake joint, {} of the worst", FaultOf::any, leak_intake},
    SimulatedFault{"crank-seal-ignition", "with the ignition side crank seal leaking, {} of the worst",
                   FaultOf::two_stroke, leak_case},
    SimulatedFault{"crank-seal-clutch", "with the clutch side crank seal leaking oil, {} of the worst",
                   FaultOf::two_stroke,
                   [](Design& d, double s) {
                     leak_case(d, 0.3 * s);
                     d.burn.efficiency *= 1 - 0.06 * s;
                     d.burn.spark *= 1 - 0.6 * s;  // it drowns the plug
                   }},
    SimulatedFault{"case-joint-leak", "with a leaking crankcase joint, {} of the worst", FaultOf::two_stroke,
                   leak_case},
    SimulatedFault{"base-gasket-leaking", "with a leaking base gasket, {} of the worst", FaultOf::two_stroke,
                   leak_case},
    SimulatedFault{"reed-chipped", "with {} of a petal's end chipped off", FaultOf::reed,
                   [](Design& d, double s) { open_gap(d.two.reed, 150 * kMm2 * s); }},
    SimulatedFault{"reed-stands-off", "with petals that stand off, {} of a millimetre", FaultOf::reed,
                   [](Design& d, double s) { open_gap(d.two.reed, d.two.reed.edge_m * 0.001 * s); }},
    SimulatedFault{"reed-cracked", "with petals gone soft by {}", FaultOf::reed,
                   [](Design& d, double s) {
                     d.two.reed.natural_hz *= 1 - 0.5 * s;
                     d.two.reed.lift_m_pa *= 1 + 2 * s;
                   }},
    SimulatedFault{"reed-held-open", "with something between petal and seat, {} of the worst", FaultOf::reed,
                   [](Design& d, double s) { open_gap(d.two.reed, 0.4 * d.two.reed.window_m2 * s); }},
    // Exhaust.
    SimulatedFault{"silencer-core-carboned", "with the silencer closed by {}", FaultOf::any, narrow_end},
    SimulatedFault{"exhaust-blocked-by-object", "with the exhaust blocked by {}", FaultOf::any, narrow_end},
    SimulatedFault{"stinger-carboned", "with the stinger's bore narrowed, {} of the worst", FaultOf::two_stroke,
                   [](Design& d, double s) {
                     // The narrowest stretch and what meets it: down to half its bore.
                     double least = 1;
                     for (const auto& e : d.exhaust) least = std::min(least, e.to_m);
                     for (auto& e : d.exhaust) {
                       if (e.to_m < 1.15 * least) e.to_m *= 1 - 0.5 * s;
                       if (e.from_m < 1.15 * least) e.from_m *= 1 - 0.5 * s;
                     }
                   }},
    SimulatedFault{"exhaust-port-carbon", "with carbon in the exhaust port, {} of the worst", FaultOf::two_stroke,
                   [](Design& d, double s) {
                     d.two.exhaust_port.width_m *= 1 - 0.35 * s;
                     d.two.exhaust_port.opens_rad += 4 * kDegree * s;
                   }},
    SimulatedFault{
        "exhaust-valve-stuck-shut", "with the exhaust valve short of its travel by {}", FaultOf::exhaust_valve,
        [](Design& d, double s) {
          auto& port = d.two.exhaust_port.opens_rad;
          port += s * (d.two.exhaust_valve.low_opens_rad - port);
        }},
    SimulatedFault{"exhaust-valve-stuck-open", "with the exhaust valve up by {} from the start", FaultOf::exhaust_valve,
                   [](Design& d, double s) {
                     auto& low = d.two.exhaust_valve.low_opens_rad;
                     low += s * (d.two.exhaust_port.opens_rad - low);
                   }},
    SimulatedFault{
        "exhaust-valve-governor-worn", "with the exhaust valve rising late by {} of 3,000 rpm", FaultOf::exhaust_valve,
        [](Design& d, double s) {
          d.two.exhaust_valve.rises_rpm += 3000 * s;
          d.two.exhaust_valve.up_rpm += 3000 * s;
        }},
    // Spark.
    SimulatedFault{"plug-fouled", "with a spark weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"plug-worn", "with a worn plug, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { weaken_spark(d, 0.7 * s); }},
    SimulatedFault{"coil-bad", "with a coil weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"source-coil-weak", "with the source coil weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"plug-cap-bad", "with {} of the sparks lost at the cap", FaultOf::any,
                   [](Design& d, double s) { d.burn.missing = s; }},
    SimulatedFault{"ignition-box-bad", "with {} of the sparks missing", FaultOf::any,
                   [](Design& d, double s) { d.burn.missing = s; }},
    SimulatedFault{"timing-out", "with the timing late by {} of 15 degrees", FaultOf::any,
                   [](Design& d, double s) { retard(d, 15 * kDegree * s); }},
    SimulatedFault{"flywheel-key-sheared", "with the flywheel slipped by {} of 30 degrees", FaultOf::any,
                   [](Design& d, double s) { retard(d, 30 * kDegree * s); }},
    // Top end.
    SimulatedFault{"rings-worn", "with worn rings, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"rings-stuck", "with stuck rings, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"cylinder-worn", "with a worn barrel, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"head-gasket-leaking", "with a leaking head gasket, {} of the worst", FaultOf::any, leak_head},
    SimulatedFault{"decompressor-leaking", "with a leaking decompressor, {} of the worst", FaultOf::any, leak_head},
    SimulatedFault{"compression-too-low", "with {} of half as much room again in the head", FaultOf::any,
                   [](Design& d, double s) { d.clearance_m3 *= 1 + 0.5 * s; }},
    // Valve train.
    SimulatedFault{"inlet-clearance-tight", "with an inlet valve held off its seat, {} of the worst",
                   FaultOf::four_stroke, [](Design& d, double s) { d.four.inlet.leak_m2 += 5 * kMm2 * s; }},
    SimulatedFault{"exhaust-clearance-tight", "with an exhaust valve held off its seat, {} of the worst",
                   FaultOf::four_stroke, [](Design& d, double s) { d.four.exhaust.leak_m2 += 5 * kMm2 * s; }},
    SimulatedFault{"valve-seats-worn", "with leaking seats, {} of the worst", FaultOf::four_stroke,
                   [](Design& d, double s) {
                     d.four.inlet.leak_m2 += 3 * kMm2 * s;
                     d.four.exhaust.leak_m2 += 3 * kMm2 * s;
                   }},
    SimulatedFault{"valve-burned", "with a burned exhaust valve, {} of the worst", FaultOf::four_stroke,
                   [](Design& d, double s) { d.four.exhaust.leak_m2 += 15 * kMm2 * s; }},
    SimulatedFault{"valve-clearance-wide", "with clearances wide by {} of half a millimetre", FaultOf::four_stroke,
                   [](Design& d, double s) {
                     lift(d.four.inlet, -0.0005 * s);
                     lift(d.four.exhaust, -0.0005 * s);
                   }},
    SimulatedFault{"cam-worn", "with the cams worn by {} of two millimetres", FaultOf::four_stroke,
                   [](Design& d, double s) {
                     lift(d.four.inlet, -0.002 * s);
                     lift(d.four.exhaust, -0.002 * s);
                   }},
    SimulatedFault{"cam-timing-jumped", "with the cams late by {} of two teeth", FaultOf::four_stroke,
                   [](Design& d, double s) {
                     const double late = 2 * 2 * 11 * kDegree * s;  // a tooth of 32 on the cam, at the crank
                     for (Valve* v : {&d.four.inlet, &d.four.exhaust}) {
                       v->opens_rad -= late;
                       v->closes_rad += late;
                     }
                   }},
    // Injection.
    SimulatedFault{"pump-weak", "with the pump's pressure down by {}", FaultOf::injection,
                   [](Design& d, double s) { inject(d, std::sqrt(1 - 0.85 * s)); }},
    SimulatedFault{"pump-filter-clogged", "with the pump's filter clogged by {}", FaultOf::injection,
                   [](Design& d, double s) {
                     inject(d, std::sqrt(1 - 0.5 * s));
                     d.mixture.supply_kg_s = std::min(d.mixture.supply_kg_s, 0.008 * (1 - s) * (1 - s) + 1e-5);
                   }},
    SimulatedFault{"injector-clogged", "with the injector clogged by {}", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 - 0.75 * s); }},
    SimulatedFault{"injector-leaking", "with the injector dripping {} of half as much again", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 + 0.6 * s); }},
    SimulatedFault{"pressure-regulator-bad", "with the pressure up by {} of twice what is right", FaultOf::injection,
                   [](Design& d, double s) { inject(d, std::sqrt(1 + s)); }},
    SimulatedFault{"coolant-sensor-bad", "with a coolant sensor that says cold, {} of the way", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 + 0.45 * s); }},
    SimulatedFault{"intake-pressure-sensor-bad", "with an intake pressure sensor that reads {} of a third low",
                   FaultOf::injection, [](Design& d, double s) { inject(d, 1 - 0.33 * s); }},
    SimulatedFault{"throttle-sensor-bad", "with a throttle sensor that reads {} of the way to half", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 - 0.45 * s); }},
};

}  // namespace

std::span<const SimulatedFault> simulated_faults() { return kFaults; }

const SimulatedFault* find_fault(std::string_view id) {
  const auto found = std::find_if(kFaults.begin(), kFaults.end(), [&](const auto& f) { return f.id == id; });
  return found == kFaults.end() ? nullptr : &*found;
}

bool applies(const SimulatedFault& fault, const Design& d) {
  switch (fault.of) {
    case FaultOf::any:
      return true;
    case FaultOf::two_stroke:
    case FaultOf::reed:
      return d.cycle == Cycle::two_stroke;
    case FaultOf::four_stroke:
      return d.cycle == Cycle::four_stroke;
    case FaultOf::carburettor:
      return d.mixture.by == Fuelling::carburettor;
    case FaultOf::injection:
      return d.mixture.by == Fuelling::injection;
    case FaultOf::exhaust_valve:
      return d.cycle == Cycle::two_stroke && d.two.exhaust_valve.fitted;
  }
  return false;
}

Design with_fault(const Design& healthy, const SimulatedFault& fault, double severity) {
  assert(severity >= 0 && severity <= 1);
  Design changed = healthy;
  fault.change(changed, severity);
  return changed;
}

}  // namespace crankwise::engine
