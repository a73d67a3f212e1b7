#include "bench/virtual/plot.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace crankwise::bench {
namespace {

constexpr double kWidth = 760, kHeight = 490, kLeft = 70, kRight = 20, kTop = 40, kBottom = 110;

struct Pen {
  const char* colour;  // dark to light, for grey paper
  const char* dash;
};
constexpr Pen kPens[] = {{"#000000", "none"},     {"#9a3b00", "9 4"}, {"#00629b", "2 3"},
                         {"#5d7f2e", "12 3 2 3"}, {"#a64d9b", "5 5"}, {"#777777", "1 5"}};

std::string escaped(const std::string& text) {
  std::string out;
  for (char c : text) {
    if (c == '&') {
      out += "&amp;";
    } else if (c == '<') {
      out += "&lt;";
    } else {
      out += c;
    }
  }
  return out;
}

/// A picture with axes; places on them are given as shares from 0 to 1.
class Paper {
 public:
  Paper(const std::string& title, const std::string& x_label, const std::string& y_label) {
    out_ = fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:.0f} {1:.0f}\" font-family=\"sans-serif\" "
        "font-size=\"13\">\n<rect width=\"{0:.0f}\" height=\"{1:.0f}\" fill=\"#ffffff\"/>\n",
        kWidth, kHeight);
    label(kWidth / 2, 22, "middle", title);
    label((kLeft + kWidth) / 2, up(0) + 38, "middle", x_label);
    out_ += fmt::format("<text transform=\"translate(18 {:.0f}) rotate(-90)\" text-anchor=\"middle\">{}</text>\n",
                        (kTop + kHeight - kBottom) / 2, escaped(y_label));
  }

  static double across(double share) { return kLeft + share * (kWidth - kLeft - kRight); }
  static double up(double share) { return kHeight - kBottom - share * (kHeight - kTop - kBottom); }

  void mark_x(double share, double value) {
    line(across(share), up(0), across(share), up(1), kGrid);
    label(across(share), up(0) + 18, "middle", fmt::format("{:g}", value));
  }
  void mark_y(double share, double value) {
    line(kLeft, up(share), kWidth - kRight, up(share), kGrid);
    label(kLeft - 6, up(share) + 4, "end", fmt::format("{:g}", value));
  }

  /// A path in SVG's words, in the next pen, named below the picture, where no curve is.
  void curve(const std::string& name, const std::string& path) {
    constexpr size_t kNamesPerRow = 3;
    const Pen& pen = kPens[curves_ % std::size(kPens)];
    const std::string style =
        fmt::format("stroke=\"{}\" stroke-width=\"2\" stroke-dasharray=\"{}\"", pen.colour, pen.dash);
    out_ += fmt::format("<path d=\"{}\" fill=\"none\" {}/>\n", path, style);
    const double y = up(0) + 64 + 20 * static_cast<double>(curves_ / kNamesPerRow);
    const double x = across(static_cast<double>(curves_ % kNamesPerRow) / kNamesPerRow);
    line(x, y, x + 40, y, style);
    label(x + 46, y + 4, "start", name);
    ++curves_;
  }

  std::string finished() const { return out_ + "</svg>\n"; }

 private:
  static constexpr const char* kGrid = "stroke=\"#cccccc\"";
  void label(double x, double y, const char* anchor, const std::string& text) {
    out_ += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\">{}</text>\n", x, y, anchor, escaped(text));
  }
  void line(double x1, double y1, double x2, double y2, const std::string& style) {
    out_ += fmt::format("<line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" {}/>\n", x1, y1, x2, y2, style);
  }

  std::string out_;
  size_t curves_ = 0;
};

/// 1, 2 or 5 times a power of ten, so that five to ten of them fill the span.
double round_step(double span) {
  const double decade = std::pow(10, std::floor(std::log10(span / 5)));
  for (double step : {5.0, 2.0}) {
    if (span / (step * decade) >= 5) return step * decade;
  }
  return decade;
}

}  // namespace

std::string distribution_plot(const std::string& title, const std::string& x_label, const std::vector<Curve>& curves,
                              double least, double most) {
  const auto at = [&](double x) { return std::log(std::clamp(x, least, most) / least) / std::log(most / least); };
  Paper paper(title, x_label, "jobs done, %");
  for (int percent = 0; percent <= 100; percent += 20) paper.mark_y(percent / 100.0, percent);
  for (double decade = 1; decade <= most; decade *= 10) {
    for (double step : {1.0, 2.0, 5.0}) {
      const double x = decade * step;
      if (x >= least && x <= most) paper.mark_x(at(x), x);
    }
  }
  for (const Curve& curve : curves) {
    std::vector<double> sorted = curve.values;
    std::sort(sorted.begin(), sorted.end());
    std::string path = fmt::format("M{:.1f} {:.1f}", Paper::across(0), Paper::up(0));
    for (size_t k = 0; k < sorted.size(); ++k) {
      path += fmt::format("H{:.1f}", Paper::across(at(sorted[k])));
      if (sorted[k] <= most)
        path += fmt::format("V{:.1f}", Paper::up(static_cast<double>(k + 1) / static_cast<double>(sorted.size())));
    }
    paper.curve(curve.name, path);
  }
  return paper.finished();
}

std::string line_plot(const std::string& title, const std::string& x_label, const std::string& y_label,
                      const std::vector<Polyline>& lines) {
  double x_low = 0, x_high = 0, y_low = 0, y_high = 0;
  bool first = true;
  for (const Polyline& l : lines) {
    for (const auto& [x, y] : l.points) {
      x_low = first ? x : std::min(x_low, x), x_high = first ? x : std::max(x_high, x);
      y_low = first ? y : std::min(y_low, y), y_high = first ? y : std::max(y_high, y);
      first = false;
    }
  }
  if (x_high <= x_low) x_high = x_low + 1;
  if (y_high <= y_low) y_high = y_low + 1;
  const double x_step = round_step(x_high - x_low), y_step = round_step(y_high - y_low);
  y_low = std::floor(y_low / y_step) * y_step, y_high = std::ceil(y_high / y_step) * y_step;
  const auto x_at = [&](double x) { return (x - x_low) / (x_high - x_low); };
  const auto y_at = [&](double y) { return (y - y_low) / (y_high - y_low); };
  Paper paper(title, x_label, y_label);
  for (double x = std::ceil(x_low / x_step) * x_step; x <= x_high; x += x_step) paper.mark_x(x_at(x), x);
  const int rows = static_cast<int>(std::lround((y_high - y_low) / y_step));
  for (int i = 0; i <= rows; ++i) paper.mark_y(static_cast<double>(i) / rows, y_low + i * y_step);
  for (const Polyline& l : lines) {
    std::string path;
    for (const auto& [x, y] : l.points)
      path += fmt::format("{}{:.1f} {:.1f}", path.empty() ? "M" : "L", Paper::across(x_at(x)), Paper::up(y_at(y)));
    paper.curve(l.name, path);
  }
  return paper.finished();
}

std::string stacked(const std::vector<std::string>& pictures) {
  const double height = kHeight * static_cast<double>(pictures.size());
  std::string out =
      fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\">\n", kWidth, height);
  double y = 0;
  for (const std::string& p : pictures) {
    out += fmt::format("<svg y=\"{:.0f}\" width=\"{:.0f}\" height=\"{:.0f}\"{}", y, kWidth, kHeight, p.substr(4));
    y += kHeight;
  }
  return out + "</svg>\n";
}

}  // namespace crankwise::bench
