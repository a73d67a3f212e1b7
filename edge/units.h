// Units at the edge: what people write, to and from SI.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace crankwise {

/// Kinds of quantity that never mix. Gauge pressure and temperature are kinds of their own.
enum class Quantity {
  number,
  pressure_gauge,
  resistance,
  voltage,
  length,
  time,
  volume_flow,
  percent,
  angle,
  speed,
  temperature,
  pressure_rate,
  volume,
  mass_ratio,
  mass,
  power,
  road_speed,
  density,
  area,
  current,
  frequency,
  heating_value
};

struct Unit {
  std::string name;  // as shown: "psi"
  Quantity quantity;
  double si = 1;  // SI = (value + offset) * si
  double offset = 0;
};

/// The unit of that name, letter case and spelling variants forgiven ("kOhm", "k ohm", "ml/min"), or nothing.
std::optional<Unit> find_unit(const std::string& name);
std::vector<std::string> unit_names();

/// value in `from` as a value in `to`; nothing if they are not of one kind.
std::optional<double> convert(double value, const Unit& from, const Unit& to);

/// The same by names; nothing also if a name is not known.
std::optional<double> convert(double value, const std::string& from, const std::string& to);

/// "138 psi" -> {138, psi}; "open" and "OL" are not numbers. Nothing if it is not a number followed by a known unit.
struct Measure {
  double value = 0;
  Unit unit;
};
std::optional<Measure> parse_measure(const std::string& text);

}  // namespace crankwise
