// The compression gauge against independent sums and trade ranges.
#include "core/calc/compression.h"

#include "bench_row.h"
#include "core/calc/geometry.h"

namespace crankwise {
namespace {

constexpr double k1500m = 84556.0, k3000m = 70108.5;  // ISO 2533 (rows 1.4 and 1.6)

GaugeTest with_ratio(double trapped, double exponent = 1.25, double ambient_pa = kSeaLevel) {
  return {
      .trapped_m3 = (trapped - 1) * 10 * kCc, .clearance_m3 = 10 * kCc, .ambient_pa = ambient_pa, .exponent = exponent};
}

double psi(double trapped, double exponent, double ambient_pa) {
  return expected_gauge(with_ratio(trapped, exponent, ambient_pa)).gauge_pa / kPsi;
}

TEST(CalcCompression, GaugeByRatioExponentAndHeight) {
  struct Line {
    const char* id;
    double ratio, at[3][3];  // per exponent: sea level, 1500 m, 3000 m
  };
  const Line lines[] = {
      {"7.1", 6.5, {{124.2, 103.6, 85.9}, {137.8, 115.0, 95.4}, {152.8, 127.5, 105.7}}},
      {"7.2", 7.5, {{150.2, 125.4, 103.9}, {167.7, 139.9, 116.0}, {187.0, 156.1, 129.4}}},
      {"7.3", 8.3, {{171.6, 143.2, 118.7}, {192.3, 160.5, 133.1}, {215.4, 179.8, 149.1}}},
      {"7.4", 8.9, {{187.8, 156.7, 130.0}, {211.2, 176.3, 146.1}, {237.3, 198.0, 164.2}}},
      {"7.5", 10.0, {{218.2, 182.1, 151.0}, {246.6, 205.8, 170.7}, {278.5, 232.4, 192.7}}},
  };
  const double exponents[] = {1.20, 1.25, 1.30}, ambient[] = {kSeaLevel, k1500m, k3000m};
  std::vector<BenchRow> rows;
  for (const Line& l : lines)
    for (int e = 0; e < 3; ++e)
      for (int h = 0; h < 3; ++h)
        rows.push_back(
            {l.id, "psi", psi(l.ratio, exponents[e], ambient[h]), l.at[e][h], rel(1e-3), "p (r^n - 1)", kComputed});
  hold(rows);
}

TEST(CalcCompression, HeightAndHose) {
  const GaugeTest hose{.trapped_m3 = 61.8 * kCc, .clearance_m3 = 9.0 * kCc, .dead_m3 = 3.0 * kCc};
  const GaugeTest none{.trapped_m3 = 61.8 * kCc, .clearance_m3 = 9.0 * kCc};
  hold({
      {"7.6", "1500 m", psi(8, 1.2, k1500m) / psi(8, 1.2, kSeaLevel), 0.8345, rel(1e-4), "p / p0", kComputed},
      {"7.6", "3000 m", psi(9, 1.3, k3000m) / psi(9, 1.3, kSeaLevel), 0.6919, rel(1e-4), "p / p0", kComputed},
      {"7.7", "no hose", expected_gauge(none).ratio, 7.867, rel(1e-3), "definition", kComputed},
      {"7.7", "3 cm3 of hose", expected_gauge(hose).ratio, 6.150, rel(1e-3), "definition", kComputed},
  });
}

TEST(CalcCompression, TradeRangesHoldTheUsualRatios) {
  // Trade pages (read): fresh 125s 150 to 200 psi, 250s 170 to 240.
  for (double ratio : {7.5, 7.9, 8.3}) {
    EXPECT_GE(psi(ratio, 1.25, kSeaLevel), 150);
    EXPECT_LE(psi(ratio, 1.25, kSeaLevel), 200);
  }
  for (double ratio : {8.3, 8.9}) {
    EXPECT_GE(psi(ratio, 1.25, kSeaLevel), 170);
    EXPECT_LE(psi(ratio, 1.25, kSeaLevel), 240);
  }
}

TEST(CalcCompression, TrapGaugeFollowsTheTrappedRatio) {
  // T12: by the full ratio of 14.9 a sound 125 would have to show over 400 psi; it shows about 177.
  const CrankTrain train{54 * kMm, 54.5 * kMm, 105 * kMm};
  const CompressionRatios r = compression_ratios(train, 9.0 * kCc, 82 * kDeg);
  const ExpectedGauge sound = expected_gauge({.trapped_m3 = r.trapped_m3, .clearance_m3 = 9.0 * kCc});
  EXPECT_NEAR(sound.ratio, r.trapped, 1e-12);
  EXPECT_NEAR(sound.gauge_pa / kPsi, 177, 3);
  EXPECT_GT(psi(r.full, 1.25, kSeaLevel), 400);
}

TEST(CalcCompression, PolytropicGas) {
  struct Line {
    double exponent, kelvin, ratio;
  };
  std::vector<BenchRow> rows;
  for (const Line& l : {Line{1.40, 689.2, 18.379}, Line{1.35, 621.2, 16.564}, Line{1.30, 559.8, 14.929}}) {
    const CompressedGas gas = compressed(1e5, 300, 8, l.exponent);
    rows.push_back({"4.37", "300 K, ratio 8: K", gas.temperature_k, l.kelvin, rel(1e-4), "p V^n", kComputed});
    rows.push_back({"4.37", "pressure ratio", gas.pressure_pa / 1e5, l.ratio, rel(1e-4), "p V^n", kComputed});
  }
  hold(rows);
}

TEST(CalcCompression, CorrectedReading) {
  // By hand: without a hose 140 psi at 1500 m is 140 / 0.8345 = 167.8 psi at sea level.
  EXPECT_NEAR(corrected_gauge(with_ratio(7.5, 1.25, k1500m), 140 * kPsi).sea_level_pa / kPsi, 167.8, 0.1);
  for (double dead : {0.0, 1.0, 5.0})
    for (double ambient : {k3000m, k1500m, kSeaLevel}) {
      GaugeTest test = with_ratio(7.9, 1.22, ambient);
      test.dead_m3 = dead * kCc;
      const double shown = expected_gauge(test).gauge_pa;
      EXPECT_NEAR(corrected_gauge(test, shown).share, 1, 1e-12);
      EXPECT_NEAR(corrected_gauge(test, shown).sea_level_pa / kPsi, psi(7.9, 1.22, kSeaLevel), 1e-9);
      EXPECT_NEAR(corrected_gauge(test, 0.8 * shown).sea_level_pa / kPsi, 0.8 * psi(7.9, 1.22, kSeaLevel), 1e-9);
    }
}

TEST(CalcCompression, MoreOfEachMovesItTheRightWay) {
  for (double ratio = 2; ratio < 14; ratio += 0.5) {
    EXPECT_LT(psi(ratio, 1.25, kSeaLevel), psi(ratio + 0.5, 1.25, kSeaLevel));
    EXPECT_LT(psi(ratio, 1.20, kSeaLevel), psi(ratio, 1.25, kSeaLevel));
    EXPECT_LT(psi(ratio, 1.25, k1500m), psi(ratio, 1.25, kSeaLevel));
    const ExpectedGauge gauge = expected_gauge(with_ratio(ratio));
    EXPECT_NEAR(gauge.low_pa / kPsi, psi(ratio, 1.20, kSeaLevel), 1e-9);
    EXPECT_NEAR(gauge.high_pa / kPsi, psi(ratio, 1.30, kSeaLevel), 1e-9);
  }
}

TEST(CalcCompression, SaysWhereItDoesNotHold) {
  EXPECT_TRUE(expected_gauge(with_ratio(8)).flags.empty());
  for (double fine : {50.1e3, 109.9e3}) EXPECT_TRUE(expected_gauge(with_ratio(8, 1.25, fine)).flags.empty());
  for (double odd : {49.9e3, 110.1e3})
    EXPECT_EQ(expected_gauge(with_ratio(8, 1.25, odd)).flags, CalcFlags{CalcFlag::ambient_unusual});
  EXPECT_EQ(expected_gauge(with_ratio(8, 1.4)).flags, CalcFlags{CalcFlag::exponent_unusual});
  EXPECT_EQ(expected_gauge(with_ratio(8, 1.1)).flags, CalcFlags{CalcFlag::exponent_unusual});
  EXPECT_EQ(expected_gauge(with_ratio(8, 1.25, 1013.25)).flags, CalcFlags{CalcFlag::ambient_unusual});
  GaugeTest lifted = with_ratio(8);
  lifted.decompressor = true;
  EXPECT_EQ(corrected_gauge(lifted, 60 * kPsi).flags, CalcFlags{CalcFlag::decompressor_at_work});
}

}  // namespace
}  // namespace crankwise
