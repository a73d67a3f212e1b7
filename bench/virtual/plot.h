// Cumulative distributions as a picture (SVG 1.1), told apart by dashes as well as by colour.
#pragma once

#include <string>
#include <vector>

namespace crankwise::bench {

struct Curve {
  std::string name;
  std::vector<double> values;
};

/// Share of the values at or below x, for x from `least` to `most` on a logarithmic axis (0 < least < most).
std::string distribution_plot(const std::string& title, const std::string& x_label, const std::vector<Curve>&,
                              double least, double most);

}  // namespace crankwise::bench
