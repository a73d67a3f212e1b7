// Bench sums: the arithmetic of a workshop, each with what it asks for, its formula, its source and a worked line.
//
//   const Sum* s = find_sum("oil-for-fuel");
//   SumAnswer a = s->work(read_sum_inputs(*s, {"fuel=20 L", "ratio=40:1"}));
//   a.values[0];        // {"oil", 500, "mL"}
//   a.worked;           // "20 L / 40 = 500 mL"
//
// The sums themselves are in core/calc; here they get units, words and limits. Nothing is stored.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/calc/flag.h"

namespace crankwise {

/// One thing that a sum asks for.
struct SumInput {
  std::string id, ask;
  std::string unit;                       // of `usual`, `low` and `high`; any unit of its kind may be told
  double low = 0, high = 0;               // outside this it cannot be
  std::optional<double> usual = {};       // taken if it is left out; nothing: it must be told
  bool may_lack = false;                  // left out it is not used at all
  std::vector<std::string> choices = {};  // words to choose from instead of a number; the first one is usual
};

class SumInputs {
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

struct SumValue {
  std::string name;
  double value = 0;
  std::string unit;  // "" for a plain number
  int decimals = 1;
};

struct SumAnswer {
  std::vector<SumValue> values;
  std::string worked;              // the formula with the numbers in it
  std::vector<std::string> notes;  // what is outside its rule, and what the figure leaves out
};

struct Sum {
  std::string id, name, group;
  std::string formula, source;
  std::vector<SumInput> inputs;
  SumAnswer (*work)(const SumInputs&);
  std::vector<std::string> cautions = {};  // ids in the knowledge: for the measuring that it asks for, and what follows
};

/// All of them, by group.
const std::vector<Sum>& sums();
/// Nothing if no sum is called so.
const Sum* find_sum(const std::string& id);

/// From "input=value unit" pairs. Throws BadInput with every problem: unknown inputs, those that are missing, values
/// without a unit, of another kind, or that cannot be, with the likely mistake.
SumInputs read_sum_inputs(const Sum&, const std::vector<std::string>& pairs);

/// "12.5 mm"; a plain number stays plain.
std::string with_unit(double, const std::string& unit);

/// "12.3 mm"; numbers that are too small for their decimals get three digits.
std::string in_words(const SumValue&);

/// What the sum says about itself, as notes.
void add_notes(SumAnswer&, const CalcFlags&);

// Sums by file.
std::vector<Sum> air_sums();
std::vector<Sum> mixing_sums();
std::vector<Sum> jetting_sums();
std::vector<Sum> fuel_sums();
std::vector<Sum> engine_sums();
std::vector<Sum> leak_sums();
std::vector<Sum> electric_sums();
std::vector<Sum> vehicle_sums();

}  // namespace crankwise
