// Copper, meters and sensors against factory examples, published tables and independent sums.
#include "core/calc/electric.h"

#include "bench_row.h"

namespace crankwise {
namespace {

double from_20(double celsius) { return copper_factor(kZeroC + 20, kZeroC + celsius).value; }

TEST(CalcElectric, Copper) {
  const char* const rule = "234.5 rule";
  const Span warm = scaled({720, 1080}, from_20(60));
  std::vector<BenchRow> rows{
      {"3.1", "per K at 20 C", from_20(21) - 1, 0.003929, off(1e-6), "IEC 60028", kRead},
      {"3.1", "to two digits", from_20(21) - 1, 0.00393, off(1e-5), "IEC 60028", kRead},
      {"3.2", "0.1 ohm at 20 C, at 50 C", 0.1 * from_20(50), 0.11179, rel(1e-4), "published worked example", kRead},
      {"3.4", "1180 ohm at 80 C, at 20 C", 1180 / from_20(80), 954.9, rel(1e-4), rule, kComputed},
      {"3.5", "720 ohm at 60 C", warm.low, 833.2, rel(1e-4), rule, kComputed},
      {"3.5", "1080 ohm at 60 C", warm.high, 1249.7, rel(1e-4), rule, kComputed},
      {"3.6", "25 to 100 C", copper_factor(kZeroC + 25, kZeroC + 100).value, 1.289, off(5e-4),
       "published conductor table", kRead},
  };
  const double at[][2] = {{-10, 0.88212}, {0, 0.92141},   {40, 1.07859}, {60, 1.15717},
                          {80, 1.23576},  {100, 1.31434}, {120, 1.39293}};
  for (const auto& [celsius, factor] : at)
    rows.push_back({"3.3", "from 20 C", from_20(celsius), factor, rel(1e-5), rule, kComputed});
  hold(rows);
  for (double c = -40; c <= 140; c += 10)
    EXPECT_NEAR(from_20(c) * copper_factor(kZeroC + c, kZeroC + 20).value, 1, 1e-14) << "there and back";
  for (double fine : {-49.0, 149.0}) EXPECT_TRUE(copper_factor(kZeroC + fine, kZeroC + 20).flags.empty());
  for (double far : {-51.0, 151.0})
    EXPECT_EQ(copper_factor(kZeroC + 20, kZeroC + far).flags, CalcFlags{CalcFlag::copper_far_from_room});
}

TEST(CalcElectric, MeterError) {
  const char* const source = "usual hand-meter sheet, 0.8 % + 2 digits of 0.1 ohm";
  hold({
      {"3.7", "0.3 ohm", meter_error(Meter{}, 0.3), 0.202, off(1e-3), source, kFromMemory},
      {"3.7", "1.0 ohm", meter_error(Meter{}, 1.0), 0.208, off(1e-3), source, kFromMemory},
      {"3.7", "250.0 ohm", meter_error(Meter{}, 250), 2.2, off(1e-3), source, kFromMemory},
  });
}

TEST(CalcElectric, TrapPrimaryTooSmallForTheMeter) {
  // T8: coil primaries of 0.08 to 0.10 and 0.20 to 0.30 ohm (factory, read) are beyond an ordinary meter.
  for (const Span limits : {Span{0.08, 0.10}, Span{0.20, 0.30}})
    for (double reading = 0.2; reading < 0.45; reading += 0.1) {
      const Judged coil = judge_reading({reading, 0.2}, limits, Meter{});
      EXPECT_EQ(coil.flags, CalcFlags{CalcFlag::meter_too_coarse});
      EXPECT_EQ(coil.verdict, MeterVerdict::cannot_tell) << reading;
    }
  const Judged open = judge_reading({5, 0.2}, {0.08, 0.10}, Meter{});
  EXPECT_EQ(open.verdict, MeterVerdict::too_high) << "it can still tell a broken winding";
  const Meter milliohm{.share = 0.01, .digits = 2, .step = 0.001};
  EXPECT_EQ(judge_reading({0.09, 0.0}, {0.08, 0.10}, milliohm).verdict, MeterVerdict::within);
}

TEST(CalcElectric, Verdicts) {
  const Span source_coil{720, 1080};  // 250 two-stroke, factory (read)
  const Meter coarse{.share = 0.008, .digits = 2, .step = 1};
  EXPECT_EQ(judge_reading({900, 0.3}, source_coil, coarse).verdict, MeterVerdict::within);
  EXPECT_TRUE(judge_reading({900, 0.3}, source_coil, coarse).flags.empty());
  EXPECT_EQ(judge_reading({600, 0.3}, source_coil, coarse).verdict, MeterVerdict::too_low);
  EXPECT_EQ(judge_reading({1200, 0.3}, source_coil, coarse).verdict, MeterVerdict::too_high);
  EXPECT_EQ(judge_reading({1085, 0.3}, source_coil, coarse).verdict, MeterVerdict::cannot_tell);
  // Hot and healthy: too high by the cold limits, within by those at 60 C (row 3.5).
  EXPECT_EQ(judge_reading({1180, 0.3}, source_coil, coarse).verdict, MeterVerdict::too_high);
  EXPECT_EQ(judge_reading({1180, 0.3}, scaled(source_coil, from_20(60)), coarse).verdict, MeterVerdict::within);
}

TEST(CalcElectric, LeadsNotRead) {
  // 3.8, common practice: 0.1 to 0.5 ohm.
  const Judged judged = judge_reading({2.4, {}}, {1.6, 3.2}, Meter{});
  EXPECT_EQ(judged.flags, CalcFlags{CalcFlag::leads_not_subtracted});
  EXPECT_NEAR(judged.truth.low, 2.4 - 0.5 - meter_error(Meter{}, 2.4), 1e-12);
  EXPECT_NEAR(judged.truth.high, 2.4 - 0.1 + meter_error(Meter{}, 2.4), 1e-12);
  EXPECT_EQ(judge_reading({0.1, 0.4}, {1.6, 3.2}, Meter{}).truth.low, 0) << "nothing is below 0 ohm";
}

TEST(CalcElectric, CoarseIsWhatCannotPassInTheMiddle) {
  // By hand: in the middle, at 10 ohm, the meter is 0.28 off either way.
  for (const double half : {0.27, 0.29})
    EXPECT_EQ(has(judge_reading({10, {}}, {10 - half, 10 + half}, Meter{}).flags, CalcFlag::meter_too_coarse),
              half < 0.28);
}

// Row 3.9: openly published service table of a 10 k sensor (read), C and ohm.
const NtcTable kTenK = [] {
  NtcTable table;
  const double at[][2] = {{0, 32650}, {10, 19900}, {20, 12490}, {25, 10000}, {30, 8057},  {40, 5327},
                          {50, 3603}, {60, 2488},  {70, 1752},  {80, 1258},  {90, 917.7}, {100, 680}};
  for (const auto& [celsius, ohm] : at) table.push_back({kZeroC + celsius, ohm});
  return table;
}();
constexpr int k0 = 0, k25 = 3, k50 = 6, k80 = 9, k100 = 11;

/// Row 3.12: Steinhart and Hart through 0, 25 and 100 C of that table, C.
double steinhart_hart(double ohm) {
  const double l = std::log(ohm);
  return 1 / (1.125294e-3 + 2.347148e-4 * l + 8.56502e-8 * l * l * l) - kZeroC;
}

TEST(CalcElectric, SensorTable) {
  const char* const source = "openly published service table";
  std::vector<BenchRow> rows;
  for (const NtcRow& row : kTenK) {
    rows.push_back({"3.9", "ohm", ntc_ohm(kTenK, row.kelvin).value, row.ohm, rel(1e-12), source, kRead});
    rows.push_back({"3.9", "K", ntc_kelvin(kTenK, row.ohm).value, row.kelvin, off(1e-9), source, kRead});
  }
  for (const double ohm : {12490.0, 3603.0, 1258.0})
    rows.push_back({"3.12", "at a row", ntc_kelvin(kTenK, ohm).value - kZeroC, steinhart_hart(ohm), off(0.02),
                    "Steinhart and Hart fit", kComputed});
  for (double ohm = 700; ohm < 32000; ohm *= 1.07)
    rows.push_back({"3.12", "between rows", ntc_kelvin(kTenK, ohm).value - kZeroC, steinhart_hart(ohm), off(0.05),
                    "Steinhart and Hart fit", kComputed});
  hold(rows);
  EXPECT_TRUE(ntc_ohm(kTenK, kZeroC + 33).flags.empty());
  EXPECT_EQ(ntc_ohm(kTenK, kZeroC + 110).flags, CalcFlags{CalcFlag::outside_table});
  EXPECT_EQ(ntc_kelvin(kTenK, 40000).flags, CalcFlags{CalcFlag::outside_table});
  // A short and an open circuit are no temperatures; what is said is flagged and stays in bounds.
  EXPECT_NEAR(ntc_kelvin(kTenK, 1e-9).value, 2 * (kZeroC + 100), 1e-9);
  EXPECT_NEAR(ntc_kelvin(kTenK, 1e15).value, kZeroC / 2, 1e-9);
  EXPECT_EQ(ntc_kelvin(kTenK, 1e-9).flags, CalcFlags{CalcFlag::outside_table});
}

TEST(CalcElectric, OneBetaIsNotEnough) {
  const NtcTable two{kTenK[k25], kTenK[k50]};
  const auto wrong = [&](int row) { return (ntc_ohm(two, kTenK[row].kelvin).value / kTenK[row].ohm - 1) * 100; };
  const char* const source = "ln ratio";
  hold({
      {"3.10", "25/50 C", beta_k(kTenK[k25], kTenK[k50]), 3934, off(2), source, kComputed},
      {"3.10", "25/100 C", beta_k(kTenK[k25], kTenK[k100]), 3988, off(2), source, kComputed},
      {"3.10", "0/25 C", beta_k(kTenK[k0], kTenK[k25]), 3855, off(2), source, kComputed},
      {"3.11", "0 C, % off", wrong(k0), 2.5, off(0.1), source, kComputed},
      {"3.11", "80 C, % off", wrong(k80), 1.8, off(0.1), source, kComputed},
      {"3.11", "100 C, % off", wrong(k100), 3.7, off(0.1), source, kComputed},
  });
}

TEST(CalcElectric, TrapSensorThatKeepsNoBeta) {
  // T9 and row 3.14: factory table of a small engine (read). Its 40 C row does not follow the others.
  const NtcTable table{{kZeroC - 20, 15500}, {kZeroC, 5790}, {kZeroC + 20, 2450}, {kZeroC + 40, 1500}};
  hold({
      {"3.14", "-20/0 C", beta_k(table[0], table[1]), 3405, off(2), "from a factory table (read)", kComputed},
      {"3.14", "0/20 C", beta_k(table[1], table[2]), 3443, off(2), "from a factory table (read)", kComputed},
      {"T9", "20/40 C", beta_k(table[2], table[3]), 2250, off(5), "from a factory table (read)", kComputed},
      {"T9", "ohm at 40 C", ntc_ohm(table, kZeroC + 40).value, 1500, rel(1e-12), "factory table", kRead},
  });
  const double by_one_beta = ntc_ohm({table[1], table[2]}, kZeroC + 40).value;
  EXPECT_LT(by_one_beta, 0.8 * 1500) << "one beta would call a good sensor bad";
  EXPECT_TRUE(ntc_ohm(table, kZeroC - 10).flags.empty());
  EXPECT_EQ(ntc_ohm(table, kZeroC + 10).flags, CalcFlags{CalcFlag::table_uneven});
  EXPECT_EQ(ntc_ohm(table, kZeroC + 30).flags, CalcFlags{CalcFlag::table_uneven});
  // Row 3.13: coolant sensor of another make, 2.58 k at 20 C (read): two such sensors are not far apart there.
  EXPECT_NEAR(ntc_ohm(table, kZeroC + 20).value, 2580, 0.06 * 2580);
}

TEST(CalcElectric, SensorThereAndBack) {
  double last = 1e9;
  for (double c = -20; c <= 130; c += 0.7) {
    const double ohm = ntc_ohm(kTenK, kZeroC + c).value;
    EXPECT_LT(ohm, last);
    last = ohm;
    EXPECT_NEAR(ntc_kelvin(kTenK, ohm).value, kZeroC + c, 1e-9);
  }
}

TEST(CalcElectric, ThrottleSensor) {
  const ScaledSpan closed = at_supply({0.58, 0.62}, 5.00, 4.75);
  const Span idle = scaled({0.13, 0.15}, 5000);
  hold({
      {"3.15", "low at 4.75 V", closed.span.low, 0.551, off(1e-3), "factory worked example", kRead},
      {"3.15", "high at 4.75 V", closed.span.high, 0.589, off(1e-3), "factory worked example", kRead},
      {"3.16", "low of 5 k", idle.low, 650, off(1e-9), "factory worked example", kRead},
      {"3.16", "high of 5 k", idle.high, 750, off(1e-9), "factory worked example", kRead},
  });
  EXPECT_TRUE(closed.flags.empty());
  for (double fine : {4.51, 5.49}) EXPECT_TRUE(at_supply({0.58, 0.62}, 5, fine).flags.empty());
  for (double odd : {4.49, 5.51}) EXPECT_EQ(at_supply({0.58, 0.62}, 5, odd).flags, CalcFlags{CalcFlag::supply_unusual});
}

TEST(CalcElectric, WireDrop) {
  // By hand: 2 m of 1 mm2 at 10 A and 20 C: 2 / 58 * 10 = 0.345 V, over the 0.2 V of common practice; 2 mm2 is under
  // it.
  EXPECT_NEAR(wire_drop_v(2, 1 * kMm2, 10, kZeroC + 20).value, 0.3448, 1e-4);
  EXPECT_LT(wire_drop_v(2, 2 * kMm2, 10, kZeroC + 20).value, 0.2);
  EXPECT_NEAR(wire_drop_v(2, 1 * kMm2, 10, kZeroC + 80).value, 0.3448 * 1.23576, 1e-4);
  EXPECT_EQ(wire_drop_v(2, 1 * kMm2, 10, kZeroC + 160).flags, CalcFlags{CalcFlag::copper_far_from_room});
}

}  // namespace
}  // namespace crankwise
