// Standard and humid air, and heights and pressures from them.
#include "core/calc/air.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>
#include <string>

#include "tests/calc_row.h"

namespace crankwise {
namespace {

constexpr double kFoot = 0.3048, kMmHg = 133.322387415;

double celsius(double t) { return t + 273.15; }

constexpr const char* kIso = "ISO 2533 table";
constexpr const char* kAshrae1 = "ASHRAE Fundamentals 2017 chapter 1 table 1";
constexpr const char* kAshrae3 = "ASHRAE Fundamentals 2017 chapter 1 table 3";

TEST(CalcAir, StandardAtmosphere) {
  struct Row {
    const char* id;
    double height, temperature, pressure, density, sound;
    const char *pressure_source, *pressure_standing, *standing;
  };
  const Row rows[] = {
      {"1.1", 0, 288.150, 101325.0, 1.22500, 340.294, kIso, kRead, kRead},
      {"1.2", 500, 284.900, 95460.8, 1.16727, 338.369, kAshrae1, kRead, kFromMemory},
      {"1.3", 1000, 281.650, 89874.6, 1.11164, 336.434, kAshrae1, kRead, kFromMemory},
      {"1.4", 1500, 278.400, 84556.0, 1.05807, 334.487, kIso, kFromMemory, kFromMemory},
      {"1.5", 2000, 275.150, 79495.2, 1.00649, 332.529, kIso, kFromMemory, kFromMemory},
      {"1.6", 3000, 268.650, 70108.5, 0.90912, 328.578, kIso, kFromMemory, kFromMemory},
      {"1.7", 4000, 262.150, 61640.2, 0.81913, 324.579, kAshrae1, kRead, kFromMemory},
  };
  for (const Row& r : rows) {
    const StandardAir air = standard_air(r.height);
    check({{r.id, air.temperature_k, r.temperature, rel(1e-5), kIso, r.standing},
           {r.id, air.pressure_pa, r.pressure, rel(1e-5), r.pressure_source, r.pressure_standing},
           {r.id, air.density_kg_m3, r.density, rel(1e-5), kIso, r.standing},
           {r.id, air.sound_m_s, r.sound, rel(1e-5), kIso, r.standing}});
    EXPECT_TRUE(air.flags.empty()) << r.id;
  }
  check({{"1.8", standard_air(-500).pressure_pa, 107478, off(1), kAshrae1, kRead}});
}

TEST(CalcAir, GeometricHeightAndFeet) {
  const char* formula = "below table 1.1: ISO 2533 with geopotential r z / (r + z)";
  const StandardAir two = standard_air(geopotential_height(2000)), three = standard_air(geopotential_height(3000));
  check({{"1.1a", two.temperature_k, 275.154, off(5e-4), formula, kComputed},
         {"1.1a", two.pressure_pa, 79501.4, rel(1e-5), formula, kComputed},
         {"1.1a", two.density_kg_m3, 1.00655, rel(1e-5), formula, kComputed},
         {"1.1a", three.temperature_k, 268.659, off(5e-4), formula, kComputed},
         {"1.1a", three.pressure_pa, 70121.1, rel(1e-5), formula, kComputed},
         {"1.1a", three.density_kg_m3, 0.90925, rel(1e-5), formula, kComputed}});
  struct Row {
    double feet, pressure, density;
  };
  for (const Row& r :
       {Row{1000, 97717, 1.18955}, {5000, 84307, 1.05555}, {8000, 75262, 0.96287}, {10000, 69682, 0.90464}}) {
    const StandardAir air = standard_air(r.feet * kFoot);
    check({{"1.1b", air.pressure_pa, r.pressure, rel(1e-5), kIso, kComputed},
           {"1.1b", air.density_kg_m3, r.density, rel(1e-5), kIso, kComputed}});
  }
  for (double z = 0; z <= 3000; z += 250) {  // the header says that a height from a map will do
    EXPECT_NEAR(standard_air(z).density_kg_m3 / standard_air(geopotential_height(z)).density_kg_m3, 1, 2e-4) << z;
  }
}

TEST(CalcAir, SaturatedVapour) {
  check({{"1.10", saturation_pressure(celsius(5)), 872.6, rel(3e-4), kAshrae3, kRead},
         {"1.10", saturation_pressure(celsius(25)), 3169.7, rel(3e-4), kAshrae3, kRead},
         {"1.10", saturation_pressure(celsius(50)), 12351.3, rel(3e-4), kAshrae3, kRead},
         {"1.10", saturation_pressure(celsius(100)), 101418, rel(3e-4), kAshrae3, kRead}});
  const char* magnus = "Alduchov and Eskridge 1996, 610.94 exp(17.625 t / (243.04 + t))";
  check({{"1.11", saturation_pressure(celsius(20)), 2333.4, rel(3e-3), magnus, kFromMemory},
         {"1.11", saturation_pressure(celsius(30)), 4236.7, rel(3e-3), magnus, kFromMemory},
         {"1.11", saturation_pressure(celsius(40)), 7374.7, rel(3e-3), magnus, kFromMemory}});
  // The header lets it be used from -30 C on: below freezing that form judges it, over the same supercooled water.
  for (double t = -30; t <= 0; t += 5)
    EXPECT_NEAR(saturation_pressure(celsius(t)) / (610.94 * std::exp(17.625 * t / (243.04 + t))), 1, 6e-3) << t;
}

TEST(CalcAir, MoistDensity) {
  const char* handbook = "mass-metrology handbook, appendix, quoted in open test code";
  check({{"1.12", laboratory_density(730 * kMmHg, celsius(10), 0.4, 400e-6).density_kg_m3, 1.19569, rel(1e-5), handbook,
          kRead},
         {"1.13", laboratory_density(760 * kMmHg, celsius(40), 0.4, 400e-6).density_kg_m3, 1.11497, rel(1e-4), handbook,
          kRead},
         {"1.14", laboratory_density(101325, celsius(20), 0.5).density_kg_m3, 1.19931, rel(1e-5),
          "Picard and others, Metrologia 45 (2008) 149", kComputed}});

  const MoistAir air = air_from_humidity_ratio(95461, celsius(30), 0.020);
  const char* ashrae = "ASHRAE Fundamentals 2017 chapter 1 relations, open test code";
  check({{"1.15", 1 / air.dry_density_kg_m3, 0.940855, rel(3e-4), ashrae, kRead},
         {"1.15", air.density_kg_m3, 1.084120, rel(3e-4), ashrae, kRead}});

  const double ideal = air_from_humidity(101325, celsius(20), 0.5).density_kg_m3;
  check({{"1.16", ideal, 1.19888, rel(5e-4), "textbook two-gas formula", kComputed},
         {"1.16", ideal / laboratory_density(101325, celsius(20), 0.5).density_kg_m3, 1, rel(4e-4), "row 1.14",
          kComputed}});

  const MoistAir dry = air_from_humidity(101325, celsius(30), 0), wet = air_from_humidity(101325, celsius(30), 1);
  check({{"1.20", wet.density_kg_m3 / dry.density_kg_m3, 0.98419, rel(1e-4), "e / p", kComputed},
         {"1.20", wet.dry_density_kg_m3 / dry.dry_density_kg_m3, 0.95819, rel(1e-4), "e / p: oxygen", kComputed}});
}

TEST(CalcAir, DensityAltitude) {
  const char* formula = "H = (T0 / L) (1 - sigma^0.234969)";
  const MoistAir hot = air_from_humidity(89875, celsius(35), 0.6);
  check({{"1.17", hot.density_kg_m3, 1.00166, rel(5e-4), formula, kComputed},
         {"1.17", hot.density_kg_m3 / kStandardDensity, 0.8177, rel(5e-4), formula, kComputed},
         {"1.17", density_altitude(hot.density_kg_m3).height_m, 2048, off(5), formula, kComputed},
         {"1.18", density_altitude(air_from_humidity(101325, celsius(30), 0.8).density_kg_m3).height_m, 656, off(5),
          formula, kComputed},
         {"1.19", density_altitude(air_from_humidity(101325, celsius(5), 0.5).density_kg_m3).height_m, -352, off(5),
          formula, kComputed}});
}

TEST(CalcAir, HeightsComeBack) {
  for (double height = -1500; height <= 10500; height += 500) {
    const StandardAir air = standard_air(height);
    EXPECT_NEAR(pressure_altitude(air.pressure_pa).height_m, height, 1e-6);
    EXPECT_NEAR(density_altitude(air.density_kg_m3).height_m, height, 1e-6);
    EXPECT_NEAR(pressure_from_altimeter_setting(kStandardPressurePa, height).pressure_pa, air.pressure_pa, 1e-6);
    EXPECT_GT(air.pressure_pa, standard_air(height + 1).pressure_pa);
    EXPECT_GT(air.density_kg_m3, standard_air(height + 1).density_kg_m3);
  }
}

TEST(CalcAir, DewPointComesBack) {
  for (double t = -25; t <= 55; t += 5) {
    for (double humidity : {0.05, 0.5, 1.0}) {
      const MoistAir air = air_from_humidity(98000, celsius(t), humidity);
      const MoistAir same = air_from_dew_point(98000, celsius(t), dew_point(air.vapour_pa));
      EXPECT_NEAR(same.density_kg_m3, air.density_kg_m3, 1e-9);
      EXPECT_NEAR(same.relative_humidity(), humidity, 1e-9);
      EXPECT_LE(dew_point(air.vapour_pa), celsius(t) + 1e-9);
    }
  }
}

TEST(CalcAir, VapourAndWarmthThin) {
  double before = 10;
  for (double humidity = 0; humidity <= 1; humidity += 0.1) {
    const double density = air_from_humidity(101325, celsius(35), humidity).density_kg_m3;
    EXPECT_LT(density, before);
    before = density;
  }
  EXPECT_LT(air_from_humidity(101325, celsius(31), 0.5).density_kg_m3,
            air_from_humidity(101325, celsius(30), 0.5).density_kg_m3);
  EXPECT_LT(air_from_humidity(101224, celsius(30), 0.5).density_kg_m3,
            air_from_humidity(101325, celsius(30), 0.5).density_kg_m3);
}

TEST(CalcAir, WeatherReportAgainstTheStandardColumn) {
  // In dry air that is as the standard one says the two must agree, to 8 Pa as the
  // constant 0.0148275 is 0.06 % less than g / (R ln 10).
  for (double height : {0.0, 250.0, 500.0, 750.0}) {
    const StandardAir standard = standard_air(height);
    EXPECT_NEAR(pressure_from_weather_report(kStandardPressurePa, height, standard.temperature_k, 0).pressure_pa,
                standard.pressure_pa, 8);
  }
  // Warm air is lighter, so less is lost by going up. By hand: 101325 exp(-g h / (R Tm)), Tm 303.15 + 1.625 K, h 500 m.
  EXPECT_NEAR(pressure_from_weather_report(101325, 500, 303.15, 0).pressure_pa, 95802, 5);
  EXPECT_GT(pressure_from_weather_report(101325, 500, 303.15, 2000).pressure_pa,
            pressure_from_weather_report(101325, 500, 303.15, 0).pressure_pa);
}

TEST(CalcAir, SaysWhereItDoesNotHold) {
  EXPECT_TRUE(has(standard_air(11100).flags, CalcFlag::height_unusual));
  EXPECT_TRUE(has(standard_air(-2100).flags, CalcFlag::height_unusual));
  EXPECT_TRUE(has(pressure_altitude(20000).flags, CalcFlag::height_unusual));
  EXPECT_TRUE(has(density_altitude(0.3).flags, CalcFlag::height_unusual));
  EXPECT_TRUE(has(pressure_from_altimeter_setting(101325, 11500).flags, CalcFlag::height_unusual));
  EXPECT_TRUE(has(pressure_from_weather_report(101325, 1200, 290, 0).flags, CalcFlag::high_station));
  EXPECT_TRUE(has(air_from_humidity(101325, celsius(65), 0.1).flags, CalcFlag::temperature_unusual));
  EXPECT_TRUE(has(air_from_humidity(101325, celsius(-35), 0.1).flags, CalcFlag::temperature_unusual));
  EXPECT_TRUE(has(air_from_humidity(101325, celsius(20), 1.01).flags, CalcFlag::more_vapour_than_air_holds));
  EXPECT_TRUE(has(air_from_dew_point(101325, celsius(20), celsius(21)).flags, CalcFlag::more_vapour_than_air_holds));
  EXPECT_TRUE(air_from_humidity(101325, celsius(20), 1).flags.empty());
  EXPECT_TRUE(has(laboratory_density(101325, celsius(10), 0.5).flags, CalcFlag::not_laboratory_air));
  EXPECT_TRUE(laboratory_density(101325, celsius(20), 0.5).flags.empty());
}

}  // namespace
}  // namespace crankwise
