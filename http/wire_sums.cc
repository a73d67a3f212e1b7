// Bench sums as forms, and their answers.
#include "http/wire.h"

namespace crankwise::wire {

Json sum_form(const Knowledge& k, const Sum& s) {
  Json j = named(s.id, s.name);
  j["group"] = s.group;
  j["formula"] = s.formula;
  j["source"] = s.source;
  j["cautions"] = cautions(k, s.cautions);
  j["inputs"] = Json::array();
  for (const Input& in : s.inputs) {
    Json input = condition(in);
    input["usual"] = !in.choices.empty() ? in.choices.front() : in.usual ? with_unit(*in.usual, in.unit) : "";
    input["may_lack"] = in.may_lack;
    j["inputs"].push_back(std::move(input));
  }
  return j;
}

Json sum_answer(const SumAnswer& a) {
  Json j{{"values", Json::array()}, {"worked", a.worked}, {"notes", a.notes}};
  for (const SumValue& v : a.values) j["values"].push_back({{"name", v.name}, {"told", in_words(v)}});
  return j;
}

}  // namespace crankwise::wire
