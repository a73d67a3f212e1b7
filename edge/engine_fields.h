// Single tables of an engine's file into the design (docs/engine-format.md has them all).
#pragma once

#include <optional>

#include "core/engine/design.h"
#include "edge/toml_reader.h"

namespace crankwise {

/// Figures of one table with units, in SI.
class Figures {
 public:
  explicit Figures(TomlReader& t) : t_(t) {}
  Figures& need(const char* field, const char* unit, double low, double high, double& into) {
    return take(field, unit, low, high, into, {});
  }
  /// What is not there stays as it is.
  Figures& may(const char* field, const char* unit, double low, double high, double& into);
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
                std::optional<double> otherwise);
  TomlReader& t_;
};

/// Over rpm; y in SI.
engine::Curve curve(TomlReader&, const char* field, const TomlReader::Axis& y);

void read_stretch(TomlReader&, flow::Stretch&);
/// Needs crank and exhaust port.
void read_head(TomlReader&, engine::Design&);
void read_carburettor(TomlReader&, engine::Design&);
void read_port(TomlReader&, engine::Port&);
void read_reed(TomlReader&, engine::Design&);
void read_valves(TomlReader&, engine::Valve&);
void read_burn(TomlReader&, engine::Burn&);
void read_friction(TomlReader&, engine::ChenFlynn&);

}  // namespace crankwise
