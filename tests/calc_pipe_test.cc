// Sound in gas, resonances and tuned lengths against textbooks and independent sums.
#include "core/calc/pipe.h"

#include "bench_row.h"
#include "core/calc/gas.h"

namespace crankwise {
namespace {

TEST(CalcPipe, SpeedOfSound) {
  std::vector<BenchRow> rows;
  const double air[][2] = {{-10, 325.20}, {0, 331.32}, {20, 343.23}, {40, 354.75}, {100, 387.24}};
  for (const auto& [celsius, speed] : air)
    rows.push_back(
        {"4.30", "dry air", sound_speed_m_s(kDryAir, kZeroC + celsius), speed, rel(1e-4), "sqrt(1.4 R T)", kComputed});
  const double exhaust[][2] = {{300, 470.2}, {400, 509.5}, {500, 546.1}, {600, 580.3}};
  for (const auto& [celsius, speed] : exhaust)
    rows.push_back({"4.31", "exhaust gas", sound_speed_m_s(kExhaustGas, kZeroC + celsius), speed, rel(1e-3),
                    "sqrt(1.33 290 T)", kComputed});
  hold(rows);
}

TEST(CalcPipe, Resonances) {
  const double radius = 19 * kMm, area = std::numbers::pi * radius * radius;
  const double neck = flanged_neck_length_m(80 * kMm, 2 * radius);
  const char* const helmholtz = "(c / 2 pi) sqrt(A / (V L))";
  hold({
      {"4.38", "0.3 m", quarter_wave_hz(0.3, 343), 285.83, rel(1e-4), "c / 4 L", kComputed},
      {"4.38", "0.6 m", quarter_wave_hz(0.6, 343), 142.92, rel(1e-4), "c / 4 L", kComputed},
      {"4.38", "1.0 m", quarter_wave_hz(1.0, 343), 85.75, rel(1e-4), "c / 4 L", kComputed},
      {"4.39", "38 x 80 mm, 7.0 L", helmholtz_hz(area, 80 * kMm, 7 * kLitre, 343), 77.69, rel(1e-3), helmholtz,
       kComputed},
      {"4.39", "length + 1.7 r", helmholtz_hz(area, neck, 7 * kLitre, 343), 65.57, rel(1e-3), helmholtz, kComputed},
  });
  for (double hz = 50; hz < 500; hz += 50)
    EXPECT_NEAR(quarter_wave_hz(quarter_wave_length_m(hz, 500), 500), hz, 1e-10) << "there and back";
}

TEST(CalcPipe, ExpansionChamber) {
  const auto millimetres = [](double sound, double deg, double rpm) {
    return tuned_length({sound, deg * kDeg, rpm * kRpm}).length_m / kMm;
  };
  const char* const jennings = "Jennings 1973, L(in) = E0 Vs / N";
  const double feet = 12 * kInch;
  hold({
      {"4.40", "180 deg, 1700 ft/s, 7000 rpm", millimetres(1700 * feet, 180, 7000), 1110.3, rel(1e-3), jennings,
       kFromMemory},
      {"4.40", "in inches", millimetres(1700 * feet, 180, 7000) * kMm / kInch, 43.71, rel(1e-3), jennings, kFromMemory},
      {"4.41", "192 deg, 518.2 m/s, 11 000 rpm", millimetres(518.2, 192, 11000), 753.7, rel(1e-3), jennings, kComputed},
  });
  EXPECT_NEAR(ExpansionChamber{}.sound_m_s, 1700 * feet, 0.1);
  for (double rpm = 6000; rpm < 13000; rpm += 500) {
    EXPECT_LT(millimetres(518, 190, rpm + 500), millimetres(518, 190, rpm));
    EXPECT_GT(millimetres(530, 190, rpm), millimetres(518, 190, rpm));
    EXPECT_NEAR(tuned_speed_rad_s(518, 190 * kDeg, millimetres(518, 190, rpm) * kMm) / kRpm, rpm, 1e-8);
  }
}

TEST(CalcPipe, SaysWhereItDoesNotHold) {
  const double speed = 11000 * kRpm;
  for (double celsius : {201.0, 799.0})
    for (double deg : {141.0, 209.0})
      EXPECT_TRUE(tuned_length({sound_speed_m_s(kExhaustGas, kZeroC + celsius), deg * kDeg, speed}).flags.empty());
  for (double celsius : {199.0, 801.0})
    EXPECT_EQ(tuned_length({sound_speed_m_s(kExhaustGas, kZeroC + celsius), 190 * kDeg, speed}).flags,
              CalcFlags{CalcFlag::pipe_gas_unusual});
  EXPECT_EQ(tuned_length({518, 211 * kDeg, speed}).flags, CalcFlags{CalcFlag::exhaust_duration_unusual});
  EXPECT_EQ(tuned_length({518, 139 * kDeg, speed}).flags, CalcFlags{CalcFlag::exhaust_duration_unusual});
  EXPECT_EQ(tuned_length({343, 190 * kDeg, 11000 * kRpm}).flags, CalcFlags{CalcFlag::pipe_gas_unusual});
  EXPECT_EQ(tuned_length({518, 95 * kDeg, 11000 * kRpm}).flags, CalcFlags{CalcFlag::exhaust_duration_unusual})
      << "half the duration by mistake";
}

}  // namespace
}  // namespace crankwise
