#include "app/inputs/inputs.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "edge/units.h"

namespace crankwise {
namespace {

/// Units in which the number would have been possible: what was likely meant.
std::string likely_meant(const Input& in, double number, const Unit& told) {
  const auto other = units_that_fit(number, told.name, in.low, in.high, in.unit);
  if (!other.empty()) return fmt::format("{:g} {} perhaps", number, other.front());
  return fmt::format("{:g} to {:g} {}", in.low, in.high, in.unit);
}

Unit si_of(const Input& in) { return {"", find_unit(in.unit)->quantity, 1, 0}; }

/// Tells `out` the value, or says what is wrong with it.
std::optional<Problem> take_number(const Input& in, const std::string& text, Inputs& out) {
  const auto wrong = [&](std::string what, std::string right) {
    return Problem{"", 0, in.id, std::move(what), std::move(right)};
  };
  auto m = parse_measure(text);
  if (!m && in.unit == "number") m = parse_measure(text + " number");
  if (!m) {
    return wrong(
        fmt::format("\"{}\" is not a value with its unit", text),
        fmt::format("a number and its unit, such as {:g} {}", in.usual.value_or(std::max(in.low, 1.0)), in.unit));
  }
  const auto value = convert(m->value, m->unit, *find_unit(in.unit));
  if (!value) return wrong(fmt::format("{} does not measure it", m->unit.name), "a unit like " + in.unit);
  if (!(*value >= in.low && *value <= in.high))
    return wrong(fmt::format("{:g} {} cannot be", m->value, m->unit.name), likely_meant(in, m->value, m->unit));
  out.tell(in.id, *convert(m->value, m->unit, si_of(in)), with_unit(m->value, m->unit.name));
  return {};
}

std::optional<Problem> take(const Input& in, const std::string& value, Inputs& out) {
  if (in.choices.empty()) return take_number(in, value, out);
  if (std::find(in.choices.begin(), in.choices.end(), value) == in.choices.end()) {
    return Problem{"", 0, in.id, fmt::format("\"{}\" is not a choice", value),
                   fmt::format("{}", fmt::join(in.choices, ", "))};
  }
  out.choose(in.id, value);
  return {};
}

class Reader {
 public:
  Reader(const std::vector<Input>& asked, const std::string& of) : asked_(asked), of_(of) {}

  Inputs read(const std::vector<std::string>& pairs) {
    for (const std::string& p : pairs) pair(p);
    for (const Input& in : asked_) {
      if (seen_.count(in.id) > 0) continue;
      if (!in.choices.empty()) {
        out_.choose(in.id, in.choices.front());
      } else if (in.usual) {
        out_.tell(in.id, *convert(*in.usual, *find_unit(in.unit), si_of(in)), with_unit(*in.usual, in.unit));
      } else if (!in.may_lack) {
        note(in.id, "is missing", fmt::format("{}=VALUE {}: {}", in.id, in.unit, in.ask));
      }
    }
    if (!problems_.empty()) throw BadInput(std::move(problems_));
    return std::move(out_);
  }

 private:
  void note(const std::string& field, std::string wrong, std::string right) {
    problems_.push_back({"", 0, field, std::move(wrong), std::move(right)});
  }

  void pair(const std::string& text) {
    const size_t equals = text.find('=');
    const std::string id = text.substr(0, equals);
    const auto in = std::find_if(asked_.begin(), asked_.end(), [&](const auto& i) { return i.id == id; });
    if (equals == std::string::npos || in == asked_.end()) {
      std::vector<std::string> ids;
      for (const Input& i : asked_) ids.push_back(i.id);
      const std::string near = nearest(id, ids);
      return note(id, equals == std::string::npos ? "has no value" : "is not asked for by this " + of_,
                  ids.empty()                  ? "nothing but its value"
                  : near.empty() || near == id ? fmt::format("{}=VALUE", fmt::join(ids, "=VALUE, "))
                                               : "perhaps \"" + near + "\"");
    }
    if (!seen_.insert(id).second) return note(id, "is told twice", "once");
    if (auto problem = take(*in, text.substr(equals + 1), out_)) problems_.push_back(std::move(*problem));
  }

  const std::vector<Input>& asked_;
  const std::string& of_;
  Inputs out_;
  std::set<std::string> seen_;  // told, well or badly
  std::vector<Problem> problems_;
};

}  // namespace

void Inputs::tell(const std::string& id, double in_si, const std::string& as_told) {
  numbers_[id] = in_si;
  told_[id] = as_told;
}

Inputs read_inputs(const std::vector<Input>& asked, const std::vector<std::string>& pairs, const std::string& of) {
  return Reader(asked, of).read(pairs);
}

std::optional<Problem> problem_of(const Input& in, const std::string& value) {
  Inputs out;
  return take(in, value, out);
}

std::string with_unit(double value, const std::string& unit) {
  return unit == "number" ? fmt::format("{:g}", value) : fmt::format("{:g} {}", value, unit);
}

std::vector<std::string> units_that_fit(double number, const std::string& told_unit, double low, double high,
                                        const std::string& unit) {
  // Those that stand for one another on gauges, rules and meters; common practice.
  static const std::vector<std::vector<std::string>> kMistaken{
      {"psi", "kPa", "bar", "kgf/cm2"},
      {"kPa", "hPa", "mbar", "Pa", "inHg", "mmHg"},
      {"psi", "inHg"},
      {"ohm", "kohm", "Mohm", "mohm"},
      {"V", "mV"},
      {"A", "mA"},
      {"mm", "cm", "in", "thou"},
      {"m", "ft"},
      {"mL", "cm3", "cc", "L", "oz"},
      {"L", "gal"},
      {"degC", "degF"},
      {"s", "min", "h"},
      {"h", "days"},
      {"mL/min", "L/min", "mL/10s"},
      {"kPa/min", "psi/min", "bar/min"},
      {"W", "kW", "hp", "PS"},
      {"km/h", "mph", "m/s"},
      {"g", "kg"},
      {"mm2", "cm2"},
  };
  std::vector<std::string> fit;
  for (const auto& group : kMistaken) {
    if (std::find(group.begin(), group.end(), told_unit) == group.end()) continue;
    for (const std::string& name : group) {
      const auto value = convert(number, name, unit);
      const bool there = name == told_unit || std::find(fit.begin(), fit.end(), name) != fit.end();
      if (value && !there && *value >= low && *value <= high) fit.push_back(name);
    }
  }
  return fit;
}

}  // namespace crankwise
