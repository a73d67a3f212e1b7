#include "core/words/reader.h"

#include <algorithm>
#include <bit>

namespace crankwise::words {

namespace {

constexpr unsigned kGrammar = kVoid | kGlue | kNot | kWithout | kHas | kBreakOr | kBreakAnd | kBreakComma;
constexpr size_t kLongestGuess = 32;  // letters; longer words are not looked up by likeness
constexpr size_t kNegationReach = 3;  // words that count, after the negation

std::vector<std::string_view> parts(std::string_view text, char by) {
  std::vector<std::string_view> out;
  while (!text.empty()) {
    const size_t end = std::min(text.find(by), text.size());
    if (end > 0) out.push_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

std::uint64_t hash_of(std::string_view form, std::uint64_t seed = 0xcbf29ce484222325ull) {
  for (const char c : form) seed = (seed ^ static_cast<unsigned char>(c)) * 0x100000001b3ull;
  return seed;
}

bool only_letters(std::string_view w) {
  return std::all_of(w.begin(), w.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

bool only_digits(std::string_view w) {
  return !w.empty() && std::none_of(w.begin(), w.end(), [](char c) { return c >= 'a' && c <= 'z'; });
}

std::uint32_t letters_of(std::string_view w) {
  std::uint32_t set = 0;
  for (const char c : w) set |= c >= 'a' && c <= 'z' ? 1u << (c - 'a') : 1u << 26;
  return set;
}

/// How much a guess is worth, 0 for none. One edit from 4 letters, two from 8; the first letter mostly right.
double likeness(std::string_view typed, std::string_view meant) {
  const size_t shorter = std::min(typed.size(), meant.size());
  if (shorter < 4) return 0;
  const int distance = edits(typed, meant, shorter < 8 ? 1 : 2);
  if (distance > (shorter < 8 ? 1 : 2)) return 0;
  if (distance == 0) return 1;
  double worth = distance == 2 ? 0.80 : shorter >= 6 ? 0.92 : shorter == 5 ? 0.86 : 0.80;
  if (typed[0] != meant[0]) {
    const bool swapped = typed[0] == meant[1] && typed[1] == meant[0];
    if (distance > 1 || (shorter < 6 && !swapped)) return 0;
    worth -= 0.06;
  }
  return worth;
}

}  // namespace

Reader::Reader(const std::vector<std::string_view>& phrases) {
  learn_classes();
  learn_phrases(phrases);
  for (const auto& [form, means] : exact_) {
    if (form.size() >= 4 && only_letters(form)) spellings_.push_back({form, letters_of(form), means});
  }
  std::sort(spellings_.begin(), spellings_.end(), [](const auto& a, const auto& b) { return a.form < b.form; });
  near_.resize(traits_.size());
}

int Reader::idea_of(std::string_view word, unsigned traits) {
  const std::string form(word), root = stem(word);
  if (const auto it = exact_.find(form); it != exact_.end()) return it->second.idea;
  const auto it = stems_.find(root);
  const int idea = it != stems_.end() ? it->second.idea : ideas();
  if (it == stems_.end()) {
    traits_.push_back(only_digits(form) ? static_cast<unsigned>(kFiller) : traits);
    stems_[root] = {idea};
  }
  exact_[form] = {idea};
  return idea;
}

void Reader::learn_classes() {
  for (const WordClass& c : word_classes()) {
    const int idea = ideas();
    traits_.push_back(c.traits);
    class_idea_[std::string(c.name)] = idea;
    for (const std::string_view word : parts(c.words, ' ')) {
      const bool as_written = word[0] == '=';
      const std::string form(as_written ? word.substr(1) : word);
      exact_.try_emplace(form, Form{idea});
      if (!as_written) stems_.try_emplace(stem(form), Form{idea});
    }
  }
  for (const WordClass& c : word_classes()) {
    for (const std::string_view text : parts(c.sequences, ';')) {
      Sequence sequence{{}, class_idea_[std::string(c.name)]};
      for (const RawWord& word : split(text)) {
        const int idea = idea_of(word.form, kPlain);
        if (!(traits(idea) & kVoid)) sequence.ideas.push_back(idea);
      }
      if (sequence.ideas.size() > 1) sequences_[sequence.ideas[0]].push_back(std::move(sequence));
    }
  }
  for (auto& [first, list] : sequences_) {
    std::stable_sort(list.begin(), list.end(),
                     [](const auto& a, const auto& b) { return a.ideas.size() > b.ideas.size(); });
  }
  for (const std::string_view word : parts(ordinary_words(), ' ')) {
    ordinary_.insert(std::string(word));
    ordinary_.insert(stem(word));
  }
  std::vector<std::vector<Meaning>> near;
  for (const NearClass& c : near_classes()) {
    std::vector<int> members;
    for (const std::string_view name : parts(c.names, ' ')) {
      const auto it = class_idea_.find(std::string(name));
      members.push_back(it != class_idea_.end() ? it->second : idea_of(name, kPlain));
    }
    near.resize(traits_.size());
    for (const int a : members) {
      for (const int b : members) {
        if (a != b) near[static_cast<size_t>(a)].push_back({b, c.likeness});
      }
    }
  }
  near_ = std::move(near);
}

void Reader::learn_phrases(const std::vector<std::string_view>& phrases) {
  std::vector<std::vector<RawWord>> texts;
  for (const std::string_view phrase : phrases) texts.push_back(split(phrase));
  for (const auto& words : texts) {
    for (const RawWord& word : words) idea_of(word.form, kPlain);
  }
  for (const auto& words : texts) {
    for (size_t i = 1; i < words.size(); ++i) {
      const std::string& a = words[i - 1].form;
      const std::string& b = words[i].form;
      const std::string joined = a + b;
      if (words[i].before != Break::kNone || joined.size() < 6 || a.size() < 2 || b.size() < 2) continue;
      if (!only_letters(joined) || exact_.count(joined)) continue;
      const Form form{exact_[a].idea, exact_[b].idea};
      if ((traits(form.idea) | traits(form.second)) & kGrammar) continue;
      exact_[joined] = form;
      stems_.try_emplace(stem(joined), form);
    }
  }
}

const Reader::Form* Reader::known(const std::string& form) const {
  if (const auto it = exact_.find(form); it != exact_.end()) return &it->second;
  if (const auto it = stems_.find(stem(form)); it != stems_.end()) return &it->second;
  return nullptr;
}

/// The meanings of the spellings that are nearest, at most three.
std::vector<std::pair<Reader::Form, double>> Reader::guess(const std::string& form) const {
  std::vector<std::pair<Form, double>> out;
  if (form.size() < 4 || form.size() > kLongestGuess || !only_letters(form)) return out;
  if (ordinary_.count(form) || ordinary_.count(stem(form))) return out;
  const std::uint32_t letters = letters_of(form);
  double best = 0.01;
  for (const Spelling& s : spellings_) {
    const size_t longer = std::max(form.size(), s.form.size()), shorter = std::min(form.size(), s.form.size());
    if (longer - shorter > 2 || std::popcount(letters ^ s.letters) > 4) continue;
    const double worth = likeness(form, s.form);
    if (worth < best) continue;
    if (worth > best) out.clear();
    best = worth;
    const bool seen = std::any_of(out.begin(), out.end(), [&](const auto& o) {
      return o.first.idea == s.means.idea && o.first.second == s.means.second;
    });
    if (!seen && out.size() < 3) out.emplace_back(s.means, worth);
  }
  const auto last_resort = [&](const auto& o) {  // a word that says something first, one that cuts the clause last
    return !(traits(o.first.idea) & kGrammar) ? 0 : traits(o.first.idea) & kGlue ? 1 : 2;
  };
  std::stable_sort(out.begin(), out.end(),
                   [&](const auto& x, const auto& y) { return last_resort(x) < last_resort(y); });
  return out;
}

std::vector<Token> Reader::words_to_tokens(std::vector<RawWord>& raw) const {
  std::vector<Token> out;
  std::unordered_map<std::string, std::vector<std::pair<Form, double>>> guesses;
  Break pending = Break::kNone;
  for (size_t i = 0; i < raw.size(); ++i) {
    Token token;
    token.first = token.last = i;
    token.before = std::max(pending, raw[i].before);
    token.form = hash_of(raw[i].form);
    pending = Break::kNone;
    const Form* form = nullptr;
    if (i + 1 < raw.size() && raw[i + 1].before == Break::kNone && raw[i].form.size() + raw[i + 1].form.size() >= 7 &&
        raw[i].form.size() < kLongestGuess && raw[i + 1].form.size() < kLongestGuess && raw[i + 1].form.size() > 2) {
      const std::string joined = raw[i].form + raw[i + 1].form;  // back fires
      form = known(joined);
      if (form != nullptr && form->second >= 0) form = nullptr;
      if (form != nullptr) {
        token.form = hash_of(joined);
        token.last = ++i;
      }
    }
    if (form == nullptr) form = known(raw[i].form);
    Form second;
    if (form != nullptr) {
      token.meanings[0] = {form->idea, 1};
      token.count = 1;
      second = *form;
    } else {
      auto it = guesses.find(raw[i].form);
      if (it == guesses.end()) it = guesses.emplace(raw[i].form, guess(raw[i].form)).first;
      for (const auto& [means, worth] : it->second) {
        if (token.count == 0) second = means;
        token.meanings[static_cast<size_t>(token.count++)] = {means.idea, worth};
      }
      if (token.count == 0 && only_digits(raw[i].form)) token.traits = kFiller;
    }
    if (token.count > 0) token.traits = traits(token.meanings[0].idea);
    if (token.is(kVoid)) {
      pending = token.before;
      continue;
    }
    out.push_back(token);
    if (second.second >= 0) {  // a compound: its second half follows as a word of its own
      token.count = 1;
      token.meanings[0].idea = second.second;
      token.traits = traits(second.second);
      token.before = Break::kNone;
      out.push_back(token);
    }
  }
  return out;
}

void Reader::join_sequences(std::vector<Token>& tokens) const {
  std::vector<Token> out;
  const auto means = [](const Token& t, int idea) {
    for (int m = 0; m < t.count; ++m) {
      if (t.meanings[static_cast<size_t>(m)].idea == idea) return t.meanings[static_cast<size_t>(m)].likeness;
    }
    return 0.0;
  };
  const auto match = [&](const Sequence& sequence, size_t at, Token& whole) {
    double worth = 1;
    std::uint64_t form = 0xcbf29ce484222325ull;
    size_t next = 0, i = at;
    for (; i < tokens.size() && next < sequence.ideas.size(); ++i) {
      if (i > at && tokens[i].before >= Break::kAnd) return size_t{0};
      const double here = means(tokens[i], sequence.ideas[next]);
      if (here > 0) {
        worth = std::min(worth, here);
        form = (form ^ tokens[i].form) * 0x100000001b3ull;
        ++next;
      } else if (!tokens[i].is(kFiller)) {
        return size_t{0};
      }
    }
    if (next < sequence.ideas.size()) return size_t{0};
    whole = tokens[at];
    whole.meanings[0] = {sequence.means, worth};
    whole.count = 1;
    whole.traits = traits(sequence.means);
    whole.form = form;
    whole.last = tokens[i - 1].last;
    return i - at;
  };
  for (size_t at = 0; at < tokens.size();) {
    size_t length = 0;
    Token whole;
    for (int m = 0; m < tokens[at].count && length == 0; ++m) {
      const auto it = sequences_.find(tokens[at].meanings[static_cast<size_t>(m)].idea);
      if (it == sequences_.end()) continue;
      for (const Sequence& sequence : it->second) {
        length = match(sequence, at, whole);
        if (length > 0) break;
      }
    }
    out.push_back(length > 0 ? whole : tokens[at]);
    at += std::max<size_t>(length, 1);
  }
  tokens = std::move(out);
}

/// Negations, connectors and "has" turn into fields of the words that follow.
void Reader::resolve_grammar(std::vector<Token>& tokens) const {
  std::vector<Token> out;
  Break pending = Break::kNone, carried = Break::kNone;  // before the next word; `carried` ends no negation
  size_t reach = 0, negator = 0;
  bool head = false, has = false;
  for (Token& token : tokens) {
    token.before = std::max(token.before, pending);
    pending = Break::kNone;
    if (token.before >= Break::kAnd) reach = 0, has = false;
    token.before = std::max(token.before, carried);
    carried = Break::kNone;
    if (token.is(kBreakOr | kBreakAnd | kBreakComma)) {
      pending = std::max(token.before, token.is(kBreakOr)    ? Break::kOr
                                       : token.is(kBreakAnd) ? Break::kAnd
                                                             : Break::kComma);
      head = token.is(kBreakOr) && reach > 0;
      continue;
    }
    if (token.is(kNot | kWithout)) {
      const bool taken_back = token.is(kWithout) && reach > 0;
      reach = taken_back ? 0 : kNegationReach;
      head = !taken_back;
      has = false;
      negator = token.first;
      carried = token.before;
      continue;
    }
    if (token.is(kHas)) {
      has = true;
      carried = token.before;
      continue;
    }
    if (token.counts()) {
      token.negated = reach > 0;
      token.head = reach > 0 && head;
      token.has = has && reach == 0;
      token.negator = negator;
      if (reach > 0) --reach;
      head = head && reach > 0 && (token.count == 0 || token.is(kGood));  // "no visible spark"
      has = false;
      if (token.is(kNegating)) reach = kNegationReach, head = true, negator = token.first;
    } else if (token.is(kGlue) && !token.is(kLink)) {
      reach = 0;
    }
    out.push_back(token);
  }
  tokens = std::move(out);
}

Reading Reader::read(std::string_view text) const {
  Reading reading;
  reading.raw = split(text);
  reading.tokens = words_to_tokens(reading.raw);
  join_sequences(reading.tokens);
  resolve_grammar(reading.tokens);
  return reading;
}

}  // namespace crankwise::words
