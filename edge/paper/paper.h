// A paper to hand out: headings, paragraphs, tables and pictures, as plain data that knows nothing of what it says; and
// the three forms that it is given out in. All texts are UTF-8; what is in them is shown, never obeyed.
#pragma once

#include <string>
#include <variant>
#include <vector>

namespace crankwise {

enum class Tone { plain, strong, quote, small };

struct Paragraph {
  std::string text;
  Tone tone = Tone::plain;
};
struct Column {
  std::string title;   // "" for none
  double share = 1;    // of the width
  bool right = false;  // numbers, set flush right
};
struct Table {
  std::vector<Column> columns;
  std::vector<std::vector<std::string>> rows;  // as many cells as columns
  bool sum = false;                            // the last row is the sum of the others
};
struct Picture {
  std::string media_type, bytes, caption;
  int width = 0, height = 0;  // pixels
};
struct Pictures {
  std::vector<Picture> pictures;
};
using Block = std::variant<Paragraph, Table, Pictures>;

struct Section {
  std::string title;
  std::vector<Block> blocks;
};

struct Paper {
  std::string title, foot;
  std::vector<Paragraph> head;
  std::vector<Section> sections;
};

/// Lines of at most 78 letters; pictures by their captions.
std::string as_text(const Paper&);

/// One file with everything in it, for A4 and for a telephone. No scripts, and none in the texts can run.
std::string as_html(const Paper&);

struct PdfForm {
  std::string bytes;
  int pages = 0;
};
/// A4, letters embedded. Drawn smaller if that saves it a second page (by up to a seventh) or a third (by up to a
/// quarter). Pictures that it cannot show (WebP, damaged ones) are named instead. Throws BadInput if the typeface is
/// not on this machine.
PdfForm as_pdf(const Paper&);

/// The text with each control character made a space.
std::string printable(const std::string& text);
/// How many letters (code points).
std::size_t letters(const std::string& text);

}  // namespace crankwise
