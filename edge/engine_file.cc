#include "edge/engine_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "core/thermo/working_gas.h"
#include "edge/engine_check.h"
#include "edge/engine_fields.h"
#include "edge/engine_overlay.h"
#include "edge/file.h"

namespace crankwise {
namespace {

using engine::Design;
using engine::Fuelling;

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
    optional("silencer", [&](TomlReader& t) {
      Figures(t)
          .need("volume", "mL", 20, 20000, d.silencer.volume_m3)
          .need("resistance", 10, 100000, d.silencer.resistance_pa_s_m);
    });
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

constexpr size_t kMostBytes = 1 << 20;

}  // namespace

EngineFile parse_engine(const EngineText& text, const EngineText& over) {
  std::vector<Problem> problems;
  auto top = parsed(text, problems);
  auto laid = parsed(over, problems);
  if (!top || !laid) throw BadInput(std::move(problems));
  lay_over(*top, *laid, problems);
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
