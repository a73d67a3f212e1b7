#include "core/words/text.h"

#include <algorithm>
#include <array>

namespace crankwise::words {

namespace {

bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }
bool is_vowel(char c) { return c == 'a' || c == 'e' || c == 'i' || c == 'o' || c == 'u' || c == 'y'; }

/// U+00C0 to U+00FF without accents, case and sign folded; '.' where there is no plain letter.
constexpr std::string_view kPlainLatin = "aaaaaaaceeeeiiiidnooooo.ouuuuy.saaaaaaaceeeeiiiidnooooo.ouuuuy.y";

enum class Sort { kLetter, kDigit, kApostrophe, kGap, kHyphen, kSlash, kAnd, kComma, kPoint, kStop, kEllipsis };

struct Sign {
  Sort sort;
  size_t length;  // bytes
  char letter;    // for letters and digits
};

Sign sign_at(std::string_view text, size_t at) {
  const auto byte = [&](size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  const char c = text[at];
  if (is_letter(c)) return {Sort::kLetter, 1, lower(c)};
  if (is_digit(c)) return {Sort::kDigit, 1, c};
  switch (c) {
    case '\'':
    case '`':
      return {Sort::kApostrophe, 1, 0};
    case '-':
      return {Sort::kHyphen, 1, 0};
    case '/':
      return {Sort::kSlash, 1, 0};
    case '&':
    case '+':
      return {Sort::kAnd, 1, 0};
    case ',':
    case ':':
      return {Sort::kComma, 1, 0};
    case '(':
    case ')':
      return {Sort::kComma, 1, ' '};
    case '.':
      return byte(at + 1) == '.' ? Sign{Sort::kEllipsis, 1, 0} : Sign{Sort::kPoint, 1, 0};
    case ';':
    case '!':
    case '?':
    case '\n':
      return {Sort::kStop, 1, 0};
    default:
      break;
  }
  if (byte(at) == 0xC3 && byte(at + 1) >= 0x80 && byte(at + 1) <= 0xBF) {
    const char plain = kPlainLatin[byte(at + 1) - 0x80];
    return plain == '.' ? Sign{Sort::kGap, 2, 0} : Sign{Sort::kLetter, 2, plain};
  }
  if (byte(at) == 0xC2 && byte(at + 1) == 0xB4) return {Sort::kApostrophe, 2, 0};
  if (byte(at) == 0xE2 && byte(at + 1) == 0x80) {
    switch (byte(at + 2)) {
      case 0x98:
      case 0x99:
        return {Sort::kApostrophe, 3, 0};
      case 0x93:
      case 0x94:
        return {Sort::kComma, 3, ' '};  // dashes
      case 0xA6:
        return {Sort::kEllipsis, 3, 0};
      default:
        break;
    }
  }
  return {Sort::kGap, 1, 0};
}

/// Strips a doubled last consonant: bogg, pull, miss -> bog, pul, mis.
void undouble(std::string& w) {
  const size_t n = w.size();
  if (n >= 3 && w[n - 1] == w[n - 2] && !is_vowel(w[n - 1])) w.pop_back();
}

bool has_vowel(std::string_view w) { return std::any_of(w.begin(), w.end(), is_vowel); }

}  // namespace

std::vector<RawWord> split(std::string_view text) {
  std::vector<RawWord> out;
  RawWord word;
  Break pending = Break::kNone;
  const auto finish = [&] {
    if (word.form.empty()) return;
    word.before = pending;
    pending = Break::kNone;
    out.push_back(std::move(word));
    word = {};
  };
  const auto digit_follows = [&](size_t at) { return at + 1 < text.size() && is_digit(text[at + 1]); };
  const auto space_at = [&](size_t at) { return at >= text.size() || text[at] == ' ' || text[at] == '\t'; };
  for (size_t at = 0; at < text.size();) {
    const Sign sign = sign_at(text, at);
    const bool in_number = !word.form.empty() && is_digit(word.form.back()) && digit_follows(at);
    Break stop = Break::kNone;
    switch (sign.sort) {
      case Sort::kLetter:
      case Sort::kDigit:
        if (word.form.empty()) word.begin = at;
        word.form += sign.letter;
        word.end = at + sign.length;
        at += sign.length;
        continue;
      case Sort::kApostrophe:
        at += sign.length;
        if (at < text.size() && sign_at(text, at).sort != Sort::kLetter) finish();
        continue;
      case Sort::kSlash:
      case Sort::kPoint:
      case Sort::kComma:
        if (in_number && sign.letter == 0) {  // 3/4, 25:1, 1,500 and 0.6 are one word
          word.form += text[at];
          at += sign.length;
          continue;
        }
        stop = sign.sort == Sort::kSlash ? Break::kAnd : sign.sort == Sort::kComma ? Break::kComma : Break::kStop;
        break;
      case Sort::kHyphen:
        if (space_at(at + 1) && (at == 0 || space_at(at - 1))) stop = Break::kComma;
        break;
      case Sort::kAnd:
        stop = Break::kAnd;
        break;
      case Sort::kEllipsis:
        stop = Break::kComma;
        break;
      case Sort::kStop:
        stop = Break::kStop;
        break;
      case Sort::kGap:
        break;
    }
    finish();
    pending = std::max(pending, stop);
    at += sign.length;
  }
  finish();
  return out;
}

std::string stem(std::string_view form) {
  std::string w(form);
  const auto ends = [&](std::string_view tail) {
    return w.size() > tail.size() && std::string_view(w).substr(w.size() - tail.size()) == tail;
  };
  const auto rest_has_vowel = [&](size_t tail) { return has_vowel(std::string_view(w).substr(0, w.size() - tail)); };
  if (w.size() > 3) {
    if (ends("ies") && w.size() > 4) {
      w.resize(w.size() - 2);
    } else if (ends("sses") || ends("xes") || ends("zes") || ends("ches") || ends("shes")) {
      w.resize(w.size() - 2);
    } else if (ends("s") && !ends("ss") && !ends("us") && !ends("is")) {
      w.pop_back();
    }
    if (ends("ing") && w.size() > 4 && rest_has_vowel(3)) {
      w.resize(w.size() - 3);
    } else if (ends("ed") && !ends("eed") && w.size() > 4 && rest_has_vowel(2)) {
      w.resize(w.size() - 2);
    }
  }
  undouble(w);
  if (w.size() > 2 && w.back() == 'e') w.pop_back();
  if (w.size() > 3 && w.back() == 'y' && !is_vowel(w[w.size() - 2])) w.back() = 'i';
  return w;
}

int edits(std::string_view a, std::string_view b, int most) {
  constexpr size_t kLongest = 40;
  const size_t n = a.size(), m = b.size();
  if (n > kLongest || m > kLongest || n > m + static_cast<size_t>(most) || m > n + static_cast<size_t>(most)) {
    return most + 1;
  }
  std::array<int, kLongest + 1> before{}, last{}, row{};
  for (size_t j = 0; j <= m; ++j) last[j] = static_cast<int>(j);
  for (size_t i = 1; i <= n; ++i) {
    row[0] = static_cast<int>(i);
    int least = row[0];
    for (size_t j = 1; j <= m; ++j) {
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] != b[j - 1] ? 1 : 0)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = std::min(row[j], before[j - 2] + 1);
      least = std::min(least, row[j]);
    }
    if (least > most) return most + 1;
    before = last;
    last = row;
  }
  return std::min(last[m], most + 1);
}

}  // namespace crankwise::words
