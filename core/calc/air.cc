#include "core/calc/air.h"

#include <cassert>
#include <cmath>

namespace crankwise {
namespace {

constexpr double kLapse = 0.0065;                                    // K/m
constexpr double kEarthRadius = 6356766;                             // m, ISO 2533
constexpr double kIceZero = 273.15;                                  // K
constexpr double kPressurePower = kGravity / (kDryAirGas * kLapse);  // 5.25588

CalcFlags height_flags(double height_m) {
  if (height_m < -2000 || height_m > 11000) return {CalcFlag::height_unusual};
  return {};
}

MoistAir air_from_vapour(double pressure_pa, double temperature_k, double vapour_pa) {
  assert(pressure_pa > 0 && temperature_k > 0 && vapour_pa >= 0 && vapour_pa < pressure_pa);
  MoistAir air{.pressure_pa = pressure_pa, .temperature_k = temperature_k, .vapour_pa = vapour_pa, .flags = {}};
  air.dry_density_kg_m3 = (pressure_pa - vapour_pa) / (kDryAirGas * temperature_k);
  air.density_kg_m3 = air.dry_density_kg_m3 + vapour_pa / (kVapourGas * temperature_k);
  if (temperature_k < kIceZero - 30 || temperature_k > kIceZero + 60)
    air.flags.push_back(CalcFlag::temperature_unusual);
  if (vapour_pa > saturation_pressure(temperature_k) * (1 + 1e-9))
    air.flags.push_back(CalcFlag::more_vapour_than_air_holds);
  return air;
}

}  // namespace

StandardAir standard_air(double geopotential_m) {
  assert(geopotential_m < 44000);
  const double temperature = kStandardTemperatureK - kLapse * geopotential_m;
  const double pressure = kStandardPressurePa * std::pow(temperature / kStandardTemperatureK, kPressurePower);
  return {temperature, pressure, pressure / (kDryAirGas * temperature), std::sqrt(1.4 * kDryAirGas * temperature),
          height_flags(geopotential_m)};
}

double geopotential_height(double geometric_m) {
  assert(geometric_m > -kEarthRadius);
  return kEarthRadius * geometric_m / (kEarthRadius + geometric_m);
}

double saturation_pressure(double temperature_k) {
  assert(temperature_k > 0);
  const double t = temperature_k;
  return std::exp(-5.8002206e3 / t + 1.3914993 - 4.8640239e-2 * t + 4.1764768e-5 * t * t - 1.4452093e-8 * t * t * t +
                  6.5459673 * std::log(t));
}

double dew_point(double vapour_pa) {
  assert(vapour_pa > 0);
  double low = 200, high = 470;
  for (int k = 0; k < 50; ++k) {
    const double mid = 0.5 * (low + high);
    (saturation_pressure(mid) < vapour_pa ? low : high) = mid;
  }
  return 0.5 * (low + high);
}

MoistAir air_from_humidity(double pressure_pa, double temperature_k, double relative_humidity) {
  return air_from_vapour(pressure_pa, temperature_k, relative_humidity * saturation_pressure(temperature_k));
}

MoistAir air_from_dew_point(double pressure_pa, double temperature_k, double dew_point_k) {
  return air_from_vapour(pressure_pa, temperature_k, saturation_pressure(dew_point_k));
}

MoistAir air_from_humidity_ratio(double pressure_pa, double temperature_k, double ratio) {
  assert(ratio >= 0);
  return air_from_vapour(pressure_pa, temperature_k, pressure_pa * ratio / (kDryAirGas / kVapourGas + ratio));
}

LaboratoryDensity laboratory_density(double pressure_pa, double temperature_k, double relative_humidity, double co2) {
  assert(pressure_pa > 0 && temperature_k > 0 && relative_humidity >= 0 && co2 >= 0 && co2 < 1);
  const double p = pressure_pa, big_t = temperature_k, t = temperature_k - kIceZero;
  const double saturated =
      std::exp(1.2378847e-5 * big_t * big_t - 1.9121316e-2 * big_t + 33.93711047 - 6.3431645e3 / big_t);
  const double enhancement = 1.00062 + 3.14e-8 * p + 5.6e-7 * t * t;
  const double xv = relative_humidity * enhancement * saturated / p;  // mole fraction of vapour
  const double first = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t;
  const double mixed = (5.707e-6 - 2.051e-8 * t) * xv + (1.9898e-4 - 2.376e-6 * t) * xv * xv;
  const double compressibility =
      1 - p / big_t * (first + mixed) + p * p / (big_t * big_t) * (1.83e-11 - 0.765e-8 * xv * xv);
  const double dry_molar_mass = 28.96546e-3 + 12.011e-3 * (co2 - 400e-6);
  LaboratoryDensity result;
  result.density_kg_m3 =
      p * dry_molar_mass / (compressibility * 8.314472 * big_t) * (1 - xv * (1 - 18.01528e-3 / dry_molar_mass));
  if (t < 15 || t > 27 || p < 60000 || p > 110000) result.flags.push_back(CalcFlag::not_laboratory_air);
  return result;
}

Altitude pressure_altitude(double pressure_pa) {
  assert(pressure_pa > 0);
  const double height =
      kStandardTemperatureK / kLapse * (1 - std::pow(pressure_pa / kStandardPressurePa, 1 / kPressurePower));
  return {height, height_flags(height)};
}

Altitude density_altitude(double density_kg_m3) {
  assert(density_kg_m3 > 0);
  const double height =
      kStandardTemperatureK / kLapse * (1 - std::pow(density_kg_m3 / kStandardDensity, 1 / (kPressurePower - 1)));
  return {height, height_flags(height)};
}

StationPressure pressure_from_altimeter_setting(double setting_pa, double geopotential_m) {
  const StandardAir here = standard_air(pressure_altitude(setting_pa).height_m + geopotential_m);
  return {here.pressure_pa, here.flags};
}

StationPressure pressure_from_weather_report(double sea_level_pa, double geopotential_m, double temperature_k,
                                             double vapour_pa) {
  assert(sea_level_pa > 0 && temperature_k > 0 && vapour_pa >= 0);
  const double column_k =
      temperature_k + 0.5 * kLapse * geopotential_m + 0.0012 * vapour_pa;  // mean virtual temperature
  assert(column_k > 0);
  StationPressure here{sea_level_pa * std::pow(10, -0.0148275 * geopotential_m / column_k), {}};
  if (geopotential_m > 750) here.flags.push_back(CalcFlag::high_station);
  return here;
}

}  // namespace crankwise
