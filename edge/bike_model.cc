#include "edge/bike_model.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "core/belief/priors.h"
#include "core/wear/wear.h"
#include "edge/simulated.h"

namespace crankwise {
namespace {

constexpr double kQuestionMin = 0.5;  // to ask the rider one thing and get a straight answer

/// What hours and contexts make of the odds of a fault.
double odds_factor(const Fault& f, const Traits& traits, const Bike& bike, const std::set<std::string>& contexts) {
  double factor = 1;
  for (const auto& [context, strength] : f.context) {
    if (contexts.count(context) > 0) factor *= strength.of(traits);
  }
  if (!f.wears || !bike.hours_known) return factor;
  const Life life{f.wears->life_h.of(traits), f.wears->shape, f.wears->spread};
  const auto renewed = bike.renewed_h.find(f.wears->part);
  if (renewed != bike.renewed_h.end()) return factor * wear_factor(life, std::max(bike.hours - renewed->second, 0.0));
  // No renewal in the record: the part is as old as the engine at most.
  return factor * std::min(wear_factor(life, bike.hours), 1.0);
}

void fit_faults(BikeModel& m, const Bike& bike, const std::set<std::string>& contexts, const ShopSettings& shop,
                const Learned& learned) {
  std::vector<double> shares;
  for (const Fault& f : m.knowledge->faults) {
    if (!f.applies.holds(m.traits)) continue;
    m.fault_index[f.id] = static_cast<int>(m.faults.size());
    m.faults.push_back(&f);
    const auto factor = learned.share.find(f.id);
    shares.push_back(f.share.of(m.traits) * (factor == learned.share.end() ? 1 : factor->second));
  }
  const std::vector<double> odds = odds_from_shares(shares, shop.multiple_share);
  for (size_t i = 0; i < m.faults.size(); ++i) {
    m.model.faults.push_back({odds[i] * odds_factor(*m.faults[i], m.traits, bike, contexts), m.faults[i]->shows});
  }
  for (size_t i = 0; i < m.faults.size(); ++i) {
    for (const auto& other : m.faults[i]->not_with) {
      const int j = m.fault(other);
      if (j >= 0 && static_cast<size_t>(j) != i) m.model.exclusive.emplace_back(static_cast<int>(i), j);
    }
  }
}

void fit_findings(BikeModel& m, const Bike& bike, const ShopSettings& shop, const Learned& learned) {
  std::map<std::string, int> groups;
  for (const Finding& f : m.knowledge->findings) {
    if (!f.applies.holds(m.traits)) continue;
    FindingModel model;
    model.background = f.background;
    model.rates = f.rates;
    if (f.kind == FindingKind::measured) {
      if (const auto rates = rates_by_readings(*m.knowledge, f, m.traits, m.yardsticks))
        model.rates = *rates;
      else
        m.unreadable.insert(f.id);
    }
    if (!f.shares_error.empty()) {
      model.error_group = groups.try_emplace(f.shares_error, static_cast<int>(groups.size())).first->second;
    }
    m.finding_index[f.id] = static_cast<int>(m.findings.size());
    m.findings.push_back(&f);
    m.model.findings.push_back(std::move(model));
  }
  const SimulatedClass* simulated = m.knowledge->simulated.find(bike.bike_class);
  for (size_t i = 0; i < m.faults.size(); ++i) {
    const Fault& fault = *m.faults[i];
    std::map<int, double> links;
    for (const auto& [id, strength] :
         pooled_strengths(strengths_by_hand(*m.knowledge, fault, m.traits), Learned::kAnswersWorth, simulated, fault.id,
                          shop.simulated_worth)) {
      if (const int f = m.finding(id); f >= 0) links[f] = strength;
    }
    for (const auto& [f, strength] : links) {
      if (strength <= 0) continue;
      FindingModel& model = m.model.findings[static_cast<size_t>(f)];
      const auto seen = learned.if_there.find({fault.id, m.findings[static_cast<size_t>(f)]->id});
      const AnswerCount answers = seen == learned.if_there.end() ? AnswerCount{} : seen->second;
      model.links.push_back({static_cast<int>(i), learned_strength(strength, model.background, model.rates, answers,
                                                                   Learned::kAnswersWorth)});
    }
  }
}

void fit_parts(BikeModel& m, const Bike& bike) {
  for (const Part& p : m.knowledge->parts) {
    if (!p.applies.holds(m.traits)) continue;
    m.part_index[p.id] = static_cast<int>(m.parts.size());
    m.parts.push_back(&p);
  }
  std::vector<AccessPart> access;
  for (const Part* p : m.parts) {
    AccessPart a{p->off_min.of(m.traits), p->on_min.of(m.traits), p->money.of(m.traits), {}};
    if (const auto own = bike.access_min.find(p->id); own != bike.access_min.end()) {
      std::tie(a.off_min, a.on_min) = own->second;
    }
    for (const auto& id : p->after) {
      if (const int q = m.part(id); q >= 0) a.after.push_back(q);
    }
    access.push_back(std::move(a));
  }
  m.plan.access = Access(std::move(access));
}

Act act_of(const Step& s) {
  if (s.last_resort) return Act::last_resort;
  switch (s.kind) {
    case StepKind::look:
    case StepKind::measure:
    case StepKind::listen:
      return Act::ask;
    case StepKind::swap:
      return Act::swap;
    case StepKind::run:
      return Act::run;
    case StepKind::clean:
    case StepKind::adjust:
    case StepKind::replace:
      break;
  }
  return Act::repair;
}

void fit_step(BikeModel& m, const Step& s, const ShopSettings& shop) {
  PlanStep step;
  step.act = act_of(s);
  bool mute = false;  // it reads what nothing can be made of: may be done, but is not advised
  const auto add_finding = [&](const std::string& id) {
    const int f = id.empty() ? -1 : m.finding(id);
    if (f >= 0 && std::find(step.findings.begin(), step.findings.end(), f) == step.findings.end())
      step.findings.push_back(f);
  };
  for (const auto& id : s.answers) add_finding(id);
  for (const Reading* r : m.readings_of(s)) {
    for (const auto& id : {r->below, r->above, r->open}) {
      if (m.unreadable.count(id) == 0)
        add_finding(id);
      else
        mute = true;
    }
  }
  for (const auto& [id, chance] : s.cures) {
    if (const int f = m.fault(id); f >= 0 && chance.of(m.traits) > 0) step.cures.push_back({f, chance.of(m.traits)});
  }
  mute = mute && step.findings.empty();
  if (step.act == Act::ask && step.findings.empty() && !mute) return;
  if ((step.act == Act::repair || step.act == Act::swap) && step.cures.empty()) return;
  for (const auto& id : s.off) {
    if (const int p = m.part(id); p >= 0) step.off.push_back(p);
  }
  const PartMask off = m.plan.access.closure(step.off);
  for (size_t p = 0; p < m.parts.size(); ++p) {
    const bool named = std::find(s.on.begin(), s.on.end(), m.parts[p]->id) != s.on.end();
    const bool engine = (s.engine == EngineState::running && m.parts[p]->to_run) || s.engine == EngineState::ridden;
    if ((named || engine) && !(off & Access::bit(static_cast<int>(p)))) step.on.push_back(static_cast<int>(p));
  }
  step.minutes = s.minutes.of(m.traits) + s.wait_min;
  step.money = s.money.of(m.traits);
  step.needs_running = step.act == Act::ask && (s.engine == EngineState::running || s.engine == EngineState::ridden);
  step.needs_hot = s.engine == EngineState::hot;
  step.ready =
      !mute && std::none_of(s.tools.begin(), s.tools.end(), [&](const auto& t) { return shop.lacks.count(t) > 0; });
  m.step_index[s.id] = static_cast<int>(m.plan.steps.size());
  m.plan.steps.push_back(std::move(step));
  m.steps.push_back(&s);
  m.question.push_back(-1);
}

}  // namespace

bool is_simulated_worth(double answers) { return answers >= 0 && answers <= 1000; }

Json settings_data(const ShopSettings& s) {
  Json j{{"money_per_hour", s.money_per_hour}, {"currency", s.currency}, {"lacks", s.lacks}};
  if (!s.usual.empty()) j["usual"] = s.usual;
  if (s.simulated_worth > 0) j["simulated_worth"] = s.simulated_worth;
  return j;
}

std::vector<Reading const*> BikeModel::readings_of(const Step& s) const {
  std::vector<Reading const*> out;
  for (const auto& id : s.reads) {
    const Reading* r = knowledge->readings.find(id);
    if (r != nullptr && r->applies.holds(traits)) out.push_back(r);
  }
  return out;
}

std::string BikeModel::step_name(int s) const {
  const Step* step = steps[static_cast<size_t>(s)];
  if (step != nullptr) return step->name;
  return "Ask the rider: " + findings[static_cast<size_t>(question[static_cast<size_t>(s)])]->ask;
}

std::string BikeModel::step_id(int s) const {
  const Step* step = steps[static_cast<size_t>(s)];
  return step != nullptr ? step->id : findings[static_cast<size_t>(question[static_cast<size_t>(s)])]->id;
}

std::map<std::string, double> odds_factors(const Knowledge& k, const Bike& bike,
                                           const std::set<std::string>& contexts) {
  const Traits traits(bike.traits);
  std::map<std::string, double> factors;
  for (const Fault& f : k.faults) {
    if (!f.applies.holds(traits)) continue;
    const double factor = odds_factor(f, traits, bike, contexts);
    if (factor != 1) factors[f.id] = factor;
  }
  return factors;
}

BikeModel fit(const Knowledge& k, const Bike& bike, const std::set<std::string>& contexts, const ShopSettings& shop,
              const Learned& learned) {
  BikeModel m;
  m.knowledge = &k;
  m.traits = Traits(bike.traits);
  fit_faults(m, bike, contexts, shop, learned);
  m.yardsticks = yardsticks_of(k, bike);
  fit_findings(m, bike, shop, learned);
  fit_parts(m, bike);
  m.plan.minutes_per_money = 60 / shop.money_per_hour;
  for (const Step& s : k.steps) {
    if (s.applies.holds(m.traits)) fit_step(m, s, shop);
  }
  for (size_t f = 0; f < m.findings.size(); ++f) {
    const FindingKind kind = m.findings[f]->kind;
    if (kind != FindingKind::complaint && kind != FindingKind::when) continue;
    PlanStep ask;
    ask.minutes = kQuestionMin;
    ask.findings = {static_cast<int>(f)};
    m.plan.steps.push_back(std::move(ask));
    m.steps.push_back(nullptr);
    m.question.push_back(static_cast<int>(f));
  }
  for (size_t s = 0; s < m.plan.steps.size(); ++s) {
    if (m.plan.steps[s].act == Act::last_resort) m.plan.last_resort = static_cast<int>(s);
    // The ride is the proof unless the trouble shows on the stand (chosen where the answers are known).
    if (m.plan.steps[s].act == Act::run && m.steps[s]->engine == EngineState::ridden)
      m.plan.run_step = static_cast<int>(s);
  }
  return m;
}

}  // namespace crankwise
