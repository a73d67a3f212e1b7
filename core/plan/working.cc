#include "core/plan/working.h"

#include <algorithm>
#include <cmath>
#include <queue>

namespace crankwise::plan {

void Left::remove(int f) {
  const auto end = std::remove(fault.begin(), fault.end(), f);
  std::fill(end, fault.end(), -1);
}

Working::Working(const PlanModel& model, const Belief& belief, const PlanState& state)
    : model_(model), belief_model_(*belief.model), engine_runs_(state.engine_runs), engine_hot_(state.engine_hot) {
  double sum = 0;
  for (const Belief::Set& s : belief.sets(kSets)) {
    Left left;
    for (size_t k = 0; k < s.remaining.size(); ++k) left.fault[k] = s.remaining[k];
    sets_.push_back(left);
    weights_.push_back(s.probability);
    sum += s.probability;
  }
  for (double& w : weights_) w /= sum;

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
    yes_[f].resize(sets_.size());
    for (size_t h = 0; h < sets_.size(); ++h) {
      double q = 1 - m.background;
      for (int i : sets_[h].fault) {
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

std::vector<double> Working::alone(const std::vector<double>& weights, const std::vector<Left>& sets) const {
  std::vector<double> m(belief_model_.faults.size(), 0.0);
  for (size_t h = 0; h < sets.size(); ++h) {
    if (!sets[h].none() && sets[h].fault[1] < 0) m[static_cast<size_t>(sets[h].fault[0])] += weights[h];
  }
  return m;
}

std::vector<double> Working::chances_bad(const std::vector<double>& weights, double sum) const {
  std::vector<double> bad(belief_model_.findings.size(), 0.0);
  for (int f : asked_findings_) {
    const std::vector<float>& y = yes(f);
    double p = 0;
    for (size_t h = 0; h < weights.size(); ++h) p += weights[h] * static_cast<double>(y[h]);
    bad[static_cast<size_t>(f)] = p / sum;
  }
  return bad;
}

double Working::ends(const Block& b, const std::vector<double>& alone, const std::vector<char>* placed) const {
  const auto open = [&](int f) { return placed == nullptr || !(*placed)[static_cast<size_t>(f)]; };
  if (b.look >= 0) {
    if (!open(b.fault)) return 0;
    return alone[static_cast<size_t>(b.fault)] * b.ends_if;
  }
  double p = 0;
  for (const Cure& c : model_.steps[static_cast<size_t>(b.repair)].cures) {
    if (open(c.fault)) p += alone[static_cast<size_t>(c.fault)] * c.chance;
  }
  return p;
}

double Working::cost(const Block& b, double chance_bad, PartMask from) const {
  const bool looks = b.look >= 0;
  if (from == 0 && !engine_hot_) return looks ? b.later_look + chance_bad * b.later_repair : b.later_repair;
  const PlanStep& repair = model_.steps[static_cast<size_t>(b.repair)];
  PartMask open = from;
  double sum = 0;
  if (looks) {
    const PlanStep& look = model_.steps[static_cast<size_t>(b.look)];
    sum = joined(reach(from, look) + Effort{look.minutes, look.money});
    open = after(from, look);
  }
  const double rest =
      joined(reach(open, repair) + Effort{repair.minutes, repair.money} + close_and_run(after(open, repair)));
  return sum + (looks ? chance_bad : 1) * rest;
}

std::vector<Working::Ranked> Working::ranked(PartMask from) const {
  const std::vector<double> single = alone(weights_, sets_);
  const std::vector<double> bad = chances_bad(weights_, 1);
  std::vector<Ranked> out;
  for (const Block& b : blocks_) {
    Ranked r{b, ends(b, single, nullptr), 0};
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

double Working::cost_to_go(const std::vector<double>& weights, const std::vector<Left>& sets, PartMask from) const {
  const double looking = by_looking(weights, sets);
  // While no block ends one job in five, working through them costs more than looking first: not worth adding up.
  constexpr double kWorthAdding = 0.2;
  const std::vector<double> single = alone(weights, sets);
  double sum = 0, most = 0;
  for (double w : weights) sum += w;
  for (const Block& b : blocks_) most = std::max(most, ends(b, single, nullptr));
  return most < kWorthAdding * sum ? looking : std::min(looking, in_order(weights, sets, from));
}

double Working::by_looking(const std::vector<double>& weights, const std::vector<Left>& sets) const {
  double sum = 0, known = 0, log_sum = 0;
  for (size_t h = 0; h < sets.size(); ++h) {
    if (weights[h] <= 0) continue;
    sum += weights[h];
    log_sum += weights[h] * std::log2(weights[h]);
    for (int f : sets[h].fault) {
      if (f >= 0) known += weights[h] * known_cost_[static_cast<size_t>(f)];
    }
  }
  if (sum <= 0) return 0;
  // sum * entropy of weights / sum
  return known + kMinutesPerBit * (sum * std::log2(sum) - log_sum);
}

double Working::in_order(const std::vector<double>& weights, const std::vector<Left>& sets, PartMask from) const {
  double sum = 0;
  for (double w : weights) sum += w;
  if (sum <= 0) return 0;
  const std::vector<double> single = alone(weights, sets);
  const std::vector<double> bad = chances_bad(weights, sum);
  const auto bad_of = [&](const Block& b) { return b.look >= 0 ? bad[static_cast<size_t>(b.finding)] : 0.0; };

  // The first block is chosen from where the bike stands now; after its run everything is on.
  size_t first = blocks_.size();
  double first_index = 0;
  struct Entry {
    double index;
    size_t block;
    bool operator<(const Entry& o) const { return index != o.index ? index < o.index : block > o.block; }
  };
  std::priority_queue<Entry> queue;
  const double slight = 1e-5 * sum;
  for (size_t b = 0; b < blocks_.size(); ++b) {
    const double p = ends(blocks_[b], single, nullptr);
    if (p < slight) continue;
    queue.push({p / cost(blocks_[b], bad_of(blocks_[b]), 0), b});
    if (p <= first_index * blocks_[b].least) continue;
    const double index = p / cost(blocks_[b], bad_of(blocks_[b]), from);
    if (index > first_index) first_index = index, first = b;
  }

  const size_t faults = belief_model_.faults.size();
  std::vector<char> placed(faults, 0);
  std::vector<int> position(faults, -1);
  std::vector<float> works(faults, 0);  // chance that the block placed for it cures it, look apart
  std::vector<int> look_of(faults, -1);
  std::vector<double> costs;
  const auto place = [&](size_t b, double joined_cost) {
    const Block& block = blocks_[b];
    const auto put = [&](int f, double cure) {
      if (placed[static_cast<size_t>(f)]) return;
      placed[static_cast<size_t>(f)] = 1;
      position[static_cast<size_t>(f)] = static_cast<int>(costs.size());
      works[static_cast<size_t>(f)] = static_cast<float>(cure);
      look_of[static_cast<size_t>(f)] = block.look >= 0 ? block.finding : -1;
    };
    if (block.look >= 0) {
      put(block.fault, block.cure);
    } else {
      for (const Cure& c : model_.steps[static_cast<size_t>(block.repair)].cures) put(c.fault, c.chance);
    }
    costs.push_back(joined_cost);
  };
  if (first < blocks_.size()) place(first, cost(blocks_[first], bad_of(blocks_[first]), from));
  while (!queue.empty()) {
    const Entry top = queue.top();
    queue.pop();
    const Block& b = blocks_[top.block];
    const double p = ends(b, single, &placed);
    if (p < slight) continue;
    const double c = cost(b, bad_of(b), 0);
    if (!queue.empty() && p / c < queue.top().index * (1 - 1e-9)) {
      queue.push({p / c, top.block});
      continue;
    }
    place(top.block, c);
  }

  // What each block of the order ends.
  std::vector<double> ended(costs.size() + 1, 0.0);
  for (size_t h = 0; h < sets.size(); ++h) {
    if (weights[h] <= 0) continue;
    size_t at = 0;
    double p = weights[h];
    for (int f : sets[h].fault) {
      if (f < 0) continue;
      const size_t i = static_cast<size_t>(f);
      if (position[i] < 0) {
        p = 0;
        break;
      }
      at = std::max(at, static_cast<size_t>(position[i]));
      p *= static_cast<double>(works[i]);
      if (look_of[i] >= 0) p *= static_cast<double>(yes(look_of[i])[h]);
    }
    ended[at] += p;
  }
  double spent = 0, left = sum;
  double least = left * (give_up_later_ + joined(model_.access.move(from, 0)));
  for (size_t k = 0; k < costs.size(); ++k) {
    spent += left * costs[k];
    left -= ended[k];
    least = std::min(least, spent + std::max(left, 0.0) * give_up_later_);
  }
  return least;
}

}  // namespace crankwise::plan
