// Bytes to words: splitting, endings, distance between spellings. Any bytes are accepted.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace crankwise::words {

/// What stands between a word and the one before it.
enum class Break : std::uint8_t { kNone, kOr, kAnd, kComma, kStop };

struct RawWord {
  std::string form;  // lower case, accents and apostrophes dropped: "Won't" is `wont`
  size_t begin = 0;  // bytes of the text
  size_t end = 0;
  Break before = Break::kNone;
};

std::vector<RawWord> split(std::string_view text);

/// A word without its ending: bogs, bogged, bogging -> bog; surges, surging -> surg. Not a dictionary root.
std::string stem(std::string_view form);

/// Edits that make one word of the other (insert, drop, replace, swap neighbours; no letter twice), or `most` + 1.
int edits(std::string_view a, std::string_view b, int most);

}  // namespace crankwise::words
