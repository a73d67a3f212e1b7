#include "bench/virtual/plot.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace crankwise::bench {
namespace {

constexpr double kWidth = 760, kHeight = 490, kLeft = 70, kRight = 20, kTop = 40, kBottom = 110;
constexpr size_t kNamesPerRow = 3;  // below the plot, where no curve is

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

}  // namespace

std::string distribution_plot(const std::string& title, const std::string& x_label, const std::vector<Curve>& curves,
                              double least, double most) {
  const auto across = [&](double x) {
    const double at = std::log(std::clamp(x, least, most) / least) / std::log(most / least);
    return kLeft + at * (kWidth - kLeft - kRight);
  };
  const auto up = [](double share) { return kHeight - kBottom - share * (kHeight - kTop - kBottom); };
  const auto label = [](double x, double y, const char* anchor, const std::string& text) {
    return fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"{}\">{}</text>\n", x, y, anchor, escaped(text));
  };
  const auto line = [](double x1, double y1, double x2, double y2, const std::string& style) {
    return fmt::format("<line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" {}/>\n", x1, y1, x2, y2, style);
  };
  const std::string grid = "stroke=\"#cccccc\"";
  std::string out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:.0f} {1:.0f}\" font-family=\"sans-serif\" "
      "font-size=\"13\">\n<rect width=\"{0:.0f}\" height=\"{1:.0f}\" fill=\"#ffffff\"/>\n",
      kWidth, kHeight);
  out += label(kWidth / 2, 22, "middle", title);
  for (int percent = 0; percent <= 100; percent += 20) {
    const double y = up(percent / 100.0);
    out += line(kLeft, y, kWidth - kRight, y, grid);
    out += label(kLeft - 6, y + 4, "end", fmt::format("{}", percent));
  }
  for (double decade = 1; decade <= most; decade *= 10) {
    for (double step : {1.0, 2.0, 5.0}) {
      const double x = decade * step;
      if (x < least || x > most) continue;
      out += line(across(x), up(0), across(x), up(1), grid);
      out += label(across(x), up(0) + 18, "middle", fmt::format("{:g}", x));
    }
  }
  out += label((kLeft + kWidth) / 2, up(0) + 38, "middle", x_label);
  out +=
      fmt::format("<text transform=\"translate(18 {:.0f}) rotate(-90)\" text-anchor=\"middle\">jobs done, %</text>\n",
                  (kTop + kHeight - kBottom) / 2);
  for (size_t i = 0; i < curves.size(); ++i) {
    std::vector<double> sorted = curves[i].values;
    std::sort(sorted.begin(), sorted.end());
    const Pen& pen = kPens[i % std::size(kPens)];
    const std::string style =
        fmt::format("stroke=\"{}\" stroke-width=\"2\" stroke-dasharray=\"{}\"", pen.colour, pen.dash);
    std::string path = fmt::format("M{:.1f} {:.1f}", across(least), up(0));
    for (size_t k = 0; k < sorted.size(); ++k) {
      path += fmt::format("H{:.1f}", across(sorted[k]));
      if (sorted[k] <= most)
        path += fmt::format("V{:.1f}", up(static_cast<double>(k + 1) / static_cast<double>(sorted.size())));
    }
    out += fmt::format("<path d=\"{}\" fill=\"none\" {}/>\n", path, style);
    const double y = up(0) + 64 + 20 * static_cast<double>(i / kNamesPerRow);
    const double x = kLeft + (kWidth - kLeft - kRight) / kNamesPerRow * static_cast<double>(i % kNamesPerRow);
    out += line(x, y, x + 40, y, style);
    out += label(x + 46, y + 4, "start", curves[i].name);
  }
  return out + "</svg>\n";
}

}  // namespace crankwise::bench
