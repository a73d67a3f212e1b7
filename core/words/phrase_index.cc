#include "core/words/phrase_index.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace crankwise::words {

namespace {

// Shares of an idea's weight. Raised, small words decide; lowered to nothing, "cuts out" is heard in "cuts".
constexpr double kFillerShare = 0.4, kParticleShare = 0.6, kCommonShare = 0.35;

std::vector<std::string_view> texts_of(const std::vector<std::pair<int, std::string_view>>& phrases) {
  std::vector<std::string_view> out;
  for (const auto& [target, text] : phrases) out.push_back(text);
  return out;
}

}  // namespace

PhraseIndex::PhraseIndex(const std::vector<std::pair<int, std::string_view>>& phrases) : reader_(texts_of(phrases)) {
  for (const auto& [target, text] : phrases) {
    Pattern pattern = pattern_of(target, text);
    if (!pattern.words.empty()) patterns_.push_back(std::move(pattern));
  }
  weigh();
  postings_.resize(static_cast<size_t>(reader_.ideas()));
  for (size_t p = 0; p < patterns_.size(); ++p) {
    for (size_t w = 0; w < patterns_[p].words.size(); ++w) {
      const int idea = patterns_[p].words[w].idea, pattern = static_cast<int>(p), word = static_cast<int>(w);
      postings_[static_cast<size_t>(idea)].push_back({pattern, word, 1});
      if (patterns_[p].solid < 2) continue;  // a word that stands in for another needs company
      for (const Meaning& other : reader_.near(idea)) {
        postings_[static_cast<size_t>(other.idea)].push_back({pattern, word, other.likeness});
      }
    }
  }
}

Pattern PhraseIndex::pattern_of(int target, std::string_view text) const {
  Pattern pattern;
  pattern.target = target;
  const Reading reading = reader_.read(text);
  const bool all_small =
      std::none_of(reading.tokens.begin(), reading.tokens.end(), [](const Token& t) { return !t.is(kGlue); });
  for (size_t i = 0; i < reading.tokens.size() && pattern.words.size() < kMostPhraseWords; ++i) {
    const Token& token = reading.tokens[i];
    if (i > 0) {
      pattern.ands += token.before == Break::kAnd || token.before == Break::kOr;
      pattern.commas += token.before >= Break::kComma;
    }
    const int idea = token.meanings[0].idea;
    if (token.count == 0) continue;
    if (token.is(kGlue) && !all_small) {
      pattern.glue.push_back({idea, pattern.needed == 0});
      continue;
    }
    const bool needed = all_small || !token.is(kFiller);
    pattern.words.push_back({idea, token.form, 0, needed, token.head});
    pattern.needed += needed;
    pattern.solid += needed && !token.is(kParticle);
    pattern.negated |= token.head;
    pattern.circumstance &= !needed || token.is(kCircumstance);
    pattern.vague |= token.is(kVague);
  }
  pattern.vague &= pattern.needed == 1;
  pattern.fillers = pattern.needed == 0;
  if (pattern.needed <= 1) {  // "getting worse" is more than "worse"
    for (PhraseWord& word : pattern.words) word.needed = true;
  }
  return pattern;
}

void PhraseIndex::weigh() {
  std::vector<std::set<int>> users(static_cast<size_t>(reader_.ideas()));
  std::set<int> targets;
  for (const Pattern& pattern : patterns_) {
    targets.insert(pattern.target);
    for (const PhraseWord& word : pattern.words) users[static_cast<size_t>(word.idea)].insert(pattern.target);
  }
  const auto all = static_cast<double>(targets.size());
  rarest_ = std::log(1 + std::max(all, 1.0));
  for (Pattern& pattern : patterns_) {
    for (PhraseWord& word : pattern.words) {
      const unsigned traits = reader_.traits(word.idea);
      word.weight = std::log(1 + all / static_cast<double>(users[static_cast<size_t>(word.idea)].size()));
      if (traits & kFiller) word.weight *= kFillerShare;
      if (traits & kParticle) word.weight *= kParticleShare;
      if (traits & kCommon) word.weight *= kCommonShare;
      pattern.weight += word.weight;
    }
  }
}

std::vector<Match> PhraseIndex::matches(const Sentence& sentence, double least) const {
  std::vector<Hit> hits;
  for (size_t t = 0; t < sentence.tokens().size(); ++t) {
    const Token& token = sentence.tokens()[t];
    for (int m = 0; m < token.count; ++m) {
      const Meaning& meaning = token.meanings[static_cast<size_t>(m)];
      for (const Posting& p : postings_[static_cast<size_t>(meaning.idea)]) {
        hits.push_back({p.pattern, static_cast<int>(t), p.word, p.likeness * meaning.likeness});
      }
    }
  }
  std::stable_sort(hits.begin(), hits.end(), [](const Hit& a, const Hit& b) { return a.pattern < b.pattern; });
  std::vector<Match> out;
  for (size_t from = 0, to = 0; from < hits.size(); from = to) {
    while (to < hits.size() && hits[to].pattern == hits[from].pattern) ++to;
    const Pattern& pattern = patterns_[static_cast<size_t>(hits[from].pattern)];
    std::optional<Match> match = sentence.best(pattern, std::span(hits).subspan(from, to - from), rarest_);
    if (match && match->score >= least) out.push_back(std::move(*match));
  }
  return out;
}

}  // namespace crankwise::words
