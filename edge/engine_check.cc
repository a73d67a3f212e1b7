#include "edge/engine_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace crankwise {
namespace {

constexpr double kDeg = std::numbers::pi / 180;

double deg(double rad) { return rad / kDeg; }

class Check {
 public:
  Check(const engine::Design& d, EngineTables& tables) : d_(d), tables_(tables) {}

  void all() {
    if (2 * d_.train.rod_m <= d_.train.stroke_m)
      say("crank", "rod", "is not longer than half the stroke",
          fmt::format("more than {:g} mm, between centres", d_.train.stroke_m * 500));
    d_.cycle == Cycle::two_stroke ? two_stroke() : four_stroke();
    for (const auto& point : d_.burn.spark_rad.points) {
      if (point.y < -20 * kDeg)
        say("burn", "spark",
            fmt::format("comes {:g} deg after top dead centre at {:g} rpm", std::round(-deg(point.y)), point.x),
            "before top dead centre, or 20 deg after it at most (-20 deg)");
    }
  }

 private:
  void say(const std::string& table, const std::string& field, std::string wrong, std::string right) {
    const auto found = tables_.find(table);
    if (found != tables_.end() && !found->second.refused(field))
      found->second.note_field(field, std::move(wrong), std::move(right));
  }

  bool refused(const std::string& table, const std::string& field) const {
    const auto found = tables_.find(table);
    return found == tables_.end() || found->second.refused(field);
  }

  /// Is the piston's edge somewhere between the dead centres there?
  bool in_the_barrel(const std::string& table, const std::string& field, double rad) {
    const bool above = rad <= 0;
    if (!above && rad < std::numbers::pi) return true;
    say(table, field,
        above ? fmt::format("{:g} deg is above the deck", deg(rad))
              : fmt::format("{:g} deg is below bottom dead centre", deg(rad)),
        "after top dead centre, above 0 deg and below 180 deg");
    return false;
  }

  void two_stroke() {
    const engine::TwoStrokeParts& two = d_.two;
    const bool exhaust = in_the_barrel("exhaust-port", "opens", two.exhaust_port.opens_rad);
    const bool transfer = in_the_barrel("transfer-port", "opens", two.transfer_port.opens_rad);
    if (exhaust && transfer && two.transfer_port.opens_rad <= two.exhaust_port.opens_rad)
      say("transfer-port", "opens", "is not later than the exhaust port",
          fmt::format("more than {:g} deg after top dead centre", deg(two.exhaust_port.opens_rad)));
    const engine::ExhaustValve& valve = two.exhaust_valve;
    if (!valve.fitted) return;
    if (in_the_barrel("exhaust-valve", "low_opens", valve.low_opens_rad) && exhaust &&
        valve.low_opens_rad <= two.exhaust_port.opens_rad)
      say("exhaust-valve", "low_opens", "is not later than the port with the valve up",
          fmt::format("more than {:g} deg after top dead centre", deg(two.exhaust_port.opens_rad)));
    if (valve.up_rpm <= valve.rises_rpm)
      say("exhaust-valve", "up", "is not faster than where it begins to rise",
          fmt::format("more than {:g} rpm", valve.rises_rpm));
  }

  void four_stroke() {
    valve("inlet-valves", d_.four.inlet, "top", "bottom");
    valve("exhaust-valves", d_.four.exhaust, "bottom", "top");
  }
  void valve(const std::string& table, const engine::Valve& v, const char* opens_at, const char* closes_at) {
    const auto near = [&](const char* field, double rad, const char* side, const char* centre) {
      if (std::abs(rad) <= 90 * kDeg) return true;
      say(table, field, fmt::format("{:g} deg is at the wrong dead centre", deg(rad)),
          fmt::format("{} {} dead centre, from -90 deg to 90 deg", side, centre));
      return false;
    };
    const bool opens = near("opens", v.opens_rad, "before", opens_at);
    const bool closes = near("closes", v.closes_rad, "after", closes_at);
    if (opens && closes && v.opens_rad + v.closes_rad < -90 * kDeg)
      say(table, "closes", "leaves the valve open for less than 90 deg", "later");
    const double across = std::sqrt(v.count) * v.head_m;
    if (across > d_.train.bore_m * 0.9 && !refused("crank", "bore"))
      say(table, "head", "is too large for the bore",
          fmt::format("{:g} mm at most, for {} valves in this bore",
                      std::floor(d_.train.bore_m * 900 / std::sqrt(v.count)), v.count));
  }

  const engine::Design& d_;
  EngineTables& tables_;
};

}  // namespace

void check_engine(const engine::Design& d, EngineTables& tables) { Check(d, tables).all(); }

void check_stretches(const std::vector<flow::Stretch>& stretches, std::vector<TomlReader>& tables) {
  for (size_t i = 1; i < stretches.size(); ++i) {
    const double before = stretches[i - 1].to_m, after = stretches[i].from_m;
    const double step = std::pow(std::max(before, after) / std::min(before, after), 2);
    if (step <= kMostStep) continue;
    tables[i].note_field("from", fmt::format("does not meet the {:g} mm of the stretch before", before * 1000),
                         fmt::format("a step of {:g} in area at most: from {:.1f} mm to {:.1f} mm", kMostStep,
                                     before * 1000 / std::sqrt(kMostStep), before * 1000 * std::sqrt(kMostStep)));
  }
}

}  // namespace crankwise
