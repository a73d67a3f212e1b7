#include "app/gloss.h"

#include <algorithm>

namespace crankwise {
namespace {

char small(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool in_word(char c) {
  const char s = small(c);
  return (s >= 'a' && s <= 'z') || (s >= '0' && s <= '9') || s == '-' || (static_cast<unsigned char>(c) & 0x80) != 0;
}

/// How long the phrase is at this place of the text, an s at its end allowed for; 0 if it is not there whole.
std::size_t length_at(const std::string& text, std::size_t at, const std::string& phrase) {
  if (at > 0 && in_word(text[at - 1])) return 0;
  if (text.size() - at < phrase.size()) return 0;
  for (std::size_t i = 0; i < phrase.size(); ++i) {
    if (small(text[at + i]) != small(phrase[i])) return 0;
  }
  std::size_t end = at + phrase.size();
  if (end < text.size() && small(text[end]) == 's') ++end;
  return end < text.size() && in_word(text[end]) ? 0 : end - at;
}

struct Met {
  std::size_t at = 0, length = 0;
  const Term* term = nullptr;  // null: a phrase in which the word means something else
};

/// The terms in the text, in order; of those that begin at one place the longest.
std::vector<Met> terms_in(const std::vector<const Term*>& terms, const std::string& text) {
  std::vector<Met> found;
  for (std::size_t at = 0; at < text.size();) {
    Met best{at, 0, nullptr};
    const auto look = [&](const std::string& phrase, const Term* term) {
      const std::size_t length = length_at(text, at, phrase);
      if (length > best.length) best = {at, length, term};
    };
    for (const Term* t : terms) {
      look(t->name, t);
      for (const auto& form : t->forms) look(form, t);
      for (const auto& other : t->not_in) look(other, nullptr);
    }
    if (best.length > 0) found.push_back(best);
    at += std::max<std::size_t>(best.length, 1);
  }
  return found;
}

std::vector<const Term*> all(const Knowledge& k) {
  std::vector<const Term*> terms;
  for (const Term& t : k.terms) terms.push_back(&t);
  return terms;
}

}  // namespace

Gloss::Gloss(const Knowledge& k) : terms_(all(k)) {}

std::string Gloss::operator()(const std::string& text) {
  std::string out;
  std::size_t done = 0;
  for (const Met& m : terms_in(terms_, text)) {
    const std::size_t end = m.at + m.length;
    if (m.term == nullptr || !met_.insert(m.term).second) continue;
    if (text.compare(end, 2, " (") == 0) continue;  // the name explains itself
    out += text.substr(done, end - done) + " (" + m.term->plain + ")";
    done = end;
  }
  return out + text.substr(done);
}

std::vector<std::string> unexplained(const Knowledge& k, const std::string& text) {
  std::string rest = text;
  for (const Met& m : terms_in(all(k), text)) {
    for (std::size_t i = m.at; i < m.at + m.length; ++i) rest[i] = ' ';
  }
  std::vector<std::string> words;
  for (const auto& word : k.jargon) {
    for (std::size_t at = 0; at < rest.size(); ++at) {
      if (length_at(rest, at, word) == 0) continue;
      words.push_back(word);
      break;
    }
  }
  return words;
}

}  // namespace crankwise
