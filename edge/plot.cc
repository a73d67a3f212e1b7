#include "edge/plot.h"

#include <fmt/format.h>

#include <cmath>

#include "edge/escaped.h"

namespace crankwise::plot {
double even_step(double whole, int count) {
  const double rough = whole / count, power = std::pow(10, std::floor(std::log10(rough)));
  for (const double times : {1.0, 2.0, 5.0}) {
    if (times * power >= rough) return times * power;
  }
  return 10 * power;
}

double even_top(double value) {
  const double step = even_step(value, 8);
  return step * std::ceil(value * 1.08 / step);
}

std::string text(double x, double y, const std::string& words, const char* anchor, const char* fill) {
  return fmt::format("<text x='{:.1f}' y='{:.1f}' text-anchor='{}' fill='{}'>{}</text>\n", x, y, anchor, fill,
                     escaped(words));
}

std::string grid(const Axes& a, const std::string& label, const std::string& unit_x) {
  std::string out;
  const double step = even_step(a.to_y - a.from_y, 8), step_x = even_step(a.to_x - a.from_x, 10);
  for (double n = std::ceil(a.from_y / step); n * step <= a.to_y + 0.001 * step; ++n) {
    const double v = n * step;
    out += fmt::format("<path d='M{} {:.1f}H{}' stroke='{}'/>\n", kLeft, a.y(v), kLeft + kWide, kRule);
    out += text(kLeft - 8, a.y(v) + 5, fmt::format("{:g}", v), "end");
  }
  bool first = true;
  for (double n = std::ceil(a.from_x / step_x); n * step_x <= a.to_x + 0.001 * step_x; ++n) {
    const double v = n * step_x;
    out += fmt::format("<path d='M{:.1f} {}v6' stroke='{}'/>\n", a.x(v), a.top + a.height, kInk);
    out += text(a.x(v), a.top + a.height + 22, fmt::format("{:g}{}", v, first ? " " + unit_x : ""),
                a.x(v) > kWidth - 30 ? "end" : "middle");
    first = false;
  }
  return out + text(kLeft, a.top - 8, label);
}

std::string level(const Axes& a, double value, const std::string& words, const char* colour, bool below) {
  return fmt::format("<path d='M{} {:.1f}H{}' stroke='{}' stroke-width='1.5' stroke-dasharray='9 5'/>\n", kLeft,
                     a.y(value), kLeft + kWide, colour) +
         text(kLeft + kWide - 4, a.y(value) + (below ? 17 : -6), words, "end", colour);
}

std::string drawn(const std::string& d, const char* colour, double width, double opacity) {
  if (d.empty()) return "";
  return fmt::format(
      "<path d='{}' fill='none' stroke='{}' stroke-width='{}' stroke-linejoin='round' stroke-linecap='round' "
      "stroke-opacity='{}'/>\n",
      d, colour, width, opacity);
}

std::string page(double height, const std::string& title, const std::string& inside) {
  return fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {0} {1}' width='{0}' height='{1}' role='img' "
      "aria-label='{2}' font-family='sans-serif' font-size='15'>\n<title>{2}</title>\n"
      "<rect width='{0}' height='{1}' fill='#fff'/>\n{3}</svg>\n",
      kWidth, height, escaped(title), inside);
}

}  // namespace crankwise::plot
