#include "core/calc/pipe.h"

#include <cassert>
#include <cmath>
#include <numbers>

#include "core/calc/gas.h"

namespace crankwise {
namespace {

using std::numbers::pi;

constexpr double kCold_k = 473.15, kHot_k = 1073.15;
constexpr double kShort_rad = 140 * pi / 180, kLong_rad = 210 * pi / 180;

}  // namespace

double quarter_wave_hz(double length_m, double sound_m_s) {
  assert(length_m > 0 && sound_m_s > 0);
  return sound_m_s / (4 * length_m);
}

double quarter_wave_length_m(double frequency_hz, double sound_m_s) {
  assert(frequency_hz > 0 && sound_m_s > 0);
  return sound_m_s / (4 * frequency_hz);
}

double helmholtz_hz(double neck_area_m2, double neck_length_m, double volume_m3, double sound_m_s) {
  assert(neck_area_m2 > 0 && neck_length_m > 0 && volume_m3 > 0 && sound_m_s > 0);
  return sound_m_s / (2 * pi) * std::sqrt(neck_area_m2 / (volume_m3 * neck_length_m));
}

double flanged_neck_length_m(double length_m, double diameter_m) {
  assert(length_m >= 0 && diameter_m > 0);
  return length_m + 1.7 * diameter_m / 2;
}

TunedLength tuned_length(const ExpansionChamber& pipe) {
  assert(pipe.sound_m_s > 0 && pipe.exhaust_rad > 0 && pipe.crank_rad_s > 0);
  TunedLength out{pipe.sound_m_s / 2 * pipe.exhaust_rad / pipe.crank_rad_s, {}};
  if (pipe.sound_m_s < sound_speed_m_s(kExhaustGas, kCold_k) || pipe.sound_m_s > sound_speed_m_s(kExhaustGas, kHot_k)) {
    out.flags.push_back(CalcFlag::pipe_gas_unusual);
  }
  if (pipe.exhaust_rad < kShort_rad || pipe.exhaust_rad > kLong_rad) {
    out.flags.push_back(CalcFlag::exhaust_duration_unusual);
  }
  return out;
}

double tuned_speed_rad_s(double sound_m_s, double exhaust_rad, double length_m) {
  assert(sound_m_s > 0 && exhaust_rad > 0 && length_m > 0);
  return sound_m_s / 2 * exhaust_rad / length_m;
}

}  // namespace crankwise
