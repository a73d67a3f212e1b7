// Leaks: leak-down of a cylinder, and pressure or vacuum in a two-stroke's crankcase.
//
//   LeakTester tester{.regulated_pa = 80 * psi};
//   leak_down(tester, 60 * psi);  // loses 25 %: like a hole of 1.05 mm
//
// A leak-down tester is two holes in a row: its own orifice from the regulated pressure to what is held, and the leak
// from there to the air. Both take hole_flow() (core/calc/gas.h) with the same discharge coefficient, air at one
// temperature. The per cent lost therefore goes with the orifice and the test pressure; only the equivalent hole can be
// compared.
//
// A closed case loses pressure by leaks and by cooling: dp = p dT / T. What is left is air: V dp / p_ambient of free
// air.
//
// SI: Pa, K, m, m3, m3/s, s. Gauge pressures are against ambient, below 0 under vacuum.
#pragma once

#include "core/calc/flag.h"

namespace crankwise {

/// Air at the ambient pressure and the temperature of the upstream side.
struct FreeAir {
  double ambient_pa = 101325;
  double temperature_k = 293.15;
};

/// Free air a round hole lets through between two absolute pressures, from the higher to the lower; and the hole's
/// diameter for that flow.
double free_air_through_m3_s(double hole_m, double discharge, double from_pa, double to_pa, const FreeAir&);
double hole_for_free_air_m(double flow_m3_s, double discharge, double from_pa, double to_pa, const FreeAir&);

struct LeakTester {
  double orifice_m = 1.016e-3;  // its own hole, diameter; 0.040 in is aircraft practice (FAA AC 43.13-1B, 8-14)
  double regulated_pa = 0;      // gauge, before the orifice
  FreeAir air;
};

struct LeakDown {
  double held_pa = 0;     // gauge, behind the orifice
  double loss = 0;        // share of the regulated pressure
  double hole_m = 0;      // equivalent diameter of the leak
  double area_ratio = 0;  // of the leak over the orifice
  CalcFlags flags;        // nothing_held: hole and ratio are infinite
};
LeakDown leak_down(const LeakTester&, double held_pa);         // 0 <= held <= regulated
LeakDown leak_down_of_hole(const LeakTester&, double hole_m);  // hole 0 or more
/// The same leak on another tester, or at another pressure. Two percentages can only be compared after this.
LeakDown on_other_tester(const LeakDown&, const LeakTester& other);

struct CaseTest {
  double volume_m3 = 0;  // of the closed case, hoses included
  double start_pa = 0;   // gauge; below 0 for a vacuum test; not 0
  double end_pa = 0;     // gauge; 0 or of the same sign
  double seconds = 0;
  double cooled_k = 0;      // by how much the gas in the case cooled meanwhile; below 0 if it warmed
  double discharge = 0.65;  // of the leak; 0.6 to 0.8 usual
  FreeAir air;              // the case's temperature at the start
};

struct CaseLeak {
  double loss_pa_s = 0;      // toward ambient, as seen
  double cooling_pa = 0;     // how much the pressure fell by cooling alone
  double leak_pa_s = 0;      // toward ambient, by leaking alone; 0 if cooling explains all
  double free_air_m3_s = 0;  // out, or in under vacuum
  double hole_m = 0;         // equivalent diameter at the mean pressure of the test
  CalcFlags flags;  // case_pressure_high, case_pressure_low (factory test), case_vacuum_deep (common practice),
                    // all_by_cooling, nothing_held: it leaks at least that much
};
CaseLeak case_leak(const CaseTest&);

/// What a closed gas at this absolute pressure loses in cooling: p dT / T.
double cooling_loss_pa(double pressure_pa, double temperature_k, double cooled_k);

/// Free air a two-stroke takes in: displacement * delivery ratio once a turn. Against this a leak of a test is small: a
/// running engine pulls harder than the test, so a small share is no proof that the leak does not matter.
double engine_air_m3_s(double displacement_m3, double crank_rad_s, double delivery_ratio);

}  // namespace crankwise
