#include "core/words/match.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdlib>

namespace crankwise::words {

namespace {

// What a loose fit costs, as a factor each.
constexpr double kOtherForm = 0.985;  // same idea, written otherwise
constexpr double kPartOnly = 0.85;    // a word of the phrase is not there
constexpr double kGap = 0.05;         // words between: 1 / (1 + kGap * words)
constexpr double kDisorder = 0.98;    // two words the other way round
constexpr double kOverAnd = 0.96, kOverComma = 0.84;
constexpr double kPairOverAnd = 0.9, kPairOverComma = 0.55;  // two words meet by chance more easily
constexpr double kGlueShare = 0.12;                          // lost if none of the small words is there
constexpr double kNoGlue = 0.5;                              // ... and only one word counts: "in the rain" from "rain"
constexpr double kDenied = 0.92;                             // "does not smoke"
constexpr double kAffirmed = 0.85;                           // "good spark" as a no to "no spark"
constexpr double kOneWord = 0.8;  // score of a perfect fit of no weight; grows towards 1 with weight
// How much of a phrase's weight may be missing. Of two words none may.
constexpr double kMayMissOfThree = 0.25, kMayMiss = 0.35;

}  // namespace

double Match::rank() const {
  return score + 0.07 * std::min(static_cast<double>(tokens.size()), 4.0) - (no ? 0.15 : 0.0);
}

Sentence::Sentence(std::span<const Token> tokens) : tokens_(tokens) {
  int counted = 0, ands = 0, commas = 0;
  for (size_t i = 0; i < tokens.size(); ++i) {
    if (i > 0) {
      ands += tokens[i].before == Break::kAnd || tokens[i].before == Break::kOr;
      commas += tokens[i].before >= Break::kComma;
    }
    counted += tokens[i].counts();
    counted_.push_back(counted);
    ands_.push_back(ands);
    commas_.push_back(commas);
  }
}

/// A vague word counts where no other word stands beside it: "it is dead", not "battery dead". After a small word of
/// the phrase anything may follow: "when hot it dies".
bool Sentence::stands_alone(const Pattern& pattern, size_t token) const {
  const auto free = [](const Token& t) { return t.is(kGlue | kCommon | kCircumstance); };
  for (size_t i = token; i > 0 && tokens_[i].before == Break::kNone; --i) {
    if (tokens_[i - 1].is(kFiller)) continue;
    if (!free(tokens_[i - 1])) return false;
    break;
  }
  if (!pattern.glue.empty()) return true;
  for (size_t i = token + 1; i < tokens_.size() && tokens_[i].before == Break::kNone; ++i) {
    if (tokens_[i].is(kFiller)) continue;
    if (!free(tokens_[i])) return false;
    break;
  }
  return true;
}

/// Does the text say that it is there and right: "good spark", "starts well", "has compression"?
bool Sentence::affirmed(size_t token) const {
  const Token& t = tokens_[token];
  if (t.negated) return false;
  if (t.has && t.is(kThing)) return true;
  if (!t.is(kThing | kDuty)) return false;
  for (size_t i = token < 8 ? 0 : token - 8; i < std::min(tokens_.size(), token + 9); ++i) {
    if (i == token || tokens_[i].negated || !tokens_[i].is(kGood)) continue;
    if (commas_[i] == commas_[token] && ands_[i] == ands_[token] && std::abs(counted_[i] - counted_[token]) <= 2) {
      return true;
    }
  }
  return false;
}

bool Sentence::heads_negated(const Pattern& pattern, Places at) const {
  for (size_t w = 0; w < pattern.words.size(); ++w) {
    if (!pattern.words[w].head || at[w] == nullptr) continue;
    const auto t = static_cast<size_t>(at[w]->token);
    const bool tail = t + 1 < tokens_.size() && tokens_[t + 1].before == Break::kNone && tokens_[t + 1].is(kTail);
    if (!tokens_[t].head || (tail && pattern.needed == 1)) return false;
  }
  return true;
}

bool Sentence::heads_affirmed(const Pattern& pattern, Places at) const {
  for (size_t w = 0; w < pattern.words.size(); ++w) {
    if (pattern.words[w].head && !affirmed(static_cast<size_t>(at[w]->token))) return false;
  }
  return true;
}

/// Factor for the small words of a phrase heard from token `from` to `to`.
double Sentence::small_words(const Pattern& pattern, size_t from, size_t to) const {
  if (pattern.glue.empty()) return 1;
  const size_t start = from < 3 ? 0 : from - 3, stop = std::min(tokens_.size(), to + 4);
  size_t heard = 0;
  for (const SmallWord& small : pattern.glue) {
    const bool one = pattern.needed == 1;
    const size_t first = one && !small.leads ? from + 1 : start;
    const size_t last = one && small.leads ? to : stop;
    for (size_t i = first; i < last; ++i) {
      if (tokens_[i].is(kGlue) && tokens_[i].meanings[0].idea == small.idea) {
        ++heard;
        break;
      }
    }
  }
  if (pattern.needed == 1 && heard == 0) return kNoGlue;
  return 1 - kGlueShare * (1 - static_cast<double>(heard) / static_cast<double>(pattern.glue.size()));
}

std::optional<Match> Sentence::score(const Pattern& pattern, Places at, double rarest) const {
  Match match;
  match.circumstance = pattern.circumstance;
  double covered = 0, missing = 0;
  size_t missed = 0;
  int first = -1, last = -1, before = -1, disorder = 0, counted = 0;
  bool denied = false;
  for (size_t w = 0; w < pattern.words.size(); ++w) {
    const PhraseWord& word = pattern.words[w];
    if (at[w] == nullptr) {
      if (word.head) return std::nullopt;
      missing += word.weight;
      missed += word.needed;
      continue;
    }
    const int t = at[w]->token;
    const Token& token = tokens_[static_cast<size_t>(t)];
    covered += word.weight * at[w]->likeness * (token.form == word.form ? 1 : kOtherForm);
    disorder += t < before;
    before = t;
    first = first < 0 ? t : std::min(first, t);
    last = std::max(last, t);
    counted += token.counts();
    if (!token.is(kFiller) || pattern.fillers) match.tokens.push_back(t);
    if (!pattern.negated && word.needed) {
      denied |= token.is(kCircumstance) ? token.head && pattern.circumstance : token.negated;
    }
  }
  if (first < 0 || match.tokens.empty()) return std::nullopt;
  std::sort(match.tokens.begin(), match.tokens.end());
  const auto from = static_cast<size_t>(first), to = static_cast<size_t>(last);
  const double may_miss = pattern.needed < 3 ? 0 : pattern.needed == 3 ? kMayMissOfThree : kMayMiss;
  if (missed > 0 && missing > may_miss * pattern.weight) return std::nullopt;
  if (disorder > 0 && pattern.commas > 0) return std::nullopt;  // "pulls, then dies" is told in order
  if (pattern.vague && !stands_alone(pattern, static_cast<size_t>(match.tokens[0]))) return std::nullopt;
  const int ands = std::max(0, ands_[to] - ands_[from] - pattern.ands);
  const int commas = std::max(0, commas_[to] - commas_[from] - pattern.commas);
  if (commas > 0 && (missed > 0 || commas > 2)) return std::nullopt;

  const int between = std::max(0, counted_[to] - counted_[from] + tokens_[from].counts() - counted);
  const double coverage = covered / pattern.weight;
  match.score = coverage * coverage / (1 + kGap * between) * std::pow(kDisorder, disorder) *
                std::pow(pattern.solid > 2 ? kOverAnd : kPairOverAnd, ands) *
                std::pow(pattern.solid > 2 ? kOverComma : kPairOverComma, commas) *
                (kOneWord + (1 - kOneWord) * covered / (covered + rarest)) * small_words(pattern, from, to);
  if (missed > 0) match.score *= kPartOnly;
  if (pattern.negated && !heads_negated(pattern, at)) {
    if (missed > 0 || !heads_affirmed(pattern, at)) return std::nullopt;
    match.no = true;
    match.score *= kAffirmed;
  } else if (denied) {
    if (missed > 0) return std::nullopt;
    match.no = true;
    match.score *= kDenied;
  }
  return match;
}

std::optional<Match> Sentence::best(const Pattern& pattern, std::span<const Hit> hits, double rarest) const {
  const size_t size = pattern.words.size();
  const int reach = static_cast<int>(2 * size + 4);  // words that count
  std::optional<Match> best;
  for (size_t start = 0; start < hits.size(); ++start) {
    std::array<const Hit*, kMostPhraseWords> at{};
    std::uint32_t found = 0;
    for (size_t h = start; h < hits.size(); ++h) {
      const Hit& hit = hits[h];
      const auto w = static_cast<size_t>(hit.word);
      if (counted_[static_cast<size_t>(hit.token)] - counted_[static_cast<size_t>(hits[start].token)] > reach) break;
      const bool taken = std::any_of(at.begin(), at.begin() + static_cast<std::ptrdiff_t>(size),
                                     [&](const Hit* other) { return other != nullptr && other->token == hit.token; });
      if (taken || (at[w] != nullptr && at[w]->likeness >= hit.likeness)) continue;
      at[w] = &hit;
      found |= 1u << w;
    }
    if (pattern.needed < 3 && static_cast<size_t>(std::popcount(found)) < pattern.needed) continue;
    std::optional<Match> match = score(pattern, Places(at.data(), size), rarest);
    if (match && (!best || match->score > best->score)) best = std::move(match);
  }
  if (best) best->pattern = hits[0].pattern;
  return best;
}

}  // namespace crankwise::words
