// Every flag has a sentence of its own.
#include "core/calc/flag.h"

#include <gtest/gtest.h>

#include <set>
#include <string>

namespace crankwise {
namespace {

TEST(CalcFlag, EveryFlagHasWords) {
  std::set<std::string> sentences;
  constexpr int kFlags = static_cast<int>(CalcFlag::exhaust_duration_unusual) + 1;
  for (int k = 0; k < kFlags; ++k) {
    const std::string words = in_words(static_cast<CalcFlag>(k));
    EXPECT_GT(words.size(), 20u) << k;
    sentences.insert(words);
  }
  EXPECT_EQ(sentences.size(), static_cast<std::size_t>(kFlags));
  EXPECT_TRUE(has({CalcFlag::nothing_held, CalcFlag::outside_table}, CalcFlag::outside_table));
  EXPECT_FALSE(has({CalcFlag::nothing_held}, CalcFlag::outside_table));
}

}  // namespace
}  // namespace crankwise
