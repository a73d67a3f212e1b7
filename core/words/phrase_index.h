// The phrases, made ready, and found again by the ideas in a sentence.
#pragma once

#include <string_view>
#include <utility>
#include <vector>

#include "core/words/match.h"
#include "core/words/reader.h"

namespace crankwise::words {

class PhraseIndex {
 public:
  /// Pairs of target and text.
  explicit PhraseIndex(const std::vector<std::pair<int, std::string_view>>& phrases);

  const Reader& reader() const { return reader_; }
  int target(const Match& match) const { return patterns_[static_cast<size_t>(match.pattern)].target; }
  /// Every phrase heard in the sentence with at least that score, in no order that means anything.
  std::vector<Match> matches(const Sentence& sentence, double least) const;

 private:
  struct Posting {
    int pattern;
    int word;
    double likeness;
  };

  Pattern pattern_of(int target, std::string_view text) const;
  void weigh();

  Reader reader_;
  std::vector<Pattern> patterns_;
  std::vector<std::vector<Posting>> postings_;  // by idea
  double rarest_ = 1;                           // the greatest weight an idea can have
};

}  // namespace crankwise::words
