#include "core/words/words.h"

#include <algorithm>
#include <set>
#include <span>

#include "core/words/phrase_index.h"

namespace crankwise {

namespace {

using words::Break;
using words::Match;
using words::Reading;
using words::Sentence;
using words::Token;

constexpr size_t kLongestSentence = 160;  // tokens; longer ones are cut, so that junk stays cheap
constexpr int kMostPerClause = 4;
constexpr double kFloor = 0.5;     // below this a match is not even a rival
constexpr double kEqual = 0.95;    // of the better score: two targets for the same words may both be asked
constexpr double kOverlap = 0.75;  // ... for some of the same words

bool subset(const std::vector<int>& part, const std::vector<int>& whole) {
  return std::includes(whole.begin(), whole.end(), part.begin(), part.end());
}

bool share(const std::vector<int>& a, const std::vector<int>& b) {
  return std::any_of(a.begin(), a.end(), [&](int t) { return std::binary_search(b.begin(), b.end(), t); });
}

/// Is `m` only another, lesser hearing of the words that `kept` explains better?
bool explained(const Match& m, const Match& kept) {
  if (m.no && !kept.no && share(m.tokens, kept.tokens)) return true;
  if (!subset(m.tokens, kept.tokens)) return share(m.tokens, kept.tokens) && m.score < kOverlap * kept.score;
  if (m.tokens.size() == kept.tokens.size()) return m.score < kEqual * kept.score;
  return !m.circumstance;
}

/// The words heard, in order; one or two words between them are said too, more are "...".
std::string words_heard(std::string_view text, const Reading& reading, const Sentence& sentence, const Match& match) {
  std::set<size_t> heard;
  for (const int t : match.tokens) {
    const Token& token = sentence.tokens()[static_cast<size_t>(t)];
    for (size_t r = token.first; r <= token.last; ++r) heard.insert(r);
    if (token.head) heard.insert(token.negator);
  }
  std::string out;
  size_t next = *heard.begin();
  for (const size_t r : heard) {
    if (r > next + 2) {
      out += "... ";
      next = r;
    }
    for (; next <= r; ++next) {
      const auto& raw = reading.raw[next];
      out.append(text.substr(raw.begin, raw.end - raw.begin)).append(" ");
    }
  }
  out.pop_back();
  return out;
}

/// Of one sentence: best first, one a target, nothing said twice.
std::vector<Match> choose(std::vector<Match> matches, const words::PhraseIndex& index, const Sentence& sentence) {
  std::stable_sort(matches.begin(), matches.end(), [](const Match& a, const Match& b) { return a.rank() > b.rank(); });
  std::vector<Match> kept;
  for (Match& m : matches) {
    int in_clause = 0;
    bool drop = false;
    for (const Match& k : kept) {
      drop = drop || index.target(k) == index.target(m) || explained(m, k);
      in_clause += sentence.clause(k.tokens[0]) == sentence.clause(m.tokens[0]);
    }
    if (!drop && in_clause < kMostPerClause) kept.push_back(std::move(m));
  }
  return kept;
}

std::vector<std::pair<int, std::string_view>> pairs_of(const std::vector<Phrase>& phrases) {
  std::vector<std::pair<int, std::string_view>> out;
  for (const Phrase& phrase : phrases) out.emplace_back(phrase.target, phrase.text);
  return out;
}

}  // namespace

struct Vocabulary::Index {
  words::PhraseIndex phrases;
};

Vocabulary::Vocabulary(const std::vector<Phrase>& phrases)
    : index_(std::make_shared<const Index>(Index{words::PhraseIndex(pairs_of(phrases))})) {}

std::vector<Proposal> Vocabulary::propose(std::string_view text, double least) const {
  const words::PhraseIndex& phrases = index_->phrases;
  const Reading reading = phrases.reader().read(text);
  const std::span<const Token> tokens(reading.tokens);
  std::vector<Proposal> out;
  for (size_t from = 0, to = 0; from < tokens.size(); from = to) {
    to = from + 1;
    while (to < tokens.size() && tokens[to].before != Break::kStop && to - from < kLongestSentence) ++to;
    const Sentence sentence(tokens.subspan(from, to - from));
    // Chosen first and filtered then, so that asking for more certainty never brings what was outdone before.
    for (const Match& m : choose(phrases.matches(sentence, std::min(least, kFloor)), phrases, sentence)) {
      if (m.score < least) continue;
      const int target = phrases.target(m);
      const auto same = std::find_if(out.begin(), out.end(), [&](const Proposal& p) { return p.target == target; });
      if (same != out.end() && same->score >= m.score) continue;
      Proposal proposal{target, m.no, m.score, words_heard(text, reading, sentence, m)};
      if (same != out.end()) {
        *same = std::move(proposal);
      } else {
        out.push_back(std::move(proposal));
      }
    }
  }
  std::stable_sort(out.begin(), out.end(), [](const Proposal& a, const Proposal& b) { return a.score > b.score; });
  return out;
}

}  // namespace crankwise
