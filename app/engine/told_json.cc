#include <nlohmann/json.hpp>

#include "app/engine/told.h"

namespace crankwise {
namespace {

const char* text(engine::Outcome::State s) {
  switch (s) {
    case engine::Outcome::State::repeats:
      return "repeats";
    case engine::Outcome::State::does_not_repeat:
      return "does not repeat";
    case engine::Outcome::State::lost_gas:
      return "lost gas";
  }
  return "";
}

nlohmann::json ceiling_json(const engine::Ceiling& c) {
  return {{"rpm", c.rpm}, {"how", in_words(c.how)}, {"lambda", c.lambda}};
}

}  // namespace

nlohmann::json as_json(const SimulatedCurve& c) {
  nlohmann::json j{{"fault", c.trial.fault},
                   {"severity", c.trial.severity},
                   {"words", trial_in_words(c.trial)},
                   {"whole", c.whole()},
                   {"power", {{"rpm", c.power.rpm}, {"w", c.power.value}}},
                   {"torque", {{"rpm", c.torque.rpm}, {"n_m", c.torque.value}}},
                   {"in_neutral", ceiling_json(c.neutral)},
                   {"in_a_gear", ceiling_json(c.gear)},
                   {"at", nlohmann::json::array()}};
  for (const engine::Outcome& o : c.at) {
    j["at"].push_back({{"rpm", o.rpm},
                       {"state", text(o.state)},
                       {"cycles", o.cycles},
                       {"mean_over", o.mean_over},
                       {"power_w", o.power_w},
                       {"torque_n_m", o.torque_nm},
                       {"bmep_pa", o.bmep_pa},
                       {"imep_pa", o.imep_pa},
                       {"pumping_pa", o.pumping_pa},
                       {"friction_pa", o.fmep_pa},
                       {"delivery_ratio", o.delivery_ratio},
                       {"lambda", o.lambda},
                       {"residual", o.residual},
                       {"misfire", o.misfire},
                       {"fuel_kg_s", o.fuel_kg_s},
                       {"bsfc_kg_j", o.bsfc_kg_j},
                       {"lost_fuel", o.lost_fuel},
                       {"exhaust_k", o.exhaust_k},
                       {"peak_pa", o.peak_pa},
                       {"wall_w", o.wall_w},
                       {"knock_margin", o.knock_margin},
                       {"uneven", o.uneven}});
  }
  return j;
}

}  // namespace crankwise
