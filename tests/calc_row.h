// A check of a calculation against a value from outside, with where it comes from and how sure we are of that.
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace crankwise {

inline constexpr const char* kRead = "read";          // on the page, or in the open file, of the source
inline constexpr const char* kFromMemory = "memory";  // the source is recalled, its page was not seen
inline constexpr const char* kComputed = "computed";  // apart from this program, from the formula that is stated

/// How far off is allowed.
struct Within {
  double share = 0;     // of the value
  double absolute = 0;  // in its unit
};
inline Within rel(double share) { return {share, 0}; }
inline Within off(double absolute) { return {0, absolute}; }
/// Where the value is printed more coarsely than it would be allowed to differ: half of its last digit.
inline Within rounded_to(double last_digit) { return {0, last_digit / 2}; }

struct CheckRow {
  const char* id;
  double got;
  double expected;
  Within tolerance;
  const char* source;
  const char* standing;
};

inline void check(const std::vector<CheckRow>& rows) {
  for (const CheckRow& row : rows) {
    EXPECT_NEAR(row.got, row.expected, row.tolerance.share * std::abs(row.expected) + row.tolerance.absolute)
        << "row " << row.id << ", " << row.source << ", " << row.standing;
  }
}

}  // namespace crankwise
