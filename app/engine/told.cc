#include "app/engine/told.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>

#include "edge/plot.h"

namespace crankwise {
namespace {

using engine::Outcome;

constexpr double kZeroCelsius = 273.15;

double round_to(double value, double step) { return step * std::round(value / step); }

std::string rpm_text(double rpm) {
  const auto whole = static_cast<int>(round_to(rpm, 50));
  return fmt::format("{},{:03d}", whole / 1000, whole % 1000);
}

/// Of the points that repeat, the nearest.
const Outcome& nearest_to(const SimulatedCurve& c, double rpm) {
  return *std::min_element(c.at.begin(), c.at.end(), [rpm](const Outcome& a, const Outcome& b) {
    const auto far = [rpm](const Outcome& o) {
      return std::abs(o.rpm - rpm) + (o.state == Outcome::State::repeats ? 0 : 1e5);
    };
    return far(a) < far(b);
  });
}

std::string stop_text(const engine::Ceiling& c) {
  if (c.how == engine::Stop::never_pulls) return "makes too little power to pull";
  if (c.how == engine::Stop::limit) return fmt::format("pulls to {}", rpm_text(c.rpm));
  if (c.how == engine::Stop::unknown) return fmt::format("pulls to {} at least; {}", rpm_text(c.rpm), in_words(c.how));
  return fmt::format("stops near {}: {}", rpm_text(c.rpm), in_words(c.how));
}

/// A carburettor's bowl runs dry if less comes than goes.
std::string starving(const SimulatedCurve& healthy, const SimulatedCurve& c) {
  const engine::Mixture& m = c.trial.design.mixture;
  const double needed = nearest_to(healthy, healthy.power.rpm).fuel_kg_s, short_of = needed - m.supply_kg_s;
  if (short_of <= 0) return "";
  if (m.by != engine::Fuelling::carburettor) return "The fuel that comes does not reach: it shows at once.";
  const double seconds = m.jets.bowl_m3 * c.trial.design.fuel.density_kg_m3 / short_of;
  return fmt::format(
      "It pulls as if nothing were wrong for about {:.0f} s at full throttle, until the bowl is empty; what is shown "
      "comes after that.",
      round_to(std::max(seconds, 1.0), seconds > 20 ? 5 : 1));
}

/// Where its cycles differ much from each other, or never settle; nothing if nowhere.
std::string surging(const SimulatedCurve& c) {
  std::string at;
  for (const Outcome& o : c.at)
    if ((o.uneven > 0.1 && o.misfire < 0.9 && o.power_w > 0) || o.state == Outcome::State::does_not_repeat)
      at += (at.empty() ? "" : ", ") + rpm_text(o.rpm);
  return at.empty() ? at : fmt::format("It surges near {}: its cycles differ from each other there.", at);
}

}  // namespace

std::string share_in_words(double share) {
  constexpr std::array<std::pair<double, const char*>, 5> words = {
      {{0.25, "a quarter"}, {1.0 / 3, "a third"}, {0.5, "half"}, {2.0 / 3, "two thirds"}, {0.75, "three quarters"}}};
  for (const auto& [value, word] : words)
    if (std::abs(share - value) < 0.005) return word;
  return fmt::format("{:.0f} %", 100 * share);
}

std::string trial_in_words(const Trial& t) {
  if (t.fault.empty()) return "healthy";
  return fmt::format(fmt::runtime(engine::find_fault(t.fault)->words), share_in_words(t.severity));
}

std::string mixture_in_words(double lambda) {
  if (lambda < 0.68) return "much too rich";
  if (lambda < 0.78) return "rich";
  if (lambda <= 0.95) return "right";
  return lambda <= 1.1 ? "lean" : "much too lean";
}

std::vector<std::string> explained(const SimulatedCurve& c) {
  const Outcome& peak = nearest_to(c, c.power.rpm);
  std::vector<std::string> out = {
      fmt::format("Healthy it gives {:.1f} kW at {} and {:.1f} N m at {}, mixture {:.2f} of what just burns.",
                  c.power.value / 1000, rpm_text(c.power.rpm), c.torque.value, rpm_text(c.torque.rpm), peak.lambda),
      fmt::format("In a middle gear it {}; in neutral it {}.", stop_text(c.gear), stop_text(c.neutral))};
  if (const std::string where = surging(c); !where.empty()) out.push_back(where);
  return out;
}

std::vector<std::string> explained(const SimulatedCurve& healthy, const SimulatedCurve& c) {
  std::vector<std::string> out;
  const std::string with = trial_in_words(c.trial);
  const engine::Ceiling& gear = c.gear;
  const bool known = gear.how != engine::Stop::unknown;
  // Healthy it comes to its own figure at least.
  const bool stops_lower = known && gear.rpm < 0.97 * healthy.gear.rpm;
  const Outcome &was = nearest_to(healthy, healthy.power.rpm), &is = nearest_to(c, healthy.power.rpm);
  const double there = stops_lower ? gear.lambda : is.lambda;
  if (gear.how == engine::Stop::never_pulls) {
    out.push_back(fmt::format("{} this engine makes no power that would pull the bike.", with));
  } else if (stops_lower) {
    out.push_back(fmt::format(
        "{} this engine stops near {} in a middle gear instead of {} ({}); the mixture there is {} ({:.2f}).", with,
        rpm_text(gear.rpm), rpm_text(healthy.gear.rpm), in_words(gear.how), mixture_in_words(there), there));
  } else {
    out.push_back(fmt::format("{} this engine reaches {} in a middle gear{}; the mixture at its best is {} ({:.2f}).",
                              with, rpm_text(gear.rpm),
                              known ? "" : " at least, and what it does above that is not known",
                              mixture_in_words(there), there));
  }
  out.front()[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(out.front()[0])));
  out.push_back(fmt::format("In neutral it {}; healthy it {}.", stop_text(c.neutral), stop_text(healthy.neutral)));
  const double left = c.power.value / healthy.power.value;
  if (left < 0.985)
    out.push_back(fmt::format("Its best power falls from {:.1f} kW at {} to {:.1f} kW at {}, {:.0f} % of it.",
                              healthy.power.value / 1000, rpm_text(healthy.power.rpm),
                              std::max(0.0, c.power.value) / 1000, rpm_text(c.power.rpm), 100 * std::max(0.0, left)));
  else
    out.push_back("Its best power stays within what a dynamometer tells.");
  // *Common practice*: a lean engine held wide open seizes, or burns a hole in its piston.
  if (is.power_w > 0 && (is.lambda > 1.0 || there > 1.0))
    out.push_back("Do not look for it by holding the throttle open: so lean an engine can seize or burn its piston.");
  // *Common practice*: an engine that knocks at full throttle breaks rings and melts pistons.
  if (is.power_w > 0 && is.knock_margin < std::min(0.0, was.knock_margin - 0.1))
    out.push_back("It may knock: full throttle can break it, so find this one with little throttle or none.");
  const double hotter = is.exhaust_k - was.exhaust_k;
  if (std::abs(hotter) > 40 && is.power_w > 0)
    out.push_back(fmt::format("Where it was strongest the exhaust gas leaves {:.0f} K {}.",
                              round_to(std::abs(hotter), 10), hotter > 0 ? "hotter" : "cooler"));
  if (is.misfire > 0.05) out.push_back(fmt::format("There {:.0f} % of the firings fail.", 100 * is.misfire));
  for (const std::string& more : {starving(healthy, c), surging(c)})
    if (!more.empty()) out.push_back(more);
  return out;
}

std::vector<std::vector<std::string>> table_of(const SimulatedCurve& healthy, const SimulatedCurve* faulty) {
  const auto row = [](const Outcome& o, bool short_row) -> std::vector<std::string> {
    if (o.state != Outcome::State::repeats) {
      std::vector<std::string> out = {"does not repeat", "", "", ""};
      if (!short_row) out.insert(out.end(), 5, "");
      return out;
    }
    std::vector<std::string> out = {fmt::format("{:.1f}", o.power_w / 1000), fmt::format("{:.1f}", o.torque_nm),
                                    fmt::format("{:.2f}", o.lambda), fmt::format("{:.0f}", 100 * o.misfire)};
    if (short_row) return out;
    for (const std::string& cell :
         {fmt::format("{:.2f}", o.delivery_ratio), fmt::format("{:.1f}", o.bmep_pa / 1e5),
          fmt::format("{:.0f}", o.exhaust_k - kZeroCelsius), fmt::format("{:.0f}", o.peak_pa / 1e5),
          o.power_w > 100 ? fmt::format("{:.0f}", o.bsfc_kg_j * 3.6e9) : ""})
      out.push_back(cell);
    return out;
  };
  std::vector<std::vector<std::string>> out;
  if (faulty == nullptr)
    out.push_back(
        {"rpm", "kW", "N m", "lambda", "misfires %", "delivery", "bmep bar", "exhaust C", "peak bar", "g/kWh"});
  else
    out.push_back({"rpm", "kW", "N m", "lambda", "misfires %", "kW with it", "N m", "lambda", "misfires %"});
  for (size_t i = 0; i < healthy.at.size(); ++i) {
    out.push_back({fmt::format("{:.0f}", healthy.at[i].rpm)});
    for (std::string& cell : row(healthy.at[i], faulty != nullptr)) out.back().push_back(std::move(cell));
    if (faulty == nullptr) continue;
    for (std::string& cell : row(faulty->at[i], true)) out.back().push_back(std::move(cell));
  }
  return out;
}

std::string picture_of(const SimulatedCurve& healthy, const SimulatedCurve* faulty) {
  const double from = healthy.at.front().rpm, to = healthy.at.back().rpm;
  double most_kw = healthy.power.value / 1000, most_nm = healthy.torque.value;
  if (faulty != nullptr) {
    most_kw = std::max(most_kw, faulty->power.value / 1000);
    most_nm = std::max(most_nm, faulty->torque.value);
  }
  const plot::Axes power{44, 300, from, to, 0, plot::even_top(most_kw)},
      torque{420, 200, from, to, 0, plot::even_top(most_nm)}, lambda{696, 130, from, to, 0.5, 1.5};
  const auto line = [](const SimulatedCurve& c, const plot::Axes& a, auto value) {
    std::string d;
    bool pen = false;
    for (const Outcome& o : c.at) {
      const bool shown = o.state == Outcome::State::repeats;
      if (shown)
        d += fmt::format("{}{:.1f} {:.1f}", pen ? "L" : "M", a.x(o.rpm), a.y(std::clamp(value(o), a.from_y, a.to_y)));
      pen = shown;
    }
    return d;
  };
  std::string out =
      plot::grid(power, faulty == nullptr ? "kW at the crank" : "kW at the crank; healthy thin and grey, faulty bold",
                 "rpm") +
      plot::grid(torque, "N m", "rpm") + plot::grid(lambda, "air over what the fuel needs", "rpm");
  const auto add = [&](const SimulatedCurve& c, const char* colour, double width) {
    out += plot::drawn(line(c, power, [](const Outcome& o) { return o.power_w / 1000; }), colour, width);
    out += plot::drawn(line(c, torque, [](const Outcome& o) { return o.torque_nm; }), colour, width);
    out += plot::drawn(line(c, lambda, [](const Outcome& o) { return o.lambda; }), colour, width);
  };
  add(healthy, faulty == nullptr ? plot::kMain : plot::kBeside, faulty == nullptr ? 2.6 : 1.8);
  if (faulty != nullptr) add(*faulty, plot::kMain, 2.8);
  const SimulatedCurve& last = faulty == nullptr ? healthy : *faulty;
  if (last.gear.rpm > from && last.gear.rpm < to)
    out += fmt::format("<path d='M{:.1f} {}V{}' stroke='{}' stroke-dasharray='9 5'/>\n", power.x(last.gear.rpm),
                       power.top, power.top + power.height, plot::kMark) +
           plot::text(power.x(last.gear.rpm) - 6, power.top + 18,
                      fmt::format("in a gear to {}", rpm_text(last.gear.rpm)), "end", plot::kMark);
  return plot::page(870, "Power, torque and mixture over speed, " + trial_in_words(last.trial), out);
}

}  // namespace crankwise
