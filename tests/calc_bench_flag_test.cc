// Every flag has a sentence of its own.
#include "core/calc/bench_flag.h"

#include <gtest/gtest.h>

#include <set>
#include <string>

namespace crankwise {
namespace {

TEST(CalcBenchFlag, EveryFlagHasWords) {
  std::set<std::string> sentences;
  constexpr int kFlags = static_cast<int>(BenchFlag::exhaust_duration_unusual) + 1;
  for (int k = 0; k < kFlags; ++k) {
    const std::string words = in_words(static_cast<BenchFlag>(k));
    EXPECT_GT(words.size(), 20u) << k;
    sentences.insert(words);
  }
  EXPECT_EQ(sentences.size(), static_cast<std::size_t>(kFlags));
  EXPECT_TRUE(has({BenchFlag::nothing_held, BenchFlag::outside_table}, BenchFlag::outside_table));
  EXPECT_FALSE(has({BenchFlag::nothing_held}, BenchFlag::outside_table));
}

}  // namespace
}  // namespace crankwise
