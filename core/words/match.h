// How well one phrase is heard in one sentence.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/words/reader.h"

namespace crankwise::words {

struct PhraseWord {
  int idea = -1;
  std::uint64_t form = 0;
  double weight = 0;
  bool needed = true;  // false for a filler beside other words
  bool head = false;   // stands behind the phrase's negation
};

struct SmallWord {
  int idea = -1;
  bool leads = true;  // stands before the word that counts: "in the rain", not "mixed by"
};

/// A phrase made ready for matching.
struct Pattern {
  int target = 0;
  std::vector<PhraseWord> words;
  std::vector<SmallWord> glue;
  double weight = 0;             // of all words
  size_t needed = 0, solid = 0;  // words; solid ones are needed and no particle
  int ands = 0, commas = 0;      // boundaries inside the phrase: "pulls, then dies"
  bool negated = false;
  bool circumstance = true;  // says only when
  bool vague = false;        // one vague word
  bool fillers = false;      // of nothing else
};

constexpr size_t kMostPhraseWords = 16;  // further ones are not looked at

/// A word of the text that may be a word of a phrase.
struct Hit {
  int pattern = 0;
  int token = 0;  // of the sentence
  int word = 0;   // of the pattern
  double likeness = 1;
};

struct Match {
  int pattern = -1;
  bool no = false;  // the text denies it
  bool circumstance = false;
  double score = 0;         // 0 to 1
  std::vector<int> tokens;  // that spoke for it, ascending

  /// One that explains more words may fit a little less well and still go first; a "no" goes last.
  double rank() const;
};

class Sentence {
 public:
  explicit Sentence(std::span<const Token> tokens);

  std::span<const Token> tokens() const { return tokens_; }
  int clause(int token) const { return commas_[static_cast<size_t>(token)]; }

  /// The best place for the pattern, if there is one. `hits` are all of that pattern, by token.
  /// `rarest` is the greatest weight that an idea can have.
  std::optional<Match> best(const Pattern& pattern, std::span<const Hit> hits, double rarest) const;

 private:
  using Places = std::span<const Hit* const>;  // by word of the pattern, null where it is missing

  std::optional<Match> score(const Pattern& pattern, Places at, double rarest) const;
  bool heads_negated(const Pattern& pattern, Places at) const;
  bool heads_affirmed(const Pattern& pattern, Places at) const;
  bool affirmed(size_t token) const;
  bool stands_alone(const Pattern& pattern, size_t token) const;
  double small_words(const Pattern& pattern, size_t from, size_t to) const;

  std::span<const Token> tokens_;
  // Counts up to and with each token, so that what lies between two is a difference.
  std::vector<int> counted_, ands_, commas_;
};

}  // namespace crankwise::words
