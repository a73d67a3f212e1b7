// Numbers with units that a bench sum or a reading asks for, told as "name=value unit" or "name=word".
//
//   const Inputs in = read_inputs(asked, {"fuel=20 L", "kick=brisk"});   // throws BadInput with every problem
//   in.si("fuel");      // 0.02
//   in.told("fuel");    // "20 L"
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "edge/problem.h"

namespace crankwise {

struct Input {
  std::string id, ask;
  std::string unit;                       // of `usual`, `low` and `high`; any unit of its kind may be told
  double low = 0, high = 0;               // outside this it cannot be
  std::optional<double> usual = {};       // taken if it is left out; nothing: it must be told
  bool may_lack = false;                  // left out it is not used at all
  std::vector<std::string> choices = {};  // words to choose from instead of a number; the first one is usual
};

class Inputs {
 public:
  void tell(const std::string& id, double in_si, const std::string& as_told);
  void choose(const std::string& id, const std::string& word) { told_[id] = word; }

  bool has(const std::string& id) const { return numbers_.count(id) > 0; }
  double si(const std::string& id) const { return numbers_.at(id); }
  const std::string& word(const std::string& id) const { return told_.at(id); }
  /// As it was told: "20 L".
  const std::string& told(const std::string& id) const { return told_.at(id); }

 private:
  std::map<std::string, double> numbers_;
  std::map<std::string, std::string> told_;
};

/// From "name=value unit" pairs. Throws BadInput with every problem: unknown names, those that are missing, values
/// without a unit, of another kind, or that cannot be, with the likely mistake. `of`: what asks, in the messages.
Inputs read_inputs(const std::vector<Input>& asked, const std::vector<std::string>& pairs, const std::string& of);

/// The problem with one value for this input, or none: what read_inputs() would say of it.
std::optional<Problem> problem_of(const Input&, const std::string& value);

/// "12.5 mm"; a plain number stays plain.
std::string with_unit(double, const std::string& unit);

/// Units that are mistaken for the one told, in which this number would lie between low and high (in `unit`).
std::vector<std::string> units_that_fit(double number, const std::string& told_unit, double low, double high,
                                        const std::string& unit);

}  // namespace crankwise
