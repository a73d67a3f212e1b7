// What a refused call says.
#pragma once

#include <gtest/gtest.h>

#include <string>

#include "edge/problem.h"

namespace crankwise::test {

/// What the BadInput says that `body` throws, one line a problem; "" if it throws none. Each problem must say what is
/// wrong and what would be right.
template <class Body>
std::string refusal(Body body) {
  try {
    body();
  } catch (const BadInput& e) {
    for (const Problem& p : e.problems()) EXPECT_FALSE(p.wrong.empty() || p.right.empty()) << e.what();
    return e.what();
  }
  return "";
}

}  // namespace crankwise::test
