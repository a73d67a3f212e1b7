#include <fmt/format.h>

#include <algorithm>

#include "edge/paper/pdf_page.h"

namespace crankwise {
namespace {

using pdf::Face;

/// One paper on pages, all sizes times `scale`.
class PdfWriter {
 public:
  PdfWriter(const Paper& paper, double scale) : paper_(paper), scale_(scale), pages_(paper.title) {}

  PdfForm write() {
    lines(paper_.title, 0, pdf::kWidth, Face::bold, 17 * scale_);
    pages_.down(3);
    pages_.rule(0, pdf::kWidth, 1.4, 0);
    pages_.down(5 * scale_);
    for (const Paragraph& p : paper_.head) on(p);
    for (const Section& s : paper_.sections) section(s);
    if (!paper_.foot.empty()) {
      gap(8);
      pages_.need(3 * leading(small()));
      pages_.rule(0, pdf::kWidth, 0.5, 0.4);
      gap(4);
      lines(paper_.foot, 0, pdf::kWidth, Face::plain, small(), 0.2);
    }
    return pages_.finish();
  }

 private:
  double body() const { return 9.5 * scale_; }
  double small() const { return 8.2 * scale_; }
  static double leading(double size) { return 1.3 * size; }
  void gap(double points) { pages_.down(points * scale_); }

  void lines(const std::string& text, double x, double width, Face face, double size, double grey = 0) {
    for (const auto& line : pages_.wrap(text, face, size, width)) {
      pages_.need(leading(size));
      pages_.write(line, x, face, size, grey);
      pages_.down(leading(size));
    }
  }

  void section(const Section& s) {
    gap(8);
    pages_.need(4.5 * leading(body()));  // the heading and what it heads
    lines(s.title, 0, pdf::kWidth, Face::bold, 10.5 * scale_);
    pages_.rule(0, pdf::kWidth, 0.6, 0.4);
    gap(3);
    for (const Block& b : s.blocks) std::visit([&](const auto& block) { on(block); }, b);
  }

  void on(const Paragraph& p) {
    if (p.tone == Tone::quote) {
      for (const auto& line : pages_.wrap(p.text, Face::plain, body(), pdf::kWidth - 9)) {
        pages_.need(leading(body()));
        pages_.write(line, 9, Face::plain, body());
        pages_.down(leading(body()));
        pages_.bar(leading(body()));
      }
    } else {
      const bool is_small = p.tone == Tone::small;
      lines(p.text, 0, pdf::kWidth, p.tone == Tone::strong ? Face::bold : Face::plain, is_small ? small() : body(),
            is_small ? 0.2 : 0);
    }
    gap(2);
  }

  void on(const Table& t) {
    constexpr double kBetween = 10;
    double shares = 0;
    for (const Column& c : t.columns) shares += c.share;
    std::vector<double> left, width;
    double x = 0;
    for (const Column& c : t.columns) {
      const double whole = pdf::kWidth * c.share / shares;
      left.push_back(x);
      x += whole;
      width.push_back(whole - (x < pdf::kWidth - 1 ? kBetween : 0));
    }
    const auto row = [&](const std::vector<std::string>& cells, Face face, double size) {
      std::vector<std::vector<std::string>> wrapped;
      std::size_t most = 0;
      for (std::size_t c = 0; c < left.size(); ++c) {
        wrapped.push_back(pages_.wrap(cells[c], face, size, width[c]));
        most = std::max(most, wrapped.back().size());
      }
      pages_.need(static_cast<double>(std::min<std::size_t>(most, 8)) * leading(size));
      for (std::size_t l = 0; l < most; ++l) {
        pages_.need(leading(size));
        for (std::size_t c = 0; c < left.size(); ++c) {
          if (l >= wrapped[c].size()) continue;
          const std::string& line = wrapped[c][l];
          const double shift = t.columns[c].right ? width[c] - pages_.width(line, face, size) : 0;
          pages_.write(line, left[c] + shift, face, size);
        }
        pages_.down(leading(size));
      }
    };
    std::vector<std::string> titles;
    for (const Column& c : t.columns) titles.push_back(c.title);
    if (std::any_of(titles.begin(), titles.end(), [](const auto& s) { return !s.empty(); })) {
      row(titles, Face::bold, small());
      pages_.rule(0, pdf::kWidth, 0.3, 0.6);
      gap(2);
    }
    for (std::size_t r = 0; r < t.rows.size(); ++r) {
      const bool sum = t.sum && r + 1 == t.rows.size();
      if (sum) pages_.rule(0, pdf::kWidth, 0.6, 0);
      if (sum) gap(2);
      row(t.rows[r], sum ? Face::bold : Face::plain, body());
      gap(1);
      if (!sum && r + 1 < t.rows.size()) pages_.rule(0, pdf::kWidth, 0.25, 0.75);
      gap(2);
    }
  }

  /// Two in a row.
  void on(const Pictures& all) {
    constexpr double kBetween = 14;
    const double width = (pdf::kWidth - kBetween) / 2, height = 175 * scale_;
    for (std::size_t i = 0; i < all.pictures.size(); i += 2) {
      const std::size_t end = std::min(i + 2, all.pictures.size());
      double tall = 0;
      std::vector<std::vector<std::string>> captions;
      std::size_t most = 0;
      for (std::size_t p = i; p < end; ++p) {
        tall = std::max(tall, pages_.drawn_height(all.pictures[p], width, height));
        captions.push_back(pages_.wrap(caption(all.pictures[p]), Face::plain, small(), width));
        most = std::max(most, captions.back().size());
      }
      pages_.need(tall + 3 + static_cast<double>(std::min<std::size_t>(most, 5)) * leading(small()));
      for (std::size_t p = i; p < end; ++p) {
        const double x = p == i ? 0 : width + kBetween;
        if (pages_.picture(all.pictures[p], x, width, height) > 0) continue;
        const std::string why = all.pictures[p].media_type == "image/webp"
                                    ? "(a WebP picture, which PDF cannot hold: see the sheet as html)"
                                    : "(this picture cannot be shown here)";
        double down = 0;
        for (const auto& line : pages_.wrap(why, Face::plain, small(), width)) {
          pages_.write(line, x, Face::plain, small(), 0.3);
          pages_.down(leading(small()));
          down += leading(small());
        }
        pages_.down(-down);
      }
      pages_.down(tall + 3);
      for (std::size_t l = 0; l < most; ++l) {
        pages_.need(leading(small()));
        for (std::size_t c = 0; c < captions.size(); ++c) {
          if (l < captions[c].size()) pages_.write(captions[c][l], c == 0 ? 0 : width + kBetween, Face::plain, small());
        }
        pages_.down(leading(small()));
      }
      gap(6);
    }
  }

  static std::string caption(const Picture& p) { return p.caption.empty() ? " " : p.caption; }

  const Paper& paper_;
  double scale_;
  pdf::Pages pages_;
};

}  // namespace

PdfForm as_pdf(const Paper& paper) {
  const PdfForm full = PdfWriter(paper, 1).write();
  // A little smaller for one page, much smaller for two.
  const int most = full.pages <= 2 ? 1 : 2;
  PdfForm form = full;
  for (const double scale : {0.93, 0.86, 0.8, 0.75}) {
    if (form.pages <= most) return form;
    if (most == 1 && scale < 0.86) return full;
    form = PdfWriter(paper, scale).write();
  }
  return form;
}

}  // namespace crankwise
