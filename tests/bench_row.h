// Rows of outside values with what went in, and units to SI and back.
#pragma once

#include <numbers>
#include <vector>

#include "tests/calc_row.h"

namespace crankwise {

struct BenchRow {
  const char* id;  // of the check value
  const char* inputs;
  double got;
  double expected;  // same unit as got
  Within within;
  const char* source;
  const char* standing;
};

inline void hold(const std::vector<BenchRow>& rows) {
  for (const BenchRow& r : rows) {
    SCOPED_TRACE(r.inputs);
    check({{r.id, r.got, r.expected, r.within, r.source, r.standing}});
  }
}

// To SI and back.
inline constexpr double kDeg = std::numbers::pi / 180, kRpm = std::numbers::pi / 30, kMm = 1e-3, kMm2 = 1e-6,
                        kCc = 1e-6;
inline constexpr double kPsi = 6894.757293168, kSeaLevel = 101325, kZeroC = 273.15, kInch = 0.0254,
                        kPerMinute = 1.0 / 60;
inline constexpr double kMillilitre = 1e-6, kLitre = 1e-3, kKmH = 1 / 3.6;

}  // namespace crankwise
