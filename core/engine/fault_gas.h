// What is wrong on the way of air and exhaust gas (core/engine/faults.h). How far each goes at severity 1 is a
// judgement, said in its words or beside it.
#pragma once

#include <array>

#include "core/engine/fault_changes.h"

namespace crankwise::engine {

inline constexpr std::array kAirFaults = {
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
    SimulatedFault{"filter-over-oiled", "with the filter over-oiled, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { d.box.filter_m2 *= 1 - 0.8 * s; }},
    SimulatedFault{"backfire-screen-blocked", "with the flame screen blocked by {}", FaultOf::any,
                   [](Design& d, double s) { d.box.filter_m2 *= 1 - 0.97 * s; }},
    SimulatedFault{"nest-in-air-box", "with a nest in the air box, closing it by {}", FaultOf::any,
                   [](Design& d, double s) { d.box.inlet_m2 *= 1 - 0.97 * s; }},
    SimulatedFault{"manifold-cracked", "with a cracked manifold, {} of the worst", FaultOf::any, leak_intake},
    SimulatedFault{"manifold-flange-leak", "with a leaking manifold flange, {} of the worst", FaultOf::any,
                   leak_intake},
    SimulatedFault{"crank-seal-out", "with a crank seal pushed out by {}", FaultOf::two_stroke,
                   [](Design& d, double s) { leak_case(d, 4 * s); }},
    SimulatedFault{"reed-cage-broken", "with a broken reed cage, {} of the worst", FaultOf::reed,
                   [](Design& d, double s) { open_gap(d.two.reed, 0.8 * d.two.reed.window_m2 * s); }},
};

inline constexpr std::array kExhaustFaults = {
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
    SimulatedFault{"exhaust-valve-stuck-shut", "with the exhaust valve short of its travel by {}",
                   FaultOf::exhaust_valve, lower_valve},
    SimulatedFault{"exhaust-valve-stuck-open", "with the exhaust valve up by {} from the start", FaultOf::exhaust_valve,
                   [](Design& d, double s) {
                     auto& low = d.two.exhaust_valve.low_opens_rad;
                     low += s * (d.two.exhaust_port.opens_rad - low);
                   }},
    SimulatedFault{"exhaust-valve-governor-worn", "with the exhaust valve rising late by {} of 3,000 rpm",
                   FaultOf::exhaust_valve, late_valve},
    SimulatedFault{"spark-arrester-clogged", "with the spark arrester clogged by {}", FaultOf::any, narrow_end},
    SimulatedFault{"silencer-baffle-loose", "with a loose baffle before the outlet, closing it by {}", FaultOf::any,
                   narrow_end},
    SimulatedFault{"packing-blown", "with the packing blown out by {}", FaultOf::packing,
                   [](Design& d, double s) {
                     d.silencer.resistance_pa_s_m *= 1 - 0.95 * s;
                     d.silencer.volume_m3 *= 1 + 0.5 * s;
                   }},
    SimulatedFault{"packing-soaked", "with the packing soaked with oil by {}", FaultOf::packing,
                   [](Design& d, double s) {
                     d.silencer.volume_m3 *= 1 - 0.8 * s;
                     d.silencer.resistance_pa_s_m *= 1 + 9 * s;
                     d.tail_open *= 1 - 0.25 * s;
                   }},
    SimulatedFault{"header-leak", "with a leaking header joint, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { d.leaks.header_m2 += 60 * kMm2 * s; }},
    SimulatedFault{"pipe-joint-leak", "with a leaking joint of the pipe, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { d.leaks.pipe_m2 += 60 * kMm2 * s; }},
    SimulatedFault{"pipe-cracked", "with a cracked pipe, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { d.leaks.pipe_m2 += 40 * kMm2 * s; }},
    SimulatedFault{"pipe-dented", "with a dented pipe, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { dent(d, 0.45 * s); }},
    SimulatedFault{"pipe-crushed", "with a crushed pipe, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { dent(d, 0.85 * s); }},
    SimulatedFault{"exhaust-valve-sticky", "with an exhaust valve that sticks, rising late by {} of 3,000 rpm",
                   FaultOf::exhaust_valve, late_valve},
    SimulatedFault{"exhaust-valve-misadjusted", "with the exhaust valve set short of its travel by {} of half",
                   FaultOf::exhaust_valve, [](Design& d, double s) { lower_valve(d, 0.5 * s); }},
};

}  // namespace crankwise::engine
