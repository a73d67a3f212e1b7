// Air: the standard one by height, and that of today.
//
//   const MoistAir today = air_from_humidity(89875, 303.15, 0.40);   // what the barometer shows here, 30 C, 40 %
//   density_altitude(today.density_kg_m3).height_m;                  // so thin it is only at this height, as a rule
//
// Standard atmosphere: ISO 2533, which ICAO Doc 7488 and the US Standard Atmosphere 1976 share below 11 km. Temperature
// falls from 288.15 K by 6.5 K a km; pressure p0 (T / T0)^(g / (R L)). Heights are geopotential metres above the sea;
// up to 3000 m a height from a map will do (density within 0.02 %).
//
// Humid air: ideal gases, density (p - e) / (R T) + e / (Rv T) with e the pressure of the vapour (textbook). Relative
// humidity is over water also below freezing, as weather services give it.
//
// Pressure in Pa, temperature in K, density in kg/m3, relative humidity 0 to 1.
#pragma once

#include "core/calc/flag.h"

namespace crankwise {

inline constexpr double kStandardTemperatureK = 288.15;
inline constexpr double kStandardPressurePa = 101325;
inline constexpr double kDryAirGas = 287.05287;  // J/(kg K), ISO 2533
inline constexpr double kVapourGas = 461.495;    // J/(kg K)
inline constexpr double kStandardDensity = kStandardPressurePa / (kDryAirGas * kStandardTemperatureK);  // 1.225 kg/m3
inline constexpr double kGravity = 9.80665;                                                             // m/s2

struct StandardAir {
  double temperature_k = 0;
  double pressure_pa = 0;
  double density_kg_m3 = 0;
  double sound_m_s = 0;
  CalcFlags flags;
};

/// The standard atmosphere at this height; below 44 km.
StandardAir standard_air(double geopotential_m);

/// Geopotential for geometric height: r z / (r + z), r = 6356.766 km.
double geopotential_height(double geometric_m);

/// Pressure of saturated vapour over water: Hyland and Wexler 1983, as in ASHRAE Fundamentals 2017 chapter 1
/// equation 6.
double saturation_pressure(double temperature_k);

/// Temperature at which this vapour would begin to fall as dew, 200 to 470 K; vapour_pa above 0.
double dew_point(double vapour_pa);

struct MoistAir {
  double pressure_pa = 0;
  double temperature_k = 0;
  double vapour_pa = 0;
  double density_kg_m3 = 0;      // all of it
  double dry_density_kg_m3 = 0;  // of that what is not vapour: what burns fuel
  CalcFlags flags;
  double dry_pressure_pa() const { return pressure_pa - vapour_pa; }
  double relative_humidity() const { return vapour_pa / saturation_pressure(temperature_k); }
};

/// The vapour must have less pressure than the whole.
MoistAir air_from_humidity(double pressure_pa, double temperature_k, double relative_humidity);
MoistAir air_from_dew_point(double pressure_pa, double temperature_k, double dew_point_k);
/// Humidity ratio: kg of vapour to a kg of dry air, e = p W / (R / Rv + W).
MoistAir air_from_humidity_ratio(double pressure_pa, double temperature_k, double ratio);

/// Density of a balance room's air by CIPM-2007 (Picard and others, Metrologia 45, 2008, 149), which knows that air is
/// not quite an ideal gas: 0.04 % denser than above. `co2` is the mole fraction of carbon dioxide.
struct LaboratoryDensity {
  double density_kg_m3 = 0;
  CalcFlags flags;
};
LaboratoryDensity laboratory_density(double pressure_pa, double temperature_k, double relative_humidity,
                                     double co2 = 400e-6);

struct Altitude {
  double height_m = 0;  // geopotential
  CalcFlags flags;
};

/// Height at which the standard atmosphere has this pressure: (T0 / L) (1 - (p / p0)^(R L / g)).
Altitude pressure_altitude(double pressure_pa);

/// Height at which it has this density: (T0 / L) (1 - (rho / rho0)^0.234969).
Altitude density_altitude(double density_kg_m3);

struct StationPressure {
  double pressure_pa = 0;
  CalcFlags flags;
};

/// Pressure here from the altimeter setting (QNH) of an airfield near by: the standard column between (ICAO Doc 7488).
StationPressure pressure_from_altimeter_setting(double setting_pa, double geopotential_m);

/// Pressure here from the sea-level pressure of a weather report (QFF), which is reckoned with the air as it is:
/// log10(p0 / p) = 0.0148275 h / (T + 0.00325 h + 0.0012 e), h in m, e in Pa; WMO-No. 8 (from memory).
StationPressure pressure_from_weather_report(double sea_level_pa, double geopotential_m, double temperature_k,
                                             double vapour_pa);

}  // namespace crankwise
