#include "app/sound/engine.h"

#include <fmt/format.h>

#include <algorithm>

#include "edge/units.h"

namespace crankwise {
namespace {

constexpr double kLeastRpm = 300, kMostRpm = 20000;

/// The middle of a figure in rpm, its own baseline first; nothing if there is none.
std::optional<double> figure_rpm(const Bike& bike, const std::string& reading, bool upper) {
  for (const auto* figures : {&bike.baselines, &bike.figures}) {
    const auto found = figures->find(reading);
    if (found == figures->end()) continue;
    const Figure& f = found->second;
    return convert(upper ? f.high : (f.low + f.high) / 2, f.unit, "rpm");
  }
  return {};
}

}  // namespace

sound::Engine usual_engine(Cycle cycle, double displacement_cc) {
  // From memory, and wide: the smaller, the faster.
  const double cc = displacement_cc > 0 ? displacement_cc : 125;
  const double most = cycle == Cycle::two_stroke ? (cc <= 90    ? 14500
                                                    : cc <= 150 ? 13500
                                                                : 11500)
                                                 : (cc <= 300 ? 14500 : 12500);
  return {.cycle = cycle, .rpm_min = 900, .rpm_max = most};
}

sound::Engine engine_of(const Bike& bike) {
  const bool two = std::find(bike.traits.begin(), bike.traits.end(), "two-stroke") != bike.traits.end();
  sound::Engine engine = usual_engine(two ? Cycle::two_stroke : Cycle::four_stroke, bike.displacement_cc);
  engine.idle_rpm = figure_rpm(bike, "idle-speed", false);
  engine.ceiling_rpm = figure_rpm(bike, "cut-ceiling", true);
  if (engine.ceiling_rpm) engine.rpm_max = std::max(engine.rpm_max, *engine.ceiling_rpm * 1.05);
  return engine;
}

std::vector<Problem> problems(const sound::Engine& e) {
  std::vector<Problem> found;
  const auto wrong = [&](const char* field, const std::string& what, const std::string& right) {
    found.push_back({"", 0, field, what, right});
  };
  if (e.idle_rpm && (*e.idle_rpm < 500 || *e.idle_rpm > 5000))
    wrong("--idle", fmt::format("{:g} rpm is no idle", *e.idle_rpm), "500 to 5000 rpm");
  if (e.ceiling_rpm && (*e.ceiling_rpm < 2500 || *e.ceiling_rpm > kMostRpm))
    wrong("--ceiling", fmt::format("no single turns {:g} rpm at most", *e.ceiling_rpm), "2500 to 20000 rpm");
  if (e.idle_rpm && e.ceiling_rpm && *e.ceiling_rpm < 1.5 * *e.idle_rpm)
    wrong("--ceiling", "it is hardly above the idle", "the highest speed that the engine reaches");
  if (e.rpm_min < kLeastRpm || e.rpm_max > kMostRpm || e.rpm_max < 2 * e.rpm_min)
    wrong("", "these speeds are not those of an engine", "300 to 20000 rpm");
  return found;
}

}  // namespace crankwise
