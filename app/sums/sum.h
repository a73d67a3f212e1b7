// Bench sums: the arithmetic of a workshop, each with what it asks for, its formula, its source and a worked line.
//
//   const Sum* s = find_sum("oil-for-fuel");
//   SumAnswer a = s->work(read_sum_inputs(*s, {"fuel=20 L", "ratio=40:1"}));
//   a.values[0];        // {"oil", 500, "mL"}
//   a.worked;           // "20 L / 40 = 500 mL"
//
// The sums themselves are in core/calc; here they get units, words and limits. Nothing is stored.
#pragma once

#include <string>
#include <vector>

#include "app/inputs/inputs.h"
#include "core/calc/flag.h"

namespace crankwise {

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
  std::vector<Input> inputs;
  SumAnswer (*work)(const Inputs&);
  std::vector<std::string> cautions = {};  // ids in the knowledge: for the measuring that it asks for, and what follows
};

/// All of them, by group.
const std::vector<Sum>& sums();
/// Nothing if no sum is called so.
const Sum* find_sum(const std::string& id);

/// read_inputs() for a sum.
Inputs read_sum_inputs(const Sum&, const std::vector<std::string>& pairs);

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
