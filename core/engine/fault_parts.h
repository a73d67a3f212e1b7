// What is wrong with spark, top end and valves (core/engine/faults.h). How far each goes at severity 1 is a judgement,
// said in its words or beside it.
#pragma once

#include <array>

#include "core/engine/fault_changes.h"

namespace crankwise::engine {

inline constexpr std::array kSparkFaults = {
    SimulatedFault{"plug-fouled", "with a spark weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"plug-worn", "with a worn plug, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { weaken_spark(d, 0.7 * s); }},
    SimulatedFault{"coil-bad", "with a coil weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"source-coil-weak", "with the source coil weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"plug-cap-bad", "with {} of the sparks lost at the cap", FaultOf::any, miss},
    SimulatedFault{"ignition-box-bad", "with {} of the sparks missing", FaultOf::any, miss},
    SimulatedFault{"timing-out", "with the timing late by {} of 15 degrees", FaultOf::any,
                   [](Design& d, double s) { retard(d, 15 * kDegree * s); }},
    SimulatedFault{"flywheel-key-sheared", "with the flywheel slipped by {} of 30 degrees", FaultOf::any,
                   [](Design& d, double s) { retard(d, 30 * kDegree * s); }},
    SimulatedFault{"plug-gap-wrong", "with a plug gap that is far off, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { weaken_spark(d, 0.7 * s); }},
    SimulatedFault{"plug-too-cold", "with a plug that is too cold and wet, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { weaken_spark(d, 0.4 * s); }},
    SimulatedFault{"plug-cracked-or-bridged", "with {} of the sparks lost at the plug", FaultOf::any, miss},
    SimulatedFault{"plug-cap-loose", "with {} of the sparks lost at a loose cap", FaultOf::any, miss},
    SimulatedFault{"ht-lead-damaged", "with a damaged lead that takes {} of the spark", FaultOf::any, weaken_spark},
    SimulatedFault{"coil-bad-hot", "with a coil that is hot and weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"ignition-earth-bad", "with a bad earth, the spark weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"stator-wires-chafed", "with chafed stator wires, the spark weakened by {}", FaultOf::any,
                   weaken_spark},
    SimulatedFault{"flywheel-magnets-weak", "with weak magnets, the spark weakened by {}", FaultOf::any, weaken_spark},
    SimulatedFault{"ignition-connector-bad", "with {} of the sparks lost at a connector", FaultOf::any, miss},
    SimulatedFault{"pick-up-weak", "with {} of the sparks missing for want of a signal", FaultOf::any, miss},
    SimulatedFault{"pick-up-gap-wrong", "with {} of the sparks missing, the pick-up too far off", FaultOf::any, miss},
    SimulatedFault{"stop-switch-shorts", "with {} of the sparks shorted by the stop switch", FaultOf::any, miss},
    SimulatedFault{"stop-wire-chafed", "with {} of the sparks shorted by the stop wire", FaultOf::any, miss},
    SimulatedFault{"ignition-parts-mismatched", "with ignition parts that fire {} of 12 degrees early", FaultOf::any,
                   [](Design& d, double s) { retard(d, -12 * kDegree * s); }},
};

inline constexpr std::array kTopEndFaults = {
    SimulatedFault{"rings-worn", "with worn rings, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"rings-stuck", "with stuck rings, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"cylinder-worn", "with a worn barrel, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"head-gasket-leaking", "with a leaking head gasket, {} of the worst", FaultOf::any, leak_head},
    SimulatedFault{"decompressor-leaking", "with a leaking decompressor, {} of the worst", FaultOf::any, leak_head},
    SimulatedFault{"compression-too-low", "with {} of half as much room again in the head", FaultOf::any,
                   [](Design& d, double s) { d.clearance_m3 *= 1 + 0.5 * s; }},
    SimulatedFault{"piston-worn", "with a worn piston, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"piston-scored", "with a scored piston, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"cylinder-damaged", "with a scored barrel, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"cylinder-distorted", "with a barrel out of round, {} of the worst", FaultOf::any, leak_rings},
    SimulatedFault{"piston-holed", "with a hole in the piston, {} of the worst", FaultOf::any,
                   [](Design& d, double s) { leak_rings(d, 6 * s); }},
    SimulatedFault{"head-cracked-or-warped", "with a warped head, {} of the worst", FaultOf::any, leak_head},
    SimulatedFault{"head-joint-blowing", "with a blowing head joint, {} of the worst", FaultOf::any, leak_head},
    SimulatedFault{"head-loose", "with a loose head, {} of the worst", FaultOf::any, leak_head},
    SimulatedFault{"plug-loose", "with a loose plug, {} of the worst", FaultOf::any, leak_head},
    SimulatedFault{"cylinder-loose", "with a loose barrel, {} of the worst", FaultOf::two_stroke, leak_case},
    SimulatedFault{"compression-too-high", "with {} of a quarter less room in the head", FaultOf::any,
                   [](Design& d, double s) { d.clearance_m3 *= 1 - 0.25 * s; }},
    SimulatedFault{"combustion-carbon", "with carbon in the head, {} of a tenth of its room", FaultOf::any,
                   [](Design& d, double s) {
                     d.clearance_m3 *= 1 - 0.1 * s;
                     d.fuel.octane -= 4 * s;
                   }},
};

inline constexpr std::array kValveFaults = {
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
                     late_cams(d, 2 * 2 * 11 * kDegree * s);  // a tooth of 32 on the cam, at the crank
                   }},
    SimulatedFault{"valve-bent", "with a bent valve, {} of the worst", FaultOf::four_stroke,
                   [](Design& d, double s) { d.four.exhaust.leak_m2 += 15 * kMm2 * s; }},
    SimulatedFault{"auto-decompressor-holding", "with the decompressor holding a valve open, {} of the worst",
                   FaultOf::four_stroke, [](Design& d, double s) { d.four.exhaust.leak_m2 += 8 * kMm2 * s; }},
    SimulatedFault{"cam-chain-stretched", "with a stretched cam chain, the cams late by {} of 8 degrees of the crank",
                   FaultOf::four_stroke, [](Design& d, double s) { late_cams(d, 8 * kDegree * s); }},
};

}  // namespace crankwise::engine
