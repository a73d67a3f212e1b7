#include "edge/engine_file.h"
#include "core/thermo/working_gas.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "edge/engine_check.h"
#include "edge/file.h"
#include "edge/units.h"

namespace crankwise {
namespace {

using engine::Design;
using engine::Fuelling;

/// Figures of one table with units, in SI.
class Figures {
 public:
  explicit Figures(TomlReader& t) : t_(t) {}
  Figures& need(const char* field, const char* unit, double low, double high, double& into) {
    return take(field, unit, low, high, into, {});
  }
  /// What is not there stays as it is.
  Figures& may(const char* field, const char* unit, double low, double high, double& into) {
    const Unit u = *find_unit(unit);
    return take(field, unit, low, high, into, into / u.si - u.offset);
  }
  Figures& need(const char* field, double low, double high, double& into) {
    return into = t_.number(field, low, high), *this;
  }
  Figures& may(const char* field, double low, double high, double& into) {
    return into = t_.number(field, low, high, into), *this;
  }
  Figures& need_rpm(const char* field, double low, double high, double& into) {
    return into = t_.measure(field, "rpm", low, high), *this;
  }

 private:
  Figures& take(const char* field, const char* unit, double low, double high, double& into,
                std::optional<double> otherwise) {
    const Unit u = *find_unit(unit);
    if (!otherwise || t_.has(field))
      into = (t_.measure(field, unit, low, high, otherwise) + u.offset) * u.si;
    else
      t_.text(field);
    return *this;
  }
  TomlReader& t_;
};

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

/// All tables of one file.
class EngineReader {
 public:
  EngineReader(const toml::table& top, std::string file, std::vector<Problem>& problems)
      : top_(top), file_(std::move(file)), problems_(problems) {}

  EngineFile read() {
    Design& d = out_.design;
    d.fuel.gas = thermo::working_gas(thermo::petrol());
    table("engine", [&](TomlReader& t) { head(t); });
    const bool two = d.cycle == Cycle::two_stroke;
    table("crank", [&](TomlReader& t) {
      Figures(t)
          .need("bore", "mm", 20, 200, d.train.bore_m)
          .need("stroke", "mm", 20, 200, d.train.stroke_m)
          .need("rod", "mm", 5, 400, d.train.rod_m);
    });
    table("air-box", [&](TomlReader& t) {
      Figures(t)
          .need("volume", "L", 0.1, 100, d.box.volume_m3)
          .need("inlet_area", "mm2", 50, 100000, d.box.inlet_m2)
          .need("filter_area", "mm2", 50, 100000, d.box.filter_m2);
    });
    stretches("runner", d.runner);
    table("throttle", [&](TomlReader& t) {
      Figures(t).need("bore", "mm", 5, 100, d.throttle.bore_m).may("open", "%", 0.5, 100, d.throttle.open);
    });
    two ? two_stroke() : four_stroke();
    table("head", [&](TomlReader& t) { read_head(t, d); });
    stretches("exhaust", d.exhaust);
    table("burn", [&](TomlReader& t) { read_burn(t, d.burn); });
    fuelling();
    optional("friction", [&](TomlReader& t) { read_friction(t, d.friction); });
    optional("walls", [&](TomlReader& t) {
      Figures(t)
          .may("head", "degC", 0, 500, d.walls.head_k)
          .may("piston", "degC", 0, 600, d.walls.piston_k)
          .may("barrel", "degC", 0, 400, d.walls.barrel_k)
          .may("case", "degC", 0, 200, d.walls.case_k);
    });
    strangers();
    check_engine(d, tables_);
    for (auto& [name, t] : tables_) t.finish();
    return std::move(out_);
  }

 private:
  void head(TomlReader& t) {
    out_.name = t.need_text("name");
    if (t.has("class") && top_.at_path("engine.class").is_array())
      out_.classes = t.list("class");
    else
      out_.classes = {t.need_text("class")};
    out_.source = t.need_text("source");
    out_.design.cycle =
        word(t, "cycle", std::array{"two-stroke", "four-stroke"}) == 1 ? Cycle::four_stroke : Cycle::two_stroke;
    constexpr std::array kBy{Fuelling::carburettor, Fuelling::injection, Fuelling::ideal};
    out_.design.mixture.by = kBy[word(t, "fuelling", std::array{"carburettor", "injection", "ideal"})];
    out_.design.mixture.lambda = t.number("lambda", 0.5, 1.5, out_.design.mixture.lambda);
  }

  /// Which of these words it is; the first if none.
  template <size_t n>
  size_t word(TomlReader& t, const std::string& field, const std::array<const char*, n>& words) {
    const bool there = t.has(field);
    const std::string told = t.need_text(field);
    std::string right = "one of";
    for (size_t i = 0; i < n; ++i) {
      if (told == words[i]) return i;
      right += fmt::format("{} {}", i == 0 ? "" : ",", words[i]);
    }
    if (there && !told.empty()) t.note_field(field, "\"" + told + "\" is not known", right);
    return 0;
  }

  void two_stroke() {
    engine::TwoStrokeParts& two = out_.design.two;
    table("reed", [&](TomlReader& t) { read_reed(t, out_.design); });
    table("crankcase", [&](TomlReader& t) {
      Figures(t).need("volume", "mL", 20, 3000, two.case_m3).need("cage_volume", "mL", 5, 1000, two.cage_m3);
    });
    table("transfers", [&](TomlReader& t) { read_stretch(t, two.transfer); });
    table("transfer-port", [&](TomlReader& t) { read_port(t, two.transfer_port); });
    table("exhaust-port", [&](TomlReader& t) { read_port(t, two.exhaust_port); });
    two.exhaust_valve.fitted = optional("exhaust-valve", [&](TomlReader& t) {
      Figures(t)
          .need("low_opens", "deg", -360, 360, two.exhaust_valve.low_opens_rad)
          .need_rpm("rises", 500, 20000, two.exhaust_valve.rises_rpm)
          .need_rpm("up", 500, 20000, two.exhaust_valve.up_rpm);
    });
    optional("scavenging", [&](TomlReader& t) {
      Figures(t)
          .may("displaced", 0, 1, two.scavenging.displaced)
          .may("short_circuit", 0, 0.5, two.scavenging.short_circuit);
    });
  }

  void four_stroke() {
    engine::FourStrokeParts& four = out_.design.four;
    table("throttle-body", [&](TomlReader& t) { Figures(t).need("volume", "mL", 5, 1000, four.body_m3); });
    stretches("inlet-port", four.port);
    table("inlet-valves", [&](TomlReader& t) { read_valves(t, four.inlet); });
    table("exhaust-valves", [&](TomlReader& t) { read_valves(t, four.exhaust); });
  }

  void fuelling() {
    Design& d = out_.design;
    if (d.mixture.by == Fuelling::carburettor) table("carburettor", [&](TomlReader& t) { read_carburettor(t, d); });
    if (d.mixture.by == Fuelling::injection)
      table("injection", [&](TomlReader& t) { d.mixture.injected_kg = curve(t, "map", {"mg", 0, 1000}); });
    optional("fuel", [&](TomlReader& t) {
      double supply = 0;
      Figures(t)
          .may("air_to_fuel", 3, 20, d.fuel.air_to_fuel)
          .may("heat", "MJ/kg", 10, 60, d.fuel.heat_j_kg)
          .may("evaporation", "kJ/kg", 50, 1500, d.fuel.evaporation_j_kg)
          .may("density", "kg/m3", 500, 1200, d.fuel.density_kg_m3)
          .may("supply", "mL/min", 1, 20000, supply);
      if (supply > 0) d.mixture.supply_kg_s = supply * d.fuel.density_kg_m3;
    });
  }

  template <class Read>
  bool optional(const std::string& name, Read read_table) {
    asked_.push_back(name);
    const toml::node* node = top_.get(name);
    if (node == nullptr) return false;
    const toml::table* t = node->as_table();
    if (t == nullptr) {
      note(*node, name, "is not a table", "[" + name + "]");
      return false;
    }
    TomlReader& reader = tables_.try_emplace(name, *t, file_, name, problems_).first->second;
    reader.text("source");
    read_table(reader);
    return true;
  }
  template <class Read>
  void table(const std::string& name, Read read_table) {
    if (top_.get(name) == nullptr) missing(name, "[" + name + "]");
    optional(name, read_table);
  }
  void note(const toml::node& at, const std::string& name, std::string wrong, std::string right) {
    const auto& from = at.source();
    problems_.push_back({from.path && !from.path->empty() ? *from.path : file_, static_cast<int>(from.begin.line), name,
                         std::move(wrong), std::move(right)});
  }
  void missing(const std::string& name, std::string right) {
    problems_.push_back({file_, 0, name, "is missing", std::move(right)});
  }

  void stretches(const std::string& name, std::vector<flow::Stretch>& into) {
    asked_.push_back(name);
    const toml::node* node = top_.get(name);
    const toml::array* array = node == nullptr ? nullptr : node->as_array();
    if (array == nullptr || array->empty()) return missing(name, "[[" + name + "]], one for each stretch");
    std::vector<TomlReader> readers;
    const size_t before = problems_.size();
    for (size_t i = 0; i < array->size(); ++i) {
      const toml::table* t = array->get(i)->as_table();
      if (t == nullptr) return missing(name, "[[" + name + "]], one for each stretch");
      TomlReader& reader = readers.emplace_back(*t, file_, fmt::format("{}.{}", name, i + 1), problems_);
      read_stretch(reader, into.emplace_back());
      reader.text("source");
      reader.finish();
    }
    if (problems_.size() == before) check_stretches(into, readers);
  }

  /// Tables that nobody asked for.
  void strangers() {
    for (const auto& [key, node] : top_) {
      const std::string name(key.str());
      if (std::find(asked_.begin(), asked_.end(), name) != asked_.end()) continue;
      const std::string near = nearest(name, asked_);
      std::string right = "not of this engine: leave it out";
      if (!near.empty()) right = "perhaps \"" + near + "\"";
      note(node, name, "is not a table here", right);
    }
  }

  const toml::table& top_;
  std::string file_;
  std::vector<Problem>& problems_;
  EngineFile out_;
  EngineTables tables_;
  std::vector<std::string> asked_;
};

std::optional<toml::table> parsed(const EngineText& t, std::vector<Problem>& problems) {
  try {
    return toml::parse(t.text, t.file);
  } catch (const toml::parse_error& e) {
    problems.push_back(
        {t.file, static_cast<int>(e.source().begin.line), "", std::string(e.description()), "valid TOML"});
    return {};
  }
}

/// Fields of `over` take the place of those of `base`; moved, so that each keeps its file and line.
void lay_over(toml::table& base, toml::table& over, const std::string& path, std::vector<Problem>& problems) {
  for (auto&& [key, node] : over) {
    const std::string here = path + std::string(key.str());
    toml::node* under = base.get(key.str());
    toml::table* fields = node.as_table();
    if (fields != nullptr && under != nullptr && under->is_table()) {
      lay_over(*under->as_table(), *fields, here + ".", problems);
      continue;
    }
    toml::array* list = under == nullptr ? nullptr : under->as_array();
    if (fields == nullptr || list == nullptr) {
      base.insert_or_assign(key.str(), std::move(node));
      continue;
    }
    for (auto&& [number, part] : *fields) {
      const std::string told(number.str());
      const bool digits = !told.empty() && told.size() < 4 &&
                          std::all_of(told.begin(), told.end(), [](char c) { return c >= '0' && c <= '9'; });
      const size_t at = digits ? std::stoul(told) : 0;
      if (at == 0 || at > list->size() || !part.is_table() || !list->get(at - 1)->is_table()) {
        problems.push_back({*part.source().path, static_cast<int>(part.source().begin.line), here + "." + told,
                            "is not a stretch of this engine", fmt::format("{0}.1 to {0}.{1}", here, list->size())});
        continue;
      }
      lay_over(*list->get(at - 1)->as_table(), *part.as_table(), here + "." + told + ".", problems);
    }
  }
}

/// Of clearance and ratio the overlay's goes, whichever the base has.
void drop_other_compression(toml::table& base, const toml::table& over) {
  toml::table* head = base["head"].as_table();
  const toml::table* mine = over["head"].as_table();
  if (head == nullptr || mine == nullptr) return;
  if (mine->contains("clearance") || mine->contains("ratio"))
    for (const char* field : {"clearance", "ratio"}) head->erase(field);
  if (mine->contains("clearance")) head->erase("ratio_of");
}

constexpr size_t kMostBytes = 1 << 20;

}  // namespace

EngineFile parse_engine(const EngineText& text, const EngineText& over) {
  std::vector<Problem> problems;
  auto top = parsed(text, problems);
  auto laid = parsed(over, problems);
  if (!top || !laid) throw BadInput(std::move(problems));
  drop_other_compression(*top, *laid);
  lay_over(*top, *laid, "", problems);
  EngineFile out = EngineReader(*top, text.file, problems).read();
  if (!problems.empty()) throw BadInput(std::move(problems));
  return out;
}

EngineFile read_engine(const std::filesystem::path& path, const std::filesystem::path& overlay) {
  const EngineText text{path.string(), read_whole(path, kMostBytes)};
  return overlay.empty() ? parse_engine(text) : parse_engine(text, {overlay.string(), read_whole(overlay, kMostBytes)});
}

engine::Design load_engine(const std::filesystem::path& path, const std::filesystem::path& overlay) {
  return read_engine(path, overlay).design;
}

}  // namespace crankwise
