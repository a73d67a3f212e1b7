// What is wrong with the fuel and what meters it (core/engine/faults.h). How far each goes at severity 1 is a
// judgement, said in its words or beside it.
#pragma once

#include <array>

#include "core/engine/fault_changes.h"

namespace crankwise::engine {

inline constexpr std::array kFuelFaults = {
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
                     inject(d, 1 - 0.08 * s);
                     d.burn.efficiency *= 1 - 0.03 * s;
                     d.burn.spark *= 1 - 0.35 * s;
                   }},
    SimulatedFault{"float-needle-stuck", "with the float needle stuck, passing {} less", FaultOf::carburettor,
                   short_of_fuel},
    SimulatedFault{"vacuum-tap-not-opening", "with the vacuum tap short of open by {}", FaultOf::carburettor,
                   short_of_fuel},
    SimulatedFault{"tank-rust-or-tar", "with rust before the tap, closing it by {}", FaultOf::carburettor,
                   short_of_fuel},
    SimulatedFault{"vapour-lock", "with vapour in the fuel line, {} of the worst", FaultOf::carburettor, short_of_fuel},
    SimulatedFault{"fuel-octane-low", "with fuel that is {} of 15 octane numbers too low", FaultOf::any,
                   [](Design& d, double s) { d.fuel.octane -= 15 * s; }},
};

inline constexpr std::array kCarburettorFaults = {
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
    SimulatedFault{"float-level-high", "with the fuel {} of 8 mm too high", FaultOf::carburettor, raise_fuel},
    SimulatedFault{"float-level-low", "with the fuel {} of 12 mm too low", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.lip_m += 0.012 * s; }},
    SimulatedFault{"bowl-vents-blocked", "with the bowl's vents blocked by {}", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.vent *= 1 - 0.9 * s; }},
    SimulatedFault{"throttle-not-full", "with the throttle short of full by {}", FaultOf::carburettor, shut_throttle},
    SimulatedFault{"needle-too-lean", "with the needle {} of the way to a third too lean", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.needle_m2 *= 1 - 0.35 * s; }},
    SimulatedFault{"needle-too-rich", "with the needle {} of the way to a third too rich", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.needle_m2 *= 1 + 0.35 * s; }},
    SimulatedFault{"pilot-too-lean", "with the pilot jet {} of the way to half too small", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.pilot_m2 *= 1 - 0.5 * s; }},
    SimulatedFault{"pilot-too-rich", "with the pilot jet {} of the way to half too large", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.pilot_m2 *= 1 + 0.5 * s; }},
    SimulatedFault{"jet-loose", "with the main jet loose, {} of the worst", FaultOf::carburettor,
                   [](Design& d, double s) { d.mixture.jets.main_m2 *= 1 + 0.6 * s; }},
    SimulatedFault{"float-needle-leaking", "with a float needle that lets the fuel rise by {} of 8 mm",
                   FaultOf::carburettor, raise_fuel},
    SimulatedFault{"float-soaked", "with a float that sinks, the fuel {} of 8 mm too high", FaultOf::carburettor,
                   raise_fuel},
    SimulatedFault{"bowl-water-or-dirt", "with water in the bowl, {} of the worst", FaultOf::carburettor,
                   [](Design& d, double s) {
                     d.mixture.jets.main_m2 *= 1 - 0.4 * s;
                     miss(d, 0.3 * s);
                   }},
    SimulatedFault{"carburettor-top-leak", "with a leaking carburettor top, {} of the worst", FaultOf::carburettor,
                   [](Design& d, double s) { leak_intake(d, 0.4 * s); }},
    SimulatedFault{"carburettor-orings-perished", "with perished o-rings in the carburettor, {} of the worst",
                   FaultOf::carburettor, [](Design& d, double s) { leak_intake(d, 0.4 * s); }},
    SimulatedFault{"hot-start-leaking", "with a leaking hot start valve, {} of the worst", FaultOf::carburettor,
                   [](Design& d, double s) { leak_intake(d, 0.5 * s); }},
    SimulatedFault{"slide-sticking", "with a slide that sticks short of full by {}", FaultOf::carburettor,
                   shut_throttle},
};

inline constexpr std::array kInjectionFaults = {
    SimulatedFault{"pump-weak", "with a weak pump, {} of the worst", FaultOf::injection,
                   [](Design& d, double s) { inject(d, std::sqrt(1 - 0.85 * s)); }},
    SimulatedFault{"pump-filter-clogged", "with the pump's filter clogged by {}", FaultOf::injection,
                   [](Design& d, double s) {
                     inject(d, std::sqrt(1 - 0.5 * s));
                     d.mixture.supply_kg_s = std::min(d.mixture.supply_kg_s, 0.008 * (1 - s) * (1 - s) + 1e-5);
                   }},
    SimulatedFault{"injector-clogged", "with the injector clogged by {}", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 - 0.75 * s); }},
    SimulatedFault{"injector-leaking", "with the injector dripping {} of half as much again", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 + 0.5 * s); }},
    SimulatedFault{"pressure-regulator-bad", "with the pressure {} of the way to twice what is right",
                   FaultOf::injection, [](Design& d, double s) { inject(d, std::sqrt(1 + s)); }},
    SimulatedFault{"coolant-sensor-bad", "with a coolant sensor that says cold, {} of the way", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 + 0.45 * s); }},
    SimulatedFault{"intake-pressure-sensor-bad", "with an intake pressure sensor that reads {} of a third low",
                   FaultOf::injection, [](Design& d, double s) { inject(d, 1 - 0.33 * s); }},
    SimulatedFault{"throttle-sensor-bad", "with a throttle sensor that reads {} of the way to half", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 - 0.45 * s); }},
    SimulatedFault{"air-sensor-bad", "with an air sensor that says warm, {} of the way", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 - 0.15 * s); }},
    SimulatedFault{"map-or-setting-wrong", "with a map that is {} of a third too rich", FaultOf::injection,
                   [](Design& d, double s) { inject(d, 1 + 0.33 * s); }},
    SimulatedFault{"fuel-coupling-bad", "with a fuel coupling that passes {} less", FaultOf::injection,
                   [](Design& d, double s) { inject(d, std::sqrt(1 - 0.6 * s)); }},
    SimulatedFault{"pump-hose-off", "with a leaking pump hose, {} of the worst", FaultOf::injection,
                   [](Design& d, double s) { inject(d, std::sqrt(1 - 0.8 * s)); }},
    SimulatedFault{"battery-weak", "with a battery weakened by {}", FaultOf::injection,
                   [](Design& d, double s) {
                     weaken_spark(d, 0.7 * s);
                     inject(d, 1 - 0.3 * s);
                   }},
    SimulatedFault{"crank-sensor-bad", "with {} of the crank signals lost", FaultOf::injection, miss},
    SimulatedFault{"control-unit-bad", "with {} of the sparks and shots missing", FaultOf::injection, miss},
};

}  // namespace crankwise::engine
