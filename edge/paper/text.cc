#include <algorithm>
#include <cmath>

#include "edge/paper/paper.h"

namespace crankwise {
namespace {

constexpr std::size_t kWidth = 78;

bool begins_letter(char c) { return (static_cast<unsigned char>(c) & 0xc0) != 0x80; }

/// The first `count` letters and the rest.
std::pair<std::string, std::string> cut(const std::string& word, std::size_t count) {
  std::size_t at = 0, seen = 0;
  for (; at < word.size(); ++at) {
    if (begins_letter(word[at]) && seen++ == count) break;
  }
  return {word.substr(0, at), word.substr(at)};
}

/// At least one line; words longer than a line are cut.
std::vector<std::string> wrap(const std::string& raw, std::size_t width) {
  const std::string text = printable(raw);
  std::vector<std::string> lines(1);
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find(' ', from), text.size());
    std::string word = text.substr(from, to - from);
    from = to + 1;
    if (word.empty()) continue;
    if (!lines.back().empty() && letters(lines.back()) + 1 + letters(word) > width) lines.emplace_back();
    while (letters(word) > width) {
      const auto [now, rest] = cut(word, width);
      lines.back() += now;
      lines.emplace_back();
      word = rest;
    }
    lines.back() += (lines.back().empty() ? "" : " ") + word;
  }
  return lines;
}

std::string padded(const std::string& text, std::size_t width, bool right) {
  const std::string space(width - std::min(width, letters(text)), ' ');
  return right ? space + text : text + space;
}

class TextForm {
 public:
  std::string out;

  void line(std::string text) {
    while (!text.empty() && text.back() == ' ') text.pop_back();
    out += text + '\n';
  }

  void on(const Paragraph& p) {
    const std::string indent = p.tone == Tone::quote ? "  | " : "  ";
    for (const auto& l : wrap(p.text, kWidth - indent.size())) line(indent + l);
  }

  void on(const Table& t) {
    double shares = 0;
    for (const Column& c : t.columns) shares += c.share;
    const double room = static_cast<double>(kWidth - 2 * t.columns.size());
    std::vector<std::size_t> widths;
    for (const Column& c : t.columns) {
      widths.push_back(std::max<std::size_t>(4, static_cast<std::size_t>(room * c.share / shares)));
    }
    const auto row = [&](const std::vector<std::string>& cells) {
      std::vector<std::vector<std::string>> wrapped;
      std::size_t lines = 0;
      for (std::size_t c = 0; c < widths.size(); ++c) {
        wrapped.push_back(wrap(cells[c], widths[c]));
        lines = std::max(lines, wrapped.back().size());
      }
      for (std::size_t l = 0; l < lines; ++l) {
        std::string text;
        for (std::size_t c = 0; c < widths.size(); ++c) {
          text += "  " + padded(l < wrapped[c].size() ? wrapped[c][l] : "", widths[c], t.columns[c].right);
        }
        line(text);
      }
    };
    std::vector<std::string> titles;
    bool any = false;
    for (const Column& c : t.columns) titles.push_back(c.title), any = any || !c.title.empty();
    const std::string rule = "  " + std::string(kWidth - 2, '-');
    if (any) row(titles), line(rule);
    for (std::size_t r = 0; r < t.rows.size(); ++r) {
      if (t.sum && r + 1 == t.rows.size()) line(rule);
      row(t.rows[r]);
    }
  }

  void on(const Pictures& p) {
    for (std::size_t i = 0; i < p.pictures.size(); ++i) {
      const Picture& x = p.pictures[i];
      const std::string first = "  " + std::to_string(i + 1) + ". ";
      const std::string size = std::to_string(x.width) + " x " + std::to_string(x.height) + " pixels";
      const auto lines = wrap(x.caption.empty() ? size : x.caption + " (" + size + ")", kWidth - first.size());
      for (std::size_t l = 0; l < lines.size(); ++l) line((l == 0 ? first : std::string(first.size(), ' ')) + lines[l]);
    }
  }
};

}  // namespace

std::string printable(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    const auto next = i + 1 < text.size() ? static_cast<unsigned char>(text[i + 1]) : 0u;
    if (c == 0xc2 && next >= 0x80 && next < 0xa0) {  // U+0080 to U+009F
      out += ' ';
      ++i;
    } else {
      out += c < 0x20 || c == 0x7f ? ' ' : text[i];
    }
  }
  return out;
}

std::size_t letters(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), begins_letter));
}

std::string as_text(const Paper& paper) {
  TextForm form;
  for (const auto& l : wrap(paper.title, kWidth)) form.line(l);
  form.line(std::string(kWidth, '='));
  for (const Paragraph& p : paper.head) form.on(p);
  for (const Section& s : paper.sections) {
    form.line("");
    form.line(printable(s.title));
    for (const Block& b : s.blocks) std::visit([&](const auto& block) { form.on(block); }, b);
  }
  if (!paper.foot.empty()) {
    form.line("");
    for (const auto& l : wrap(paper.foot, kWidth)) form.line(l);
  }
  return form.out;
}

}  // namespace crankwise
