// Pieces of plots as SVG: lines over a grid, with words large enough for a garage wall.
#pragma once

#include <string>

namespace crankwise::plot {

constexpr double kWidth = 960, kLeft = 78, kRight = 18, kWide = kWidth - kLeft - kRight;
constexpr const char* kInk = "#1c2321";
constexpr const char* kRule = "#c9d1cd";
constexpr const char* kMain = "#b3261e";
constexpr const char* kBeside = "#6b7672";
constexpr const char* kMark = "#0b5c8a";

/// Values over others in a box of the picture.
struct Axes {
  double top = 0, height = 0;
  double from_x = 0, to_x = 1, from_y = 0, to_y = 1;

  double x(double value) const { return kLeft + kWide * (value - from_x) / (to_x - from_x); }
  double y(double value) const { return top + height * (1 - (value - from_y) / (to_y - from_y)); }
};

/// 1, 2 or 5 times a power of ten: about `count` to the whole.
double even_step(double whole, int count);
/// A whole number of even steps that takes in `value` and some room.
double even_top(double value);

std::string text(double x, double y, const std::string& words, const char* anchor = "start", const char* fill = kInk);
/// `unit_x`: said at the first mark.
std::string grid(const Axes&, const std::string& label, const std::string& unit_x);
/// A line across at a value, with words on it.
std::string level(const Axes&, double value, const std::string& words, const char* colour, bool below = false);
/// A path's `d`; nothing if it is empty.
std::string drawn(const std::string& d, const char* colour, double width, double opacity = 1);
std::string page(double height, const std::string& title, const std::string& inside);

}  // namespace crankwise::plot
