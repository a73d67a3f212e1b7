#include "app/sums/sum.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "edge/problem.h"
#include "edge/units.h"

namespace crankwise {
namespace {

/// Units in which the number would have been possible: what was likely meant.
std::string likely_meant(const SumInput& in, double number, const Unit& told) {
  for (const std::string& name : unit_names()) {
    const auto other = find_unit(name);
    const auto value = other ? convert(number, other->name, in.unit) : std::nullopt;
    if (value && name != told.name && *value >= in.low && *value <= in.high)
      return fmt::format("{:g} {} perhaps", number, name);
  }
  return fmt::format("{:g} to {:g} {}", in.low, in.high, in.unit);
}

class Reader {
 public:
  explicit Reader(const Sum& sum) : sum_(sum) {}

  SumInputs read(const std::vector<std::string>& pairs) {
    for (const std::string& p : pairs) pair(p);
    for (const SumInput& in : sum_.inputs) {
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

  static Unit si_of(const SumInput& in) { return {"", find_unit(in.unit)->quantity, 1, 0}; }

  void pair(const std::string& text) {
    const size_t equals = text.find('=');
    const std::string id = text.substr(0, equals);
    std::vector<std::string> ids;
    for (const SumInput& in : sum_.inputs) ids.push_back(in.id);
    const auto in = std::find_if(sum_.inputs.begin(), sum_.inputs.end(), [&](const auto& i) { return i.id == id; });
    if (equals == std::string::npos || in == sum_.inputs.end()) {
      const std::string near = nearest(id, ids);
      return note(id, equals == std::string::npos ? "has no value" : "is not asked for by this sum",
                  near.empty() || near == id ? fmt::format("{}=VALUE", fmt::join(ids, "=VALUE, "))
                                             : "perhaps \"" + near + "\"");
    }
    if (!seen_.insert(id).second) return note(id, "is told twice", "once");
    const std::string value = text.substr(equals + 1);
    if (in->choices.empty()) return number(*in, value);
    if (std::find(in->choices.begin(), in->choices.end(), value) == in->choices.end())
      return note(id, fmt::format("\"{}\" is not a choice", value), fmt::format("{}", fmt::join(in->choices, ", ")));
    out_.choose(id, value);
  }

  void number(const SumInput& in, const std::string& text) {
    auto m = parse_measure(text);
    if (!m && in.unit == "number") m = parse_measure(text + " number");
    if (!m) {
      return note(
          in.id, fmt::format("\"{}\" is not a value with its unit", text),
          fmt::format("a number and its unit, such as {:g} {}", in.usual.value_or(std::max(in.low, 1.0)), in.unit));
    }
    const auto value = convert(m->value, m->unit, *find_unit(in.unit));
    if (!value) return note(in.id, fmt::format("{} does not measure it", m->unit.name), "a unit like " + in.unit);
    if (!(*value >= in.low && *value <= in.high)) {
      return note(in.id, fmt::format("{:g} {} cannot be", m->value, m->unit.name), likely_meant(in, m->value, m->unit));
    }
    out_.tell(in.id, *convert(m->value, m->unit, si_of(in)), with_unit(m->value, m->unit.name));
  }

  const Sum& sum_;
  SumInputs out_;
  std::set<std::string> seen_;  // told, well or badly
  std::vector<Problem> problems_;
};

}  // namespace

void SumInputs::tell(const std::string& id, double in_si, const std::string& as_told) {
  numbers_[id] = in_si;
  told_[id] = as_told;
}

SumInputs read_sum_inputs(const Sum& sum, const std::vector<std::string>& pairs) { return Reader(sum).read(pairs); }

const std::vector<Sum>& sums() {
  static const std::vector<Sum> kSums = [] {
    std::vector<Sum> all;
    for (const auto make :
         {mixing_sums, jetting_sums, air_sums, fuel_sums, engine_sums, leak_sums, electric_sums, vehicle_sums}) {
      for (Sum& s : make()) all.push_back(std::move(s));
    }
    return all;
  }();
  return kSums;
}

const Sum* find_sum(const std::string& id) {
  for (const Sum& s : sums()) {
    if (s.id == id) return &s;
  }
  return nullptr;
}

std::string with_unit(double value, const std::string& unit) {
  return unit == "number" ? fmt::format("{:g}", value) : fmt::format("{:g} {}", value, unit);
}

void add_notes(SumAnswer& a, const CalcFlags& flags) {
  for (const CalcFlag f : flags) a.notes.emplace_back(in_words(f));
}

std::string in_words(const SumValue& v) {
  const double least = 0.5 * std::pow(10, -v.decimals);
  const std::string number = v.value != 0 && std::abs(v.value) < least ? fmt::format("{:.3g}", v.value)
                                                                       : fmt::format("{:.{}f}", v.value, v.decimals);
  if (v.unit.empty()) return number;
  return v.unit == ":1" ? number + ":1" : number + " " + v.unit;
}

}  // namespace crankwise
