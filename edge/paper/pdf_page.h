// The library that writes PDF, as pages that are filled from the top. Sizes in points (1/72 inch).
#pragma once

#include <hpdf.h>

#include <memory>
#include <string>
#include <type_traits>
#include <vector>

#include "edge/paper/paper.h"

namespace crankwise::pdf {

enum class Face { plain, bold };

constexpr double kPageWidth = 595.3, kPageHeight = 841.9;  // A4
constexpr double kMargin = 42, kWidth = kPageWidth - 2 * kMargin;

class Pages {
 public:
  /// `running` stands at the foot of every page, before its number.
  explicit Pages(std::string running);

  /// Starts a page unless `height` is left on this one.
  void need(double height);
  void down(double height) { y_ += height; }
  /// Lines no wider than `width`; a word that is wider is cut.
  std::vector<std::string> wrap(const std::string& text, Face, double size, double width);
  double width(const std::string& line, Face, double size);
  /// A line of text whose top is here, `x` from the left margin.
  void write(const std::string& line, double x, Face, double size, double grey = 0);
  /// A rule here, from `x` on.
  void rule(double x, double width, double thick, double grey);
  /// A bar at the left of what was written since `height` above.
  void bar(double height);
  /// The picture upright, its top here, not larger than the box. Its height; 0 if it cannot be shown.
  double picture(const Picture&, double x, double most_width, double most_height);
  double drawn_height(const Picture&, double most_width, double most_height) const;

  PdfForm finish();

 private:
  struct Free {
    void operator()(HPDF_Doc doc) const { HPDF_Free(doc); }
  };
  HPDF_Font font(Face face) const { return face == Face::bold ? bold_ : plain_; }
  void check() const;
  void new_page();
  double base() const { return kPageHeight - kMargin - y_; }

  std::unique_ptr<std::remove_pointer_t<HPDF_Doc>, Free> doc_;
  std::string running_;
  HPDF_Font plain_ = nullptr, bold_ = nullptr;
  std::vector<HPDF_Page> pages_;
  double y_ = 0;  // below the top margin
};

}  // namespace crankwise::pdf
