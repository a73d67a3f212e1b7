// Spark voltages and energies against textbook constants, measured minima and independent sums.
#include "core/calc/spark.h"

#include "bench_row.h"
#include "core/calc/compression.h"

namespace crankwise {
namespace {

const GapGas kFreeAir;

double kilovolts(const GapGas& gas, double mm) { return spark_need(gas, mm * kMm).volts / 1e3; }

TEST(CalcSpark, NeededVoltage) {
  const char* const source = "Paschen, textbook constants A 15 and B 365 (read)";
  const char* const scaled = "Paschen with density";
  std::vector<BenchRow> rows;
  const double gaps[] = {0.5, 0.6, 0.7, 0.8, 1.0};
  const double free_air[] = {2.880, 3.330, 3.768, 4.198, 5.035}, hot[] = {10.47, 12.21, 13.92, 15.60, 18.89};
  for (int k = 0; k < 5; ++k) {
    rows.push_back({"10.1", "free air, kV", kilovolts(kFreeAir, gaps[k]), free_air[k], rel(1e-3), source, kComputed});
    rows.push_back({"10.3", "10 bar, 600 K", kilovolts({10e5, 600}, gaps[k]), hot[k], rel(1e-3), scaled, kComputed});
  }
  rows.push_back({"10.1", "10 mm, kV", kilovolts(kFreeAir, 10), 35.5, rel(1e-3), source, kComputed});
  rows.push_back({"10.4", "8 bar, 550 K, 0.6 mm", kilovolts({8e5, 550}, 0.6), 10.88, rel(1e-3), scaled, kComputed});
  rows.push_back({"10.4", "15 bar, 650 K, 0.7 mm", kilovolts({15e5, 650}, 0.7), 18.39, rel(1e-3), scaled, kComputed});
  rows.push_back({"10.5", "10 bar, 600 K, 0.6 mm", spark_need_by_engine_rule({10e5, 600}, 0.6 * kMm).volts / 1e3, 9.81,
                  rel(1e-3), "Pashley, Stone and Roberts, SAE 2000-01-0245, not confirmed", kFromMemory});
  hold(rows);
}

TEST(CalcSpark, LeastVoltage) {
  const double least_gap = 0.836 / 760 * 0.01;  // 0.836 Torr cm at 760 Torr, m: 0.0110 mm
  const SparkNeed least = spark_need(kFreeAir, least_gap * 1.001);
  hold({{"10.2", "at 0.836 Torr cm", least.volts, 305, rel(1e-3), "textbook constants (read)", kComputed},
        {"10.2", "measured", least.volts, 327, rel(0.1), "measured, about", kRead}});
  EXPECT_TRUE(least.flags.empty());
  const SparkNeed less = spark_need(kFreeAir, least_gap / 3);
  EXPECT_EQ(less.flags, CalcFlags{CalcFlag::below_least_spark});
  EXPECT_NEAR(less.volts, 305, 0.5);
  for (double mm = 0.012; mm < 1; mm += 0.01) EXPECT_GT(spark_need(kFreeAir, mm * kMm).volts, less.volts);
}

TEST(CalcSpark, TheTwoRulesAgreeAsFarAsEitherIsGood) {
  for (double mm : {0.5, 0.6, 0.7}) {
    const SparkNeed by_air = spark_need({10e5, 600}, mm * kMm),
                    by_engine = spark_need_by_engine_rule({10e5, 600}, mm * kMm);
    EXPECT_NEAR(by_air.low_v / by_air.volts, 0.7, 1e-12) << "30 % either way (row 10.3)";
    EXPECT_NEAR(by_air.high_v / by_air.volts, 1.3, 1e-12);
    EXPECT_GT(by_engine.volts, by_air.low_v);
    EXPECT_LT(by_engine.volts, by_air.high_v);
    EXPECT_EQ(by_engine.flags, CalcFlags{CalcFlag::rule_not_confirmed});
  }
}

TEST(CalcSpark, WiderAndDenserNeedMore) {
  double last = 0;
  for (double mm = 0.1; mm < 12; mm += 0.1) {
    const double volts = spark_need(kFreeAir, mm * kMm).volts;
    EXPECT_GT(volts, last);
    last = volts;
    EXPECT_NEAR(widest_gap_m(kFreeAir, volts) / kMm, mm, 1e-6);
    EXPECT_GT(kilovolts({5e5, 500}, mm), volts / 1e3);
    EXPECT_LT(kilovolts({5e5, 700}, mm), kilovolts({5e5, 500}, mm));
  }
  EXPECT_EQ(widest_gap_m(kFreeAir, 200), 0) << "under Paschen's minimum nothing jumps";
  // Factory spark tests ask for 6 and 8 mm in free air (read): between 20 and 35 kV, as coils give (20 to 40 kV, read).
  EXPECT_GT(kilovolts(kFreeAir, 6), 20);
  EXPECT_LT(kilovolts(kFreeAir, 8), 35);
  // A spark in free air proves little: compressed 8 times the same plug needs over twice as much.
  const CompressedGas hot = compressed(1e5, 300, 8, 1.3);
  EXPECT_GT(kilovolts({hot.pressure_pa, hot.temperature_k}, 0.6), 2 * kilovolts(kFreeAir, 0.6));
}

TEST(CalcSpark, Energies) {
  const char* const capacitor = "C V^2 / 2";
  const char* const coil = "(V / R) (1 - exp(-t R / L))";
  const auto millijoule = [](double microfarad, double volts) {
    return capacitor_energy_j(microfarad * 1e-6, volts) * 1e3;
  };
  std::vector<BenchRow> rows{
      // energies are given to 0.1 mJ, which for 15.5 mJ is coarser than 0.1 %
      {"10.6", "1.0 uF, 200 V", millijoule(1.0, 200), 20.0, rounded_to(0.1), capacitor, kComputed},
      {"10.6", "1.0 uF, 300 V", millijoule(1.0, 300), 45.0, rounded_to(0.1), capacitor, kComputed},
      {"10.6", "0.47 uF, 200 V", millijoule(0.47, 200), 9.4, rounded_to(0.1), capacitor, kComputed},
      {"10.6", "1.5 uF, 250 V", millijoule(1.5, 250), 46.9, rounded_to(0.1), capacitor, kComputed},
      {"10.9", "12 000 rpm, 80 %, ms", dwell_time_s(12000 * kRpm, 1, 0.8) * 1e3, 4.00, off(1e-9), "60 / n", kComputed},
      {"10.10", "0.5 mm at 10 mm", slip_rad(0.5 * kMm, 10 * kMm) / kDeg, 2.865, rel(1e-3), "arc / radius", kComputed},
      {"10.10", "1 mm at 47.5 mm", slip_rad(1 * kMm, 47.5 * kMm) / kDeg, 1.206, rel(1e-3), "arc / radius", kComputed},
  };
  const double dwell[][3] = {{1, 2.786, 15.5}, {2, 5.184, 53.7}, {3, 7.247, 105.0}, {5, 10.553, 222.7}};
  for (const auto& [ms, ampere, energy] : dwell) {
    const CoilCharge charge = coil_charge(4e-3, 0.6, 12, ms * 1e-3);
    rows.push_back({"10.8", "A", charge.current_a, ampere, rel(1e-3), coil, kComputed});
    rows.push_back(
        {"10.8", "mJ", charge.energy_j * 1e3, energy, ms == 1 ? rounded_to(0.1) : rel(1e-3), "L I^2 / 2", kComputed});
  }
  hold(rows);
  EXPECT_NEAR(coil_charge(4e-3, 0.6, 12, 1).current_a, 12 / 0.6, 1e-9) << "it ends at V / R";
  EXPECT_EQ(coil_charge(4e-3, 0.6, 12, 0).energy_j, 0);
  // By hand: a four-stroke that sparks every other turn has twice the time.
  EXPECT_NEAR(dwell_time_s(12000 * kRpm, 0.5, 0.8), 8e-3, 1e-12);
}

}  // namespace
}  // namespace crankwise
