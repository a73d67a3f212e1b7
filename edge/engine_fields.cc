#include "edge/engine_fields.h"

#include <fmt/format.h>

#include "edge/units.h"

namespace crankwise {

using engine::Design;

Figures& Figures::may(const char* field, const char* unit, double low, double high, double& into) {
  const Unit u = *find_unit(unit);
  return take(field, unit, low, high, into, into / u.si - u.offset);
}

Figures& Figures::take(const char* field, const char* unit, double low, double high, double& into,
                       std::optional<double> otherwise) {
  const Unit u = *find_unit(unit);
  if (!otherwise || t_.has(field))
    into = (t_.measure(field, unit, low, high, otherwise) + u.offset) * u.si;
  else
    t_.text(field);
  return *this;
}

engine::Curve curve(TomlReader& t, const char* field, const TomlReader::Axis& y) {
  engine::Curve out;
  const double si = find_unit(y.unit)->si;
  for (const auto& p : t.curve(field, {"rpm", 0, 20000}, y)) out.points.push_back({p.x, p.y * si});
  return out;
}

void read_stretch(TomlReader& t, flow::Stretch& s) {
  Figures(t)
      .need("length", "mm", 2, 3000, s.length_m)
      .need("from", "mm", 5, 300, s.from_m)
      .need("to", "mm", 5, 300, s.to_m)
      .need("wall", "degC", -40, 1000, s.wall_k);
}

void read_head(TomlReader& t, Design& d) {
  if (t.has("clearance") && t.has("ratio")) t.note_field("clearance", "and ratio are both there", "one of the two");
  if (!t.has("clearance") && !t.has("ratio")) t.note(nullptr, "clearance", "and ratio are missing", "one of the two");
  if (t.has("clearance")) Figures(t).need("clearance", "mL", 1, 200, d.clearance_m3);
  if (!t.has("ratio")) return;
  const double ratio = t.number("ratio", -100, 100);
  const std::string of = t.text("ratio_of");
  if (of != "full" && of != "trapped")
    t.note_field(t.has("ratio_of") ? "ratio_of" : "ratio",
                 t.has("ratio_of") ? "\"" + of + "\" is not known" : "is told without ratio_of",
                 "\"full\" (of the whole stroke) or \"trapped\" (from the closing of the exhaust port)");
  if (ratio <= 1)
    return t.note_field("ratio", fmt::format("{:g} is no compression", ratio), "above 1; 6 to 9 trapped, 9 to 14 full");
  double swept = displacement_m3(d.train.bore_m, d.train.stroke_m);
  const double closes = d.two.exhaust_port.opens_rad;
  if (of == "trapped" && closes > 0 && closes < std::numbers::pi)
    swept *= piston_drop_m(d.train, closes) / d.train.stroke_m;
  d.clearance_m3 = clearance_from_ratio_m3(swept, ratio);
}

void read_carburettor(TomlReader& t, Design& d) {
  double main = 0, pilot = 0, discharge = 0.75, needle = 0;
  engine::CarburettorJets& jets = d.mixture.jets;
  Figures(t)
      .need("main_jet", "mm", 0, 5, main)
      .need("needle_area", "mm2", 0, 30, needle)
      .need("pilot_jet", "mm", 0, 3, pilot)
      .may("discharge", 0.3, 1, discharge)
      .may("level", "mm", -20, 40, jets.lip_m)
      .may("spray", 0, 1.5, jets.spray)
      .may("vent", 0, 1, jets.vent);
  const auto hole = [&](double bore) { return discharge * std::numbers::pi / 4 * bore * bore; };
  jets.main_m2 = hole(main), jets.needle_m2 = discharge * needle, jets.pilot_m2 = hole(pilot);
}

void read_port(TomlReader& t, engine::Port& p) {
  Figures(t)
      .need("opens", "deg", -360, 360, p.opens_rad)
      .need("width", "mm", 5, 400, p.width_m)
      .may("discharge", 0.3, 1, p.discharge);
}

void read_reed(TomlReader& t, Design& d) {
  engine::Reed& r = d.two.reed;
  double lift_m = 0;
  Figures(t)
      .need("window_area", "mm2", 20, 6000, r.window_m2)
      .need("edge", "mm", 10, 1500, r.edge_m)
      .need("frequency", "Hz", 20, 2000, r.natural_hz)
      .need("lift_at_10_kpa", "mm", 0.05, 60, lift_m)
      .may("damping", 0, 2, r.damping)
      .need("stop", "mm", 0.5, 40, r.stop_m);
  r.lift_m_pa = lift_m / 10e3;
}

void read_valves(TomlReader& t, engine::Valve& v) {
  double count = v.count;
  Figures(t)
      .need("count", 1, 5, count)
      .need("head", "mm", 8, 80, v.head_m)
      .need("lift", "mm", 1, 25, v.lift_m)
      .need("opens", "deg", -360, 360, v.opens_rad)
      .need("closes", "deg", -360, 360, v.closes_rad)
      .may("discharge", 0.2, 1, v.discharge);
  v.count = static_cast<int>(count);
  if (v.count != count) t.note_field("count", "is not a whole number", "1 to 5");
}

void read_burn(TomlReader& t, engine::Burn& b) {
  Figures(t)
      .may("duration", "deg", 15, 150, b.duration_rad)
      .may("shape", 0.5, 6, b.shape)
      .may("efficiency", 0.3, 1, b.efficiency);
  b.spark_rad = curve(t, "spark", {"deg", -180, 90});
  b.limit_rpm = t.measure("limit", "rpm", 1000, 20000, 0);
}

void read_friction(TomlReader& t, engine::ChenFlynn& f) {
  double speed = f.by_speed_pa_s_m * 10, squared = f.by_speed2_pa_s2_m2 * 100;  // at 10 m/s
  Figures(t)
      .may("constant", "kPa", 0, 300, f.constant_pa)
      .may("of_peak_pressure", 0, 0.03, f.by_peak)
      .may("at_10_m_s", "kPa", 0, 400, speed)
      .may("squared_at_10_m_s", "kPa", 0, 200, squared);
  f.by_speed_pa_s_m = speed / 10, f.by_speed2_pa_s2_m2 = squared / 100;
}

}  // namespace crankwise
