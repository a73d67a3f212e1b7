// Pipes as resonators: quarter wave, Helmholtz, and the tuned length of a two-stroke's expansion chamber.
//
//   const double c = sound_speed_m_s(kExhaustGas, 773);                      // 546 m/s at 500 C
//   tuned_length({.sound_m_s = c, .exhaust_rad = duration, .crank_rad_s = speed}).length_m;
//
// Small waves: one of 1.2 times the pressure around it runs a sixth faster (Blair 1996, from memory). Sound speed:
// sound_speed_m_s() in core/calc/gas.h. SI: m, m2, m3, m/s, rad, rad/s, Hz. Preconditions: all above 0.
#pragma once

#include "core/calc/flag.h"

namespace crankwise {

/// Pipe with one end closed: c / 4 L, and the length for a frequency. No end correction.
double quarter_wave_hz(double length_m, double sound_m_s);
double quarter_wave_length_m(double frequency_hz, double sound_m_s);

/// A volume that breathes through a neck (airbox, crankcase): (c / 2 pi) sqrt(A / (V L)).
double helmholtz_hz(double neck_area_m2, double neck_length_m, double volume_m3, double sound_m_s);

/// Length of a round neck with both ends flanged: 1.7 radii more than it measures.
double flanged_neck_length_m(double length_m, double diameter_m);

struct ExpansionChamber {
  double sound_m_s = 518.2;  // mean along the pipe, running; 1700 ft/s is Jennings' figure
  double exhaust_rad = 0;    // how long the exhaust port is open
  double crank_rad_s = 0;    // at peak power
};
struct TunedLength {
  double length_m = 0;  // port face to the mean point of reflection in the baffle cone
  CalcFlags flags;      // pipe_gas_unusual (sound speed outside 200 to 800 C), exhaust_duration_unusual
};
/// The wave is back when the port closes: L = c / 2 * (open time) (Jennings, Two-Stroke Tuner's Handbook, 1973, L in
/// inches = E0 Vs / N; from memory).
TunedLength tuned_length(const ExpansionChamber&);

/// The crank speed for which a pipe of that length is right.
double tuned_speed_rad_s(double sound_m_s, double exhaust_rad, double length_m);

}  // namespace crankwise
