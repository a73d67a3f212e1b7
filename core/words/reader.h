// Text to ideas. Learns the words of the phrases first, so that spelling can be put right towards them.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "core/words/lexicon.h"
#include "core/words/text.h"

namespace crankwise::words {

struct Meaning {
  int idea = -1;
  double likeness = 1;  // 0 to 1; below 1 for a guess at the spelling
};

/// A word, or several that make one idea. Grammar (the, not, and) is gone into the fields.
struct Token {
  std::array<Meaning, 3> meanings{};
  int count = 0;           // of meanings; 0 for a word nobody uses in a phrase
  unsigned traits = 0;     // of the first meaning
  std::uint64_t form = 0;  // hash of the words as written
  size_t first = 0;        // raw words [first, last]
  size_t last = 0;
  Break before = Break::kNone;
  bool negated = false;  // a negation reaches it
  bool head = false;     // ... and it is what the negation stands before: "no *black* smoke"
  bool has = false;      // "has *spark*"
  size_t negator = 0;    // raw word of the negation

  bool is(unsigned trait) const { return (traits & trait) != 0; }
  bool counts() const { return !is(kGlue | kFiller); }
};

struct Reading {
  std::vector<RawWord> raw;
  std::vector<Token> tokens;
};

class Reader {
 public:
  explicit Reader(const std::vector<std::string_view>& phrases);

  Reading read(std::string_view text) const;

  int ideas() const { return static_cast<int>(traits_.size()); }
  unsigned traits(int idea) const { return traits_[static_cast<size_t>(idea)]; }
  /// Ideas that may stand for this one in a phrase of several words; not itself.
  const std::vector<Meaning>& near(int idea) const { return near_[static_cast<size_t>(idea)]; }

 private:
  struct Form {
    int idea = -1;
    int second = -1;  // for compounds: fourstrokes
  };
  struct Spelling {
    std::string form;
    std::uint32_t letters;  // bit set, for a quick no
    Form means;
  };
  struct Sequence {
    std::vector<int> ideas;
    int means;
  };

  int idea_of(std::string_view word, unsigned traits);
  void learn_classes();
  void learn_phrases(const std::vector<std::string_view>& phrases);
  const Form* known(const std::string& form) const;
  std::vector<std::pair<Form, double>> guess(const std::string& form) const;
  std::vector<Token> words_to_tokens(std::vector<RawWord>& raw) const;
  void join_sequences(std::vector<Token>& tokens) const;
  void resolve_grammar(std::vector<Token>& tokens) const;

  std::unordered_map<std::string, Form> exact_;               // as written
  std::unordered_map<std::string, Form> stems_;               // by stem
  std::unordered_set<std::string> ordinary_;                  // forms and stems of words that are no misspelling
  std::unordered_map<std::string, int> class_idea_;           // by name of the class
  std::vector<unsigned> traits_;                              // by idea
  std::vector<std::vector<Meaning>> near_;                    // by idea
  std::vector<Spelling> spellings_;                           // what a guess may be
  std::unordered_map<int, std::vector<Sequence>> sequences_;  // by first idea, longest first
};

}  // namespace crankwise::words
