#include "core/calc/compression.h"

#include <cassert>
#include <cmath>

namespace crankwise {
namespace {

constexpr double kLeastExponent = 1.20, kMostExponent = 1.30, kSeaLevel_pa = 101325;

double ratio_with(const GaugeTest& t, double dead_m3) { return 1 + t.trapped_m3 / (t.clearance_m3 + dead_m3); }

double ideal_gauge(double ambient_pa, double ratio, double exponent) {
  return ambient_pa * std::expm1(exponent * std::log(ratio));
}

}  // namespace

CompressedGas compressed(double pressure_pa, double temperature_k, double ratio, double exponent) {
  assert(pressure_pa > 0 && temperature_k > 0 && ratio >= 1 && exponent >= 1);
  return {pressure_pa * std::pow(ratio, exponent), temperature_k * std::pow(ratio, exponent - 1)};
}

ExpectedGauge expected_gauge(const GaugeTest& test) {
  assert(test.trapped_m3 > 0 && test.clearance_m3 > 0 && test.dead_m3 >= 0);
  assert(test.ambient_pa > 0 && test.exponent > 0);
  const double ratio = ratio_with(test, test.dead_m3);
  ExpectedGauge out{.gauge_pa = ideal_gauge(test.ambient_pa, ratio, test.exponent),
                    .low_pa = ideal_gauge(test.ambient_pa, ratio, kLeastExponent),
                    .high_pa = ideal_gauge(test.ambient_pa, ratio, kMostExponent),
                    .ratio = ratio,
                    .flags = {}};
  if (test.exponent < kLeastExponent || test.exponent > kMostExponent) {
    out.flags.push_back(CalcFlag::exponent_unusual);
  }
  if (test.ambient_pa < 50e3 || test.ambient_pa > 110e3) out.flags.push_back(CalcFlag::ambient_unusual);
  if (test.decompressor) out.flags.push_back(CalcFlag::decompressor_at_work);
  return out;
}

CorrectedGauge corrected_gauge(const GaugeTest& test, double gauge_pa) {
  assert(gauge_pa >= 0);
  const ExpectedGauge expected = expected_gauge(test);
  const double share = gauge_pa / expected.gauge_pa;
  return {share, share * ideal_gauge(kSeaLevel_pa, ratio_with(test, 0), test.exponent), expected.flags};
}

}  // namespace crankwise
