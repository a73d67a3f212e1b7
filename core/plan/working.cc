#include "core/plan/working.h"

#include <algorithm>
#include <cmath>

namespace crankwise::plan {

void Left::remove(int f) {
  const auto end = std::remove(fault.begin(), fault.end(), f);
  std::fill(end, fault.end(), -1);
}

Working::Working(const PlanModel& model, const Belief& belief, const PlanState& state)
    : model_(model), belief_model_(*belief.model), engine_runs_(state.engine_runs), engine_hot_(state.engine_hot) {
  double sum = 0;
  for (const Belief::Set& s : belief.sets(kSets)) {
    World w;
    for (size_t k = 0; k < s.remaining.size(); ++k) w.left.fault[k] = s.remaining[k];
    w.set = static_cast<int>(worlds_.size());
    w.weight = s.probability;
    worlds_.push_back(w);
    sum += s.probability;
  }
  for (World& w : worlds_) w.weight /= sum;

  const size_t findings = belief_model_.findings.size();
  yes_.resize(findings);
  std::vector<char> wanted(findings, 0);
  for (const PlanStep& s : model_.steps) {
    if (s.act != Act::ask || !may_do(s)) continue;
    for (int f : s.findings) wanted[static_cast<size_t>(f)] = !state.settled[static_cast<size_t>(f)];
  }
  std::vector<float> absent(belief_model_.faults.size());
  for (size_t f = 0; f < findings; ++f) {
    if (!wanted[f]) continue;
    const FindingModel& m = belief_model_.findings[f];
    std::fill(absent.begin(), absent.end(), 1.0f);
    for (const Link& l : m.links) absent[static_cast<size_t>(l.fault)] = static_cast<float>(1 - l.strength);
    yes_[f].resize(worlds_.size());
    for (size_t h = 0; h < worlds_.size(); ++h) {
      double q = 1 - m.background;
      for (int i : worlds_[h].left.fault) {
        if (i >= 0) q *= static_cast<double>(absent[static_cast<size_t>(i)]);
      }
      yes_[f][h] = static_cast<float>(m.rates.yes_if_so + (m.rates.yes_if_not - m.rates.yes_if_so) * q);
    }
  }
  make_blocks();
  const PlanStep& last = model_.steps[static_cast<size_t>(model_.last_resort)];
  give_up_later_ = joined(reach(0, last) + Effort{last.minutes, last.money});
  known_cost_.assign(belief_model_.faults.size(), give_up_later_);
  for (const Block& b : blocks_) {
    if (b.look >= 0) continue;
    for (const Cure& c : model_.steps[static_cast<size_t>(b.repair)].cures) {
      double& known = known_cost_[static_cast<size_t>(c.fault)];
      known = std::min(known, b.later_repair / c.chance);
    }
  }
}

double Working::quiet(const Left& left) const {
  double quiet = 1 - belief_model_.false_trouble;
  for (int f : left.fault) {
    if (f >= 0) quiet *= 1 - belief_model_.faults[static_cast<size_t>(f)].shows;
  }
  return quiet;
}

bool Working::may_do(const PlanStep& s) const { return s.ready && (engine_runs_ || !(s.needs_running || s.needs_hot)); }

PartMask Working::after(PartMask from, const PlanStep& s) const {
  PartMask on = 0;
  const PartMask off = model_.access.closure(s.off);
  for (int p : s.on) on |= Access::bit(p) & ~off;
  return model_.access.reach(from, off, on);
}

Effort Working::reach(PartMask from, const PlanStep& s) const {
  Effort e = model_.access.move(from, after(from, s));
  if (s.needs_hot && !engine_hot_) e.minutes += model_.warm_up_min;
  return e;
}

Effort Working::close_and_run(PartMask from) const {
  const PlanStep& run = model_.steps[static_cast<size_t>(model_.run_step)];
  return reach(from, run) + Effort{run.minutes, run.money};
}

void Working::make_blocks() {
  const size_t faults = belief_model_.faults.size();
  const PlanStep& run = model_.steps[static_cast<size_t>(model_.run_step)];
  std::vector<int> best_repair(faults, -1);
  std::vector<double> best_rate(faults, 0), best_cure(faults, 0);
  for (size_t s = 0; s < model_.steps.size(); ++s) {
    const PlanStep& step = model_.steps[s];
    if ((step.act != Act::repair && step.act != Act::swap) || !may_do(step)) continue;
    Block b;
    b.repair = static_cast<int>(s);
    b.later_repair = joined(reach(0, step) + Effort{step.minutes, step.money} + close_and_run(after(0, step)));
    b.least = joined({step.minutes, step.money}) + joined({run.minutes, run.money});
    for (const Cure& c : step.cures) {
      const size_t f = static_cast<size_t>(c.fault);
      if (c.chance / b.later_repair > best_rate[f]) {
        best_rate[f] = c.chance / b.later_repair;
        best_repair[f] = b.repair;
        best_cure[f] = c.chance;
      }
    }
    blocks_.push_back(b);
  }
  std::vector<char> asked(belief_model_.findings.size(), 0);
  for (size_t s = 0; s < model_.steps.size(); ++s) {
    const PlanStep& step = model_.steps[s];
    if (step.act != Act::ask || !may_do(step)) continue;
    for (int finding : step.findings) {
      if (yes(finding).empty()) continue;
      for (const Link& l : belief_model_.findings[static_cast<size_t>(finding)].links) {
        const size_t f = static_cast<size_t>(l.fault);
        // A look can stand for the repair only if it mostly shows the fault; the rest is for information per minute.
        if (l.strength < 0.5 || best_repair[f] < 0) continue;
        Block b;
        b.repair = best_repair[f];
        b.look = static_cast<int>(s);
        b.finding = finding;
        b.fault = l.fault;
        b.cure = best_cure[f];
        b.ends_if = b.cure * l.strength * belief_model_.findings[static_cast<size_t>(finding)].rates.yes_if_so;
        b.least = joined({step.minutes, step.money});
        const PartMask open = after(0, step);
        const PlanStep& repair = model_.steps[static_cast<size_t>(b.repair)];
        b.later_look = joined(reach(0, step) + Effort{step.minutes, step.money});
        b.later_repair =
            joined(reach(open, repair) + Effort{repair.minutes, repair.money} + close_and_run(after(open, repair)));
        blocks_.push_back(b);
        asked[static_cast<size_t>(finding)] = 1;
      }
    }
  }
  for (size_t f = 0; f < asked.size(); ++f) {
    if (asked[f]) asked_findings_.push_back(static_cast<int>(f));
  }
}

std::vector<double> Working::alone(const Worlds& worlds) const {
  std::vector<double> m(belief_model_.faults.size(), 0.0);
  for (const World& w : worlds) {
    if (w.left.size() == 1) m[static_cast<size_t>(w.left.fault[0])] += w.weight;
  }
  return m;
}

std::vector<double> Working::chances_bad(const Worlds& worlds, double sum) const {
  std::vector<double> bad(belief_model_.findings.size(), 0.0);
  for (int f : asked_findings_) {
    const std::vector<float>& y = yes(f);
    double p = 0;
    for (const World& w : worlds) p += w.weight * static_cast<double>(y[static_cast<size_t>(w.set)]);
    bad[static_cast<size_t>(f)] = p / sum;
  }
  return bad;
}

double Working::ends(const Block& b, const std::vector<double>& alone) const {
  if (b.look >= 0) return alone[static_cast<size_t>(b.fault)] * b.ends_if;
  double p = 0;
  for (const Cure& c : model_.steps[static_cast<size_t>(b.repair)].cures)
    p += alone[static_cast<size_t>(c.fault)] * c.chance;
  return p;
}

std::pair<double, double> Working::costs(const Block& b, PartMask from) const {
  if (from == 0 && !engine_hot_) return {b.later_look, b.later_repair};
  const PlanStep& repair = model_.steps[static_cast<size_t>(b.repair)];
  PartMask open = from;
  double looking = 0;
  if (b.look >= 0) {
    const PlanStep& look = model_.steps[static_cast<size_t>(b.look)];
    looking = joined(reach(from, look) + Effort{look.minutes, look.money});
    open = after(from, look);
  }
  return {looking,
          joined(reach(open, repair) + Effort{repair.minutes, repair.money} + close_and_run(after(open, repair)))};
}

double Working::cost(const Block& b, double chance_bad, PartMask from) const {
  const auto [looking, repairing] = costs(b, from);
  return looking + (b.look >= 0 ? chance_bad : 1) * repairing;
}

std::vector<Working::Ranked> Working::ranked(PartMask from) const {
  const std::vector<double> single = alone(worlds_);
  const std::vector<double> bad = chances_bad(worlds_, 1);
  std::vector<Ranked> out;
  for (const Block& b : blocks_) {
    Ranked r{b, ends(b, single), 0};
    if (r.ends < 1e-4) continue;
    r.cost = cost(b, b.look >= 0 ? bad[static_cast<size_t>(b.finding)] : 0, from);
    if (b.look < 0) {
      double most = -1;
      for (const Cure& c : model_.steps[static_cast<size_t>(b.repair)].cures) {
        const double p = single[static_cast<size_t>(c.fault)] * c.chance;
        if (p > most) most = p, r.block.fault = c.fault;
      }
    }
    out.push_back(r);
  }
  std::stable_sort(out.begin(), out.end(), [](const Ranked& a, const Ranked& b) { return a.index() > b.index(); });
  return out;
}

double Working::cost_to_go(const Worlds& worlds, PartMask from, const std::vector<int>& asked) const {
  bool looks_left = false;
  for (int f : asked_findings_) looks_left = looks_left || std::find(asked.begin(), asked.end(), f) == asked.end();
  if (!looks_left) return in_order(worlds, from, asked);
  const double looking = by_looking(worlds);
  // While no block ends one job in five, working through them costs more than looking first: not worth adding up.
  constexpr double kWorthAdding = 0.2;
  const std::vector<double> single = alone(worlds);
  double sum = 0, most = 0;
  for (const World& w : worlds) sum += w.weight;
  for (const Block& b : blocks_) most = std::max(most, ends(b, single));
  return most < kWorthAdding * sum ? looking : std::min(looking, in_order(worlds, from, asked));
}

double Working::by_looking(const Worlds& worlds) const {
  double sum = 0, known = 0, log_sum = 0;
  for (const World& w : worlds) {
    if (w.weight <= 0) continue;
    sum += w.weight;
    log_sum += w.weight * std::log2(w.weight);
    for (int f : w.left.fault) {
      if (f >= 0) known += w.weight * known_cost_[static_cast<size_t>(f)];
    }
  }
  if (sum <= 0) return 0;
  return known + kMinutesPerBit * (sum * std::log2(sum) - log_sum);  // sum * entropy of weights / sum
}

}  // namespace crankwise::plan
