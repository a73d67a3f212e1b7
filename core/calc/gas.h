// Perfect gas: speed of sound, isentropic flow and flow through a hole.
//
// Isentropic flow: NACA Report 1135. Flow through a hole: St Venant and Wantzel, isentropic to the throat, times a
// discharge coefficient; beyond the critical pressure ratio (2 / (gamma + 1))^(gamma / (gamma - 1)) the flow is choked
// and no longer grows. SI: Pa (absolute), K, m2, kg/s. Preconditions: all above 0.
#pragma once

namespace crankwise {

struct Gas {
  double gamma = 1.4;          // ratio of heat capacities, above 1
  double constant_j_kg_k = 0;  // specific gas constant
};
constexpr Gas kDryAir{1.4, 287.05};
constexpr Gas kExhaustGas{1.33, 290};  // usual round values for a pipe

/// sqrt(gamma R T)
double sound_speed_m_s(const Gas&, double temperature_k);

/// Share of the stagnation value at this Mach number, and the area over that of the throat at Mach 1.
struct Isentropic {
  double pressure = 1;
  double temperature = 1;
  double density = 1;
  double area = 1;
};
Isentropic isentropic(double gamma, double mach);

double critical_pressure_ratio(double gamma);

struct HoleFlow {
  double kg_s = 0;
  bool choked = false;
};
/// From a vessel at rest to a lower or equal pressure.
HoleFlow hole_flow(const Gas&, double area_m2, double discharge, double from_pa, double from_k, double to_pa);

}  // namespace crankwise
