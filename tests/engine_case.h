// Two plain engines for tests: nothing tuned.
#pragma once

#include <numbers>

#include "core/engine/design.h"
#include "core/thermo/fuels.h"

namespace crankwise::test {

inline constexpr double kDegree = std::numbers::pi / 180;

inline engine::Design plain_two_stroke() {
  engine::Design d;
  d.cycle = Cycle::two_stroke;
  d.train = {.bore_m = 0.054, .stroke_m = 0.0545, .rod_m = 0.105};
  d.clearance_m3 = 10e-6;
  d.runner = {{0.07, 0.050, 0.042, 300}, {0.08, 0.040, 0.038, 300}};
  d.throttle = {.bore_m = 0.038, .open = 0.97};
  d.two.reed = {.window_m2 = 1.05e-3, .edge_m = 0.24, .natural_hz = 230, .lift_m_pa = 0.9e-6, .stop_m = 0.010};
  d.two.case_m3 = 2.5e-4;
  d.two.transfer = {0.085, 0.040, 0.036, 340};
  d.two.transfer_port = {.opens_rad = 117 * kDegree, .width_m = 0.095};
  d.two.exhaust_port = {.opens_rad = 85 * kDegree, .width_m = 0.046};
  d.two.exhaust_valve = {.fitted = true, .low_opens_rad = 97 * kDegree, .rises_rpm = 6500, .up_rpm = 9000};
  d.exhaust = {{0.20, 0.040, 0.046, 650}, {0.30, 0.046, 0.108, 600}, {0.11, 0.108, 0.108, 550},
               {0.22, 0.108, 0.024, 550}, {0.10, 0.024, 0.024, 550}, {0.32, 0.026, 0.026, 450}};
  d.burn.spark_rad = {{{3000, 22 * kDegree}, {9000, 20 * kDegree}, {12500, 14 * kDegree}}};
  d.burn.limit_rpm = 13000;
  d.friction = {.constant_pa = 20e3, .by_peak = 0.002, .by_speed_pa_s_m = 3.2e3, .by_speed2_pa_s2_m2 = 0};
  d.fuel.gas = thermo::working_gas(thermo::petrol());
  return d;
}

inline engine::Design plain_four_stroke() {
  engine::Design d;
  d.cycle = Cycle::four_stroke;
  d.train = {.bore_m = 0.096, .stroke_m = 0.0621, .rod_m = 0.1};
  d.clearance_m3 = 449.5e-6 / 11.8;
  d.runner = {{0.10, 0.060, 0.048, 300}, {0.08, 0.046, 0.044, 300}};
  d.throttle = {.bore_m = 0.044, .open = 0.98};
  d.four.port = {{0.13, 0.044, 0.048, 330}};
  d.four.inlet = {.count = 2, .head_m = 0.038, .lift_m = 0.010, .opens_rad = 20 * kDegree, .closes_rad = 62 * kDegree};
  d.four.exhaust = {
      .count = 2, .head_m = 0.032, .lift_m = 0.009, .opens_rad = 62 * kDegree, .closes_rad = 22 * kDegree};
  d.exhaust = {
      {0.05, 0.044, 0.042, 700}, {0.55, 0.042, 0.046, 750}, {0.25, 0.046, 0.048, 650}, {0.40, 0.050, 0.046, 500}};
  d.burn.spark_rad = {{{2000, 18 * kDegree}, {5000, 26 * kDegree}, {11500, 28 * kDegree}}};
  d.burn.limit_rpm = 11500;
  d.fuel.gas = thermo::working_gas(thermo::petrol());
  return d;
}

}  // namespace crankwise::test
