// What is summed over a cycle.
#pragma once

#include <array>

namespace crankwise::engine {

/// Of one cycle.
template <typename Real>
struct Totals {
  Real work_j = 0, case_work_j = 0, air_kg = 0, fuel_kg = 0, lost_fuel_kg = 0;
  Real exhaust_kg = 0, exhaust_k = 0;  // mass, and temperature times mass
  Real most_pa = 0, heat_j = 0;
  Real lambda = 0, residual = 0, misfire = 0;  // at the spark
  Real knock = 0;                              // Livengood and Wu's integral over the end gas

  static constexpr auto parts() {
    return std::array{&Totals::work_j,       &Totals::case_work_j, &Totals::air_kg,    &Totals::fuel_kg,
                      &Totals::lost_fuel_kg, &Totals::exhaust_kg,  &Totals::exhaust_k, &Totals::most_pa,
                      &Totals::heat_j,       &Totals::lambda,      &Totals::residual,  &Totals::misfire,
                      &Totals::knock};
  }
};

}  // namespace crankwise::engine
