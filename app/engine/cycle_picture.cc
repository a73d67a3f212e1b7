#include "app/engine/cycle_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>

#include "app/engine/told.h"
#include "edge/plot.h"

namespace crankwise {
namespace {

using engine::TracePoint;

constexpr double kDegree = std::numbers::pi / 180;
using Figure = std::function<double(const TracePoint&)>;

double cm3(const TracePoint& p) { return p.cylinder_m3 * 1e6; }
double degrees(const TracePoint& p) { return p.crank_rad / kDegree; }
Figure bar(double TracePoint::*pressure) {
  return [pressure](const TracePoint& p) { return p.*pressure / 1e5; };
}

std::string line(const engine::Trace& t, const plot::Axes& a, const Figure& x, const Figure& y) {
  std::string d;
  for (const TracePoint& p : t.at) d += fmt::format("{}{:.1f} {:.1f}", d.empty() ? "M" : "L", a.x(x(p)), a.y(y(p)));
  return d;
}

/// Where ports or valves open and close, the words in two rows by turns.
std::string marks(const plot::Axes& a, const engine::Design& d) {
  struct Mark {
    double rad;
    const char* words;
  };
  const double pi = std::numbers::pi;
  const bool two = d.cycle == Cycle::two_stroke;
  const double transfers = d.two.transfer_port.opens_rad, exhaust = d.two.exhaust_port.opens_rad;
  const std::array<Mark, 4> at = two ? std::array<Mark, 4>{{{-transfers, "transfers shut"},
                                                            {-exhaust, "exhaust shuts"},
                                                            {exhaust, "exhaust opens"},
                                                            {transfers, "transfers open"}}}
                                     : std::array<Mark, 4>{{{-2 * pi + d.four.exhaust.closes_rad, "exhaust shuts"},
                                                            {-pi + d.four.inlet.closes_rad, "inlet shuts"},
                                                            {pi - d.four.exhaust.opens_rad, "exhaust opens"},
                                                            {2 * pi - d.four.inlet.opens_rad, "inlet opens"}}};
  std::string out;
  for (size_t i = 0; i < at.size(); ++i) {
    const double whole = a.to_x - a.from_x;  // late or early cams may leave the cycle at one side
    const double x = a.x(std::remainder(at[i].rad / kDegree, whole));
    const bool left = x > plot::kLeft + 0.85 * plot::kWide || (two && i % 2 == 0);
    out += fmt::format("<path d='M{:.1f} {}V{}' stroke='{}' stroke-dasharray='3 5'/>\n", x, a.top, a.top + a.height,
                       plot::kBeside) +
           plot::text(x + (left ? -4 : 4), a.top + 16, at[i].words, left ? "end" : "start", plot::kBeside);
  }
  return out;
}

}  // namespace

std::string cycle_picture(const TracedCycle& healthy, const TracedCycle* faulty, double rpm) {
  const bool two = healthy.trial.design.cycle == Cycle::two_stroke;
  const Figure cylinder = bar(&TracePoint::cylinder_pa), pipe = bar(&TracePoint::exhaust_port_pa),
               inlet = bar(two ? &TracePoint::crankcase_pa : &TracePoint::inlet_pa);
  double most_bar = 1, most_cm3 = 1, least = 1, most = 1;
  for (const TracedCycle* c : {&healthy, faulty}) {
    if (c == nullptr) continue;
    for (const TracePoint& p : c->trace.at) {
      most_bar = std::max(most_bar, cylinder(p));
      most_cm3 = std::max(most_cm3, cm3(p));
      least = std::min({least, pipe(p), inlet(p)});
      most = std::max({most, pipe(p), inlet(p)});
    }
  }
  const double half = two ? 180 : 360;
  const plot::Axes loop{44, 300, 0, plot::even_top(most_cm3), 0, plot::even_top(most_bar)},
      of_pipe{420, 220, -half, half, 0.2 * std::floor(least / 0.2), plot::even_top(most)},
      of_inlet{716, 220, -half, half, of_pipe.from_y, of_pipe.to_y};
  const TracedCycle& last = faulty == nullptr ? healthy : *faulty;
  std::string out =
      plot::grid(loop, faulty == nullptr ? "cylinder, bar" : "cylinder, bar; healthy thin and grey", "cm3") +
      plot::grid(of_pipe, "exhaust pipe at the port, bar", "degrees after top") +
      plot::grid(of_inlet, two ? "crankcase, bar" : "behind the throttle, bar", "degrees after top") +
      marks(of_pipe, last.trial.design) + marks(of_inlet, last.trial.design);
  const auto add = [&](const TracedCycle& c, const char* colour, double width) {
    out += plot::drawn(line(c.trace, loop, cm3, cylinder), colour, width);
    out += plot::drawn(line(c.trace, of_pipe, degrees, pipe), colour, width);
    out += plot::drawn(line(c.trace, of_inlet, degrees, inlet), colour, width);
  };
  if (faulty != nullptr) add(healthy, plot::kBeside, 1.6);
  add(last, plot::kMain, 2.4);
  return plot::page(980, fmt::format("One cycle at {:.0f} rpm, {}", rpm, trial_in_words(last.trial)), out);
}

}  // namespace crankwise
