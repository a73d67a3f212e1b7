// A diagnosis as JSON.
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/output.h"

namespace crankwise {
namespace {

Json effort_json(const Effort& e) { return {{"minutes", e.minutes}, {"money", e.money}}; }

Json option_json(const Diagnosis& d, const Option& o, const ShopSettings& shop) {
  const BikeModel& m = d.bike();
  const Step* step = m.steps[static_cast<size_t>(o.step)];
  Json j{{"step", m.step_id(o.step)},
         {"name", m.step_name(o.step)},
         {"kind", step == nullptr     ? "question"
                  : step->last_resort ? "last-resort"
                                      : text(step->kind)},
         {"access", effort_json(o.access)},
         {"own", effort_json(o.own)},
         {"closing_and_run", effort_json(o.closing)},
         {"whole_job_minutes", o.value},
         {"information_bits", o.information_bits},
         {"chance_ends", o.chance_ends},
         {"saved_by_what_is_off", effort_json(saved_by_what_is_off(m.plan, d.state, o))},
         {"currency", shop.currency}};
  if (step != nullptr && step->last_resort) j["because"] = why_last_resort(d);
  if (o.then >= 0) j["before_the_run_also"] = m.step_id(o.then);
  if (step != nullptr) {
    for (const auto& id : cautions_of(*m.knowledge, *step))
      j["cautions"].push_back(m.knowledge->cautions.find(id)->text);
    j["how"] = step->how;
    j["expect"] = step->expect;
    for (const Reading* r : d.bike().readings_of(*step)) {
      Json x{{"reading", r->id}, {"name", r->name}, {"ask", r->ask}, {"unit", r->unit}};
      if (const auto y = d.bike().yardsticks.find(r->id); y != d.bike().yardsticks.end())
        x["healthy"] = {{"low", y->second.low}, {"high", y->second.high}, {"from", y->second.words}};
      for (const AskedCondition& c : conditions_of(*r)) {
        const char* of = c.of == AskedCondition::Of::bike ? "bike" : c.of == AskedCondition::Of::shop ? "shop" : "test";
        Json condition{{"condition", c.input.id}, {"ask", c.input.ask}, {"of", of}};
        if (c.input.choices.empty())
          condition["unit"] = c.input.unit;
        else
          condition["choices"] = c.input.choices;
        x["conditions"].push_back(std::move(condition));
      }
      j["readings"].push_back(std::move(x));
    }
  }
  for (const Outcome& out : o.outcomes) {
    Json x{{"probability", out.probability}, {"minutes_to_go", out.minutes_to_go}};
    for (const auto& [f, so] : out.findings) x["findings"][d.finding(f).id] = so ? "yes" : "no";
    if (out.findings.empty()) x["run"] = out.gone ? "gone" : "same";
    if (out.leader >= 0) x["leader"] = {{"fault", d.fault(out.leader).id}, {"probability", out.leader_probability}};
    j["outcomes"].push_back(std::move(x));
  }
  return j;
}

}  // namespace

Json diagnosis_json(const Diagnosis& d, const ShopSettings& shop) {
  Json j{{"faults", Json::array()},
         {"fault_sets", Json::array()},
         {"alternatives", Json::array()},
         {"readings", Json::array()},
         {"notes", doubts(d)},
         {"not_applicable", d.left_out},
         {"left_out_bound", d.belief.left_out()},
         {"doubt", d.advice.doubt},
         {"proven", d.advice.proven}};
  for (const Suspect& s : d.suspects(d.bike().faults.size())) {
    j["faults"].push_back({{"fault", d.fault(s.fault).id},
                           {"name", d.fault(s.fault).name},
                           {"part", d.fault(s.fault).part},
                           {"probability", s.probability}});
  }
  const auto ids = [&](const std::vector<int>& faults) {
    Json out = Json::array();
    for (int f : faults) out.push_back(d.fault(f).id);
    return out;
  };
  for (const Belief::Set& s : d.belief.sets(20)) {
    j["fault_sets"].push_back(
        {{"faults", ids(s.faults)}, {"still_there", ids(s.remaining)}, {"probability", s.probability}});
  }
  for (const ReadingVerdict& v : d.verdicts) {
    const Appraised& a = v.appraised;
    Json x{{"reading", v.reading->id}, {"value", a.value}, {"open", a.open}, {"findings", Json::array()}};
    if (!a.reads_as.empty()) x["corrected"] = {{"value", a.corrected}, {"to", a.reads_as}};
    if (a.held_against) {
      x["healthy"] = {{"low", a.held_against->low}, {"high", a.held_against->high}, {"from", a.held_against->words}};
      x["spread"] = {{"instrument", a.spread.instrument}, {"condition", a.spread.condition}, {"range", a.spread.range}};
    }
    for (const FindingWeight& w : a.weights)
      x["findings"].push_back({{"finding", w.finding}, {"likelihood_ratio", w.ratio()}});
    if (!a.notes.empty()) x["notes"] = a.notes;
    j["readings"].push_back(std::move(x));
  }
  if (!d.advice.proven) {
    j["next"] = option_json(d, d.advice.options.front(), shop);
    const double worth = worth_up_to(d.advice, d.bike().plan.minutes_per_money);
    if (std::isfinite(worth)) j["next"]["worth_up_to_minutes"] = worth;
  }
  for (size_t i = 1; i < d.advice.options.size(); ++i)
    j["alternatives"].push_back(option_json(d, d.advice.options[i], shop));
  return j;
}

}  // namespace crankwise
