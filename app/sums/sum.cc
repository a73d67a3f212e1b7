#include "app/sums/sum.h"

#include <fmt/format.h>

#include <cmath>

namespace crankwise {

Inputs read_sum_inputs(const Sum& sum, const std::vector<std::string>& pairs) {
  return read_inputs(sum.inputs, pairs, "sum");
}

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
