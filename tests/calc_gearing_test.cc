// Gearing, tyres and road load against factory ratios, definitions and independent sums.
#include "core/calc/gearing.h"

#include "bench_row.h"

namespace crankwise {
namespace {

TyreSize tyre(double width_mm, double aspect_percent, double rim_in) {
  return {width_mm * kMm, aspect_percent / 100, rim_in * kInch};
}

double millimetres(const TyreSize& size) { return tyre_circumference(size).free_m / kMm; }

TEST(CalcGearing, Tyres) {
  const char* const source = "pi (rim + 2 width aspect)";
  hold({
      {"11.4", "110/90-19", millimetres(tyre(110, 90, 19)), 2138.2, off(0.1), source, kComputed},
      {"11.4", "100/90-19", millimetres(tyre(100, 90, 19)), 2081.6, off(0.1), source, kComputed},
      {"11.4", "120/80-19", millimetres(tyre(120, 80, 19)), 2119.3, off(0.1), source, kComputed},
      {"11.4", "110/100-18", millimetres(tyre(110, 100, 18)), 2127.5, off(0.1), source, kComputed},
      {"11.4", "80/100-21", millimetres(tyre(80, 100, 21)), 2178.4, off(0.1), source, kComputed},
  });
  const Circumference rear = tyre_circumference(tyre(110, 90, 19));
  EXPECT_NEAR(rear.rolling_low_m / rear.free_m, 0.96, 1e-12) << "11.4: 2 to 4 % less";
  EXPECT_NEAR(rear.rolling_high_m / rear.free_m, 0.98, 1e-12);
}

const Gearing kFourth{{62, 22}, {21, 20}, {48, 14}};  // 450 motocrosser
const Gearing kTop{{63, 19}, {24, 22}, {49, 13}};     // 250F

TEST(CalcGearing, FactoryRatios) {
  const auto km_h = [](const Gearing& gearing, double rpm, const TyreSize& rear) {
    return road_speed_m_s(gearing, tyre_circumference(rear).free_m, rpm * kRpm) / kKmH;
  };
  const char* const big = "from factory ratios (read) of a 450 motocrosser";
  const char* const small = "from factory ratios (read) of a 250F";
  hold({
      {"11.5", "overall", overall_ratio(kFourth), 10.1455, rel(1e-3), big, kComputed},
      {"11.5", "wheel rpm at 9500", wheel_rad_s(kFourth, 9500 * kRpm) / kRpm, 936.4, rel(1e-3), big, kComputed},
      {"11.5", "km/h", km_h(kFourth, 9500, tyre(110, 90, 19)), 120.1, rel(1e-3), big, kComputed},
      {"11.6", "overall", overall_ratio(kTop), 13.6342, rel(1e-3), small, kComputed},
      {"11.6", "km/h at 13 400", km_h(kTop, 13400, tyre(100, 90, 19)), 122.8, rel(1e-3), small, kComputed},
  });
}

TEST(CalcGearing, ThereAndBack) {
  double last = 0;
  for (double rpm = 1000; rpm < 14000; rpm += 500) {
    const double speed = road_speed_m_s(kTop, 2.08, rpm * kRpm);
    EXPECT_GT(speed, last);
    last = speed;
    EXPECT_NEAR(crank_for_speed_rad_s(kTop, 2.08, speed) / kRpm, rpm, 1e-8);
    Gearing shorter = kTop;
    shorter.final_drive.driven += 1;
    EXPECT_LT(road_speed_m_s(shorter, 2.08, rpm * kRpm), speed);
  }
}

const RoadLoad kBike{.mass_kg = 175, .drag_area_m2 = 0.60, .rolling = 0.030, .air_kg_m3 = 1.2, .rotating_share = 0.05};

TEST(CalcGearing, RoadLoad) {
  const char* const source = "P = v (Crr m g + rho CdA v^2 / 2)";
  const double top = top_speed_m_s(kBike, 26000);
  hold({
      {"11.3", "26 kW, m/s", top, 40.50, rel(1e-3), source, kComputed},
      {"11.3", "km/h", top / kKmH, 145.8, rel(1e-3), source, kComputed},
      {"11.7", "20 m/s, 3 m/s2, W", wheel_power_w(kBike, 20, 3), 14935, rel(1e-3), "v (m_eff a + drag)", kComputed},
      {"11.8", "20 m/s", coast_down_m_s2(kBike, 20), 1.064, rel(1e-3), "drag / m_eff", kComputed},
      {"11.8", "10 m/s", coast_down_m_s2(kBike, 10), 0.476, rel(1e-3), "drag / m_eff", kComputed},
  });
  for (double power = 1e3; power < 50e3; power += 1e3) {
    const double speed = top_speed_m_s(kBike, power);
    EXPECT_NEAR(wheel_power_w(kBike, speed, 0), power, 1e-6 * power);
    EXPECT_LT(speed, top_speed_m_s(kBike, power + 1e3));
    EXPECT_NEAR(wheel_power_w(kBike, speed, -coast_down_m_s2(kBike, speed)), 0, 1e-6);
  }
}

TEST(CalcGearing, SaysWhereItDoesNotHold) {
  // 11.1: 0.18 to 0.7 m2 (Cossalter, Motorcycle Dynamics; Katz, Automotive Aerodynamics; read). 11.2: common values.
  EXPECT_TRUE(road_flags(kBike).empty());
  for (double fine : {0.181, 0.699}) EXPECT_TRUE(road_flags({.mass_kg = 175, .drag_area_m2 = fine}).empty());
  for (double odd : {0.179, 0.701})
    EXPECT_EQ(road_flags({.mass_kg = 175, .drag_area_m2 = odd}), CalcFlags{CalcFlag::drag_area_unusual});
  for (double fine : {0.0121, 0.299}) EXPECT_TRUE(road_flags({.mass_kg = 175, .rolling = fine}).empty());
  for (double odd : {0.0119, 0.301})
    EXPECT_EQ(road_flags({.mass_kg = 175, .rolling = odd}), CalcFlags{CalcFlag::rolling_unusual});
}

}  // namespace
}  // namespace crankwise
