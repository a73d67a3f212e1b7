// Rows of outside values: what our function says beside what the source says.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

namespace crankwise {

enum class Standing {
  read,         // on a page or in an open file
  from_memory,  // standard or book recalled, page not seen
  computed,     // by an independent script from the stated formula: judges the code, not the formula
  by_hand,
};

struct Within {
  double relative = 0;
  double absolute = 0;
};
constexpr Within rel(double share) { return {share, 0}; }
constexpr Within to(double absolute) { return {0, absolute}; }

struct BenchRow {
  const char* id;  // of the check value
  const char* inputs;
  double got;
  double expected;  // same unit as got
  Within within;
  const char* source;
  Standing standing;
};

inline void hold(const std::vector<BenchRow>& rows) {
  for (const BenchRow& r : rows) {
    const double off = r.within.absolute + r.within.relative * std::abs(r.expected);
    EXPECT_NEAR(r.got, r.expected, off) << r.id << ": " << r.inputs << " (" << r.source << ")";
  }
}

// To SI and back.
constexpr double kDeg = std::numbers::pi / 180, kRpm = std::numbers::pi / 30, kMm = 1e-3, kMm2 = 1e-6, kCc = 1e-6;
constexpr double kPsi = 6894.757293168, kSeaLevel = 101325, kZeroC = 273.15, kInch = 0.0254, kPerMinute = 1.0 / 60;
constexpr double kMillilitre = 1e-6, kLitre = 1e-3, kKmH = 1 / 3.6;

}  // namespace crankwise
