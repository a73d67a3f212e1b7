// Pictures (SVG 1.1) of curves, told apart by dashes as well as by colour.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace crankwise::bench {

struct Curve {
  std::string name;
  std::vector<double> values;
};

/// Share of the values at or below x, for x from `least` to `most` on a logarithmic axis (0 < least < most).
std::string distribution_plot(const std::string& title, const std::string& x_label, const std::vector<Curve>&,
                              double least, double most);

struct Polyline {
  std::string name;
  std::vector<std::pair<double, double>> points;  // x rising
};
/// Lines on linear axes that hold all points.
std::string line_plot(const std::string& title, const std::string& x_label, const std::string& y_label,
                      const std::vector<Polyline>&);

/// Pictures made here, one above the other.
std::string stacked(const std::vector<std::string>& pictures);

}  // namespace crankwise::bench
