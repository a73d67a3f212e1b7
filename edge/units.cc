#include "edge/units.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstdlib>

namespace crankwise {
namespace {

constexpr double kPi = 3.14159265358979323846;

// Conversion factors: NIST Special Publication 811, appendix B (exact where it says so). From memory.
const std::vector<Unit>& table() {
  using Q = Quantity;
  static const std::vector<Unit> kUnits{
      {"Pa", Q::pressure_gauge, 1},
      {"kPa", Q::pressure_gauge, 1e3},
      {"bar", Q::pressure_gauge, 1e5},
      {"mbar", Q::pressure_gauge, 100},
      {"hPa", Q::pressure_gauge, 100},
      {"mmHg", Q::pressure_gauge, 133.322387415},
      {"psi", Q::pressure_gauge, 6894.757293168},
      {"kgf/cm2", Q::pressure_gauge, 98066.5},
      {"inHg", Q::pressure_gauge, 3386.389},
      {"ohm", Q::resistance, 1},
      {"kohm", Q::resistance, 1e3},
      {"Mohm", Q::resistance, 1e6},
      {"mohm", Q::resistance, 1e-3},
      {"V", Q::voltage, 1},
      {"mV", Q::voltage, 1e-3},
      {"mm", Q::length, 1e-3},
      {"cm", Q::length, 1e-2},
      {"m", Q::length, 1},
      {"in", Q::length, 0.0254},
      {"thou", Q::length, 2.54e-5},
      {"ft", Q::length, 0.3048},
      {"s", Q::time, 1},
      {"min", Q::time, 60},
      {"h", Q::time, 3600},
      {"days", Q::time, 86400},
      {"mL/min", Q::volume_flow, 1e-6 / 60},
      {"mL/10s", Q::volume_flow, 1e-7},
      {"L/min", Q::volume_flow, 1e-3 / 60},
      {"%", Q::percent, 0.01},
      {"deg", Q::angle, kPi / 180},
      {"turns", Q::angle, 2 * kPi},
      {"rpm", Q::speed, 2 * kPi / 60},
      {"degC", Q::temperature, 1, 273.15},
      {"degF", Q::temperature, 5.0 / 9, 459.67},
      {"kPa/min", Q::pressure_rate, 1e3 / 60},
      {"psi/min", Q::pressure_rate, 6894.757293168 / 60},
      {"bar/min", Q::pressure_rate, 1e5 / 60},
      {"mL", Q::volume, 1e-6},
      {"L", Q::volume, 1e-3},
      {"oz", Q::volume, 2.95735295625e-5},  // US fluid ounce
      {"cm3", Q::volume, 1e-6},
      {"cc", Q::volume, 1e-6},
      {"gal", Q::volume, 3.785411784e-3},  // US
      {"mg", Q::mass, 1e-6},
      {"g", Q::mass, 1e-3},
      {"kg", Q::mass, 1},
      {"W", Q::power, 1},
      {"kW", Q::power, 1e3},
      {"hp", Q::power, 745.69987158227},  // mechanical
      {"PS", Q::power, 735.49875},
      {"km/h", Q::road_speed, 1 / 3.6},
      {"mph", Q::road_speed, 0.44704},
      {"m/s", Q::road_speed, 1},
      {"kg/m3", Q::density, 1},
      {"mm2", Q::area, 1e-6},
      {"cm2", Q::area, 1e-4},
      {"m2", Q::area, 1},
      {"A", Q::current, 1},
      {"mA", Q::current, 1e-3},
      {"Hz", Q::frequency, 1},
      {"MJ/kg", Q::heating_value, 1e6},
      {"kJ/kg", Q::heating_value, 1e3},
      {":1", Q::mass_ratio, 1},
      {"number", Q::number, 1},
  };
  return kUnits;
}

std::string squeezed(std::string s) {
  // Longest first; letter case is looked at later.
  static constexpr std::array<std::pair<const char*, const char*>, 12> kSpellings{{{"\u03a9", "ohm"},  // omega
                                                                                   {"\u2126", "ohm"},  // ohm sign
                                                                                   {"\u00b0", "deg"},
                                                                                   {"\u00b2", "2"},
                                                                                   {"ohms", "ohm"},
                                                                                   {"Ohms", "Ohm"},
                                                                                   {"OHMS", "OHM"},
                                                                                   {"percent", "%"},
                                                                                   {"volts", "V"},
                                                                                   {"Volts", "V"},
                                                                                   {"volt", "V"},
                                                                                   {"kg/cm2", "kgf/cm2"}}};
  s.erase(std::remove_if(s.begin(), s.end(), [](unsigned char c) { return std::isspace(c) || c == '-'; }), s.end());
  for (const auto& [from, to] : kSpellings) {
    const std::string f = from;
    if (const size_t at = s.find(f); at != std::string::npos) s.replace(at, f.size(), to);
  }
  return s;
}

std::string lower(std::string s) {
  std::transform(s.begin(), s.end(), s.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return s;
}

}  // namespace

std::optional<Unit> find_unit(const std::string& name) {
  const std::string wanted = squeezed(name);
  for (const Unit& u : table()) {
    if (u.name == wanted) return u;
  }
  // Letter case is forgiven only where it cannot change the size: not for mohm and Mohm, mV and MV.
  std::optional<Unit> found;
  for (const Unit& u : table()) {
    if (lower(u.name) != lower(wanted)) continue;
    // m and M before a unit are a thousandth and a million.
    const bool prefix = u.quantity == Quantity::voltage || u.quantity == Quantity::resistance;
    const bool other_size = prefix && u.name.size() > 1 && u.name[0] == 'm' && wanted[0] == 'M';
    if (found || other_size) return {};
    found = u;
  }
  return found;
}

std::vector<std::string> unit_names() {
  std::vector<std::string> names;
  for (const Unit& u : table()) names.push_back(u.name);
  return names;
}

std::optional<double> convert(double value, const Unit& from, const Unit& to) {
  if (from.quantity != to.quantity) return {};
  return (value + from.offset) * from.si / to.si - to.offset;
}

std::optional<double> convert(double value, const std::string& from, const std::string& to) {
  const auto a = find_unit(from), b = find_unit(to);
  if (!a || !b) return {};
  return convert(value, *a, *b);
}

std::optional<Measure> parse_measure(const std::string& text) {
  const char* begin = text.c_str();
  char* end = nullptr;
  const double value = std::strtod(begin, &end);
  if (end == begin || !std::isfinite(value)) return {};
  const auto unit = find_unit(std::string(end));
  if (!unit) return {};
  return Measure{value, *unit};
}

}  // namespace crankwise
