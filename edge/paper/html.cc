#include <fmt/format.h>

#include "edge/base64.h"
#include "edge/escaped.h"
#include "edge/paper/paper.h"

namespace crankwise {
namespace {

constexpr const char* kStyle = R"(
@page { size: A4; margin: 13mm 14mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 1rem; max-width: 46rem; background: #fff; color: #000;
  font: 15px/1.4 "DejaVu Sans", "Segoe UI", Roboto, Helvetica, Arial, sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 1.5em; line-height: 1.2; margin: 0 0 .4em; padding-bottom: .25em; border-bottom: 2px solid #000; }
h2 { font-size: 1.05em; margin: 1.1em 0 .3em; padding-bottom: .1em; border-bottom: 1px solid #666; break-after: avoid; }
p { margin: .25em 0; }
.strong { font-weight: bold; }
.small, footer { font-size: .87em; color: #333; }
blockquote { margin: .35em 0; padding: .1em 0 .1em .8em; border-left: 3px solid #666; }
table { width: 100%; border-collapse: collapse; margin: .25em 0; table-layout: fixed; }
th, td { text-align: left; vertical-align: top; padding: .2em .8em .2em 0; border-bottom: 1px solid #ccc; }
th { font-size: .87em; }
tr { break-inside: avoid; }
.right { text-align: right; padding-right: 0; font-variant-numeric: tabular-nums; }
tr.sum td { font-weight: bold; border-top: 1px solid #000; border-bottom: 0; }
.pictures { display: flex; flex-wrap: wrap; gap: .8em; margin: .4em 0; }
figure { margin: 0; flex: 0 1 auto; max-width: 21rem; break-inside: avoid; }
img { display: block; max-width: 100%; max-height: 16rem; }
figcaption { font-size: .87em; }
footer { margin-top: 1.2em; padding-top: .3em; border-top: 1px solid #666; }
@media (max-width: 32rem) {
  body { padding: .7rem; }
  .wide, .wide tbody { display: block; }
  .wide tr { display: block; border-bottom: 1px solid #ccc; padding: .25em 0; }
  .wide thead { display: none; }
  .wide td { display: block; border: 0; padding: 0; }
  .wide td:first-child { font-weight: bold; }
}
@media print {
  body { padding: 0; max-width: none; font-size: 9.5pt; line-height: 1.3; }
  .dense { font-size: 8pt; line-height: 1.22; }
  .dense h2 { margin-top: .7em; }
  figure { max-width: 48%; }
  img { max-height: 62mm; }
}
)";

std::string in_html(const std::string& raw) { return escaped(printable(raw)); }

class HtmlForm {
 public:
  std::string out;

  void on(const Paragraph& p) {
    if (p.tone == Tone::quote)
      out += "<blockquote>" + in_html(p.text) + "</blockquote>\n";
    else
      out += fmt::format("<p{}>{}</p>\n", kind(p.tone), in_html(p.text));
  }

  void on(const Table& t) {
    double shares = 0;
    std::size_t wide = 0;  // columns of words
    bool titles = false;
    for (const Column& c : t.columns) {
      shares += c.share;
      wide += c.right ? 0 : 1;
      titles = titles || !c.title.empty();
    }
    out += wide > 1 ? "<table class=\"wide\">\n<colgroup>" : "<table>\n<colgroup>";
    for (const Column& c : t.columns) out += fmt::format("<col style=\"width:{:.1f}%\">", 100 * c.share / shares);
    out += "</colgroup>\n";
    if (titles) {
      out += "<thead><tr>";
      for (const Column& c : t.columns) out += fmt::format("<th{}>{}</th>", side(c), in_html(c.title));
      out += "</tr></thead>\n";
    }
    out += "<tbody>\n";
    for (std::size_t r = 0; r < t.rows.size(); ++r) {
      out += t.sum && r + 1 == t.rows.size() ? "<tr class=\"sum\">" : "<tr>";
      for (std::size_t c = 0; c < t.columns.size(); ++c)
        out += fmt::format("<td{}>{}</td>", side(t.columns[c]), in_html(t.rows[r][c]));
      out += "</tr>\n";
    }
    out += "</tbody></table>\n";
  }

  void on(const Pictures& all) {
    out += "<div class=\"pictures\">\n";
    for (const Picture& p : all.pictures) {
      out += fmt::format("<figure><img src=\"data:{};base64,{}\" alt=\"{}\"><figcaption>{}</figcaption></figure>\n",
                         in_html(p.media_type), base64_of(p.bytes), in_html(p.caption), in_html(p.caption));
    }
    out += "</div>\n";
  }

 private:
  static const char* kind(Tone tone) {
    return tone == Tone::strong ? " class=\"strong\"" : tone == Tone::small ? " class=\"small\"" : "";
  }
  static const char* side(const Column& c) { return c.right ? " class=\"right\"" : ""; }
};

/// Set smaller on paper, so that it stays at two pages.
bool dense(const Paper& paper) {
  constexpr std::size_t kRows = 34;
  std::size_t rows = 0;
  for (const Section& s : paper.sections) {
    rows += 2 + s.blocks.size();
    for (const Block& b : s.blocks) {
      if (const auto* t = std::get_if<Table>(&b)) rows += t->rows.size();
    }
  }
  return rows > kRows;
}

}  // namespace

std::string as_html(const Paper& paper) {
  HtmlForm form;
  form.out = fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
      "img-src data:\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{0}</title>\n"
      "<style>{1}</style>\n</head>\n<body{2}>\n<h1>{0}</h1>\n",
      in_html(paper.title), kStyle, dense(paper) ? " class=\"dense\"" : "");
  for (const Paragraph& p : paper.head) form.on(p);
  for (const Section& s : paper.sections) {
    form.out += "<section>\n<h2>" + in_html(s.title) + "</h2>\n";
    for (const Block& b : s.blocks) std::visit([&](const auto& block) { form.on(block); }, b);
    form.out += "</section>\n";
  }
  if (!paper.foot.empty()) form.out += "<footer>" + in_html(paper.foot) + "</footer>\n";
  return form.out + "</body>\n</html>\n";
}

}  // namespace crankwise
