#include "core/plan/plan.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/plan/working.h"

namespace crankwise {
namespace {

using plan::Working;
using plan::World;
using plan::Worlds;

constexpr std::size_t kBlocksTried = 9;
constexpr std::size_t kAsksTried = 9;
constexpr std::size_t kFindingsSplit = 3;  // a step that answers more is valued by its three most telling findings
constexpr double kRare = 0.02;             // outcomes below this are valued as if nothing had been learned

double entropy_bits(double p) {
  if (p <= 0 || p >= 1) return 0;
  return -(p * std::log2(p) + (1 - p) * std::log2(1 - p));
}

/// What is unsure about a finding's answer even when the fault set is known.
double noise_bits(const Working& w, int finding) {
  const auto& yes = w.yes(finding);
  double bits = 0, last_entropy = 0;
  float last = 0;
  for (size_t h = 0; h < yes.size(); ++h) {
    // Most sets hold no fault that bears on the finding and so repeat the value before.
    if (yes[h] != last) last = yes[h], last_entropy = entropy_bits(static_cast<double>(last));
    bits += w.worlds()[h].weight * last_entropy;
  }
  return bits;
}

/// Mutual information between one finding's answer and the fault set.
double information(const Working& w, int finding) {
  const auto& yes = w.yes(finding);
  double p = 0;
  for (size_t h = 0; h < yes.size(); ++h) p += w.worlds()[h].weight * static_cast<double>(yes[h]);
  return std::max(entropy_bits(p) - noise_bits(w, finding), 0.0);
}

struct Asking {
  int step = -1;
  std::vector<int> findings;  // most telling first, at most kFindingsSplit
  double bits = 0;            // of the patterns of these
  double per_minute = 0;
};

/// The worlds under each pattern of answers (2^k patterns; bit i: findings[i] is so).
std::vector<Worlds> patterns(const Working& w, const std::vector<int>& findings) {
  std::vector<Worlds> out(std::size_t{1} << findings.size(), w.worlds());
  for (size_t i = 0; i < findings.size(); ++i) {
    const auto& yes = w.yes(findings[i]);
    for (size_t m = 0; m < out.size(); ++m) {
      for (size_t h = 0; h < yes.size(); ++h) {
        const double x = static_cast<double>(yes[h]);
        out[m][h].weight *= (m >> i & 1) ? x : 1 - x;
      }
    }
  }
  return out;
}

double total(const Worlds& worlds) {
  double sum = 0;
  for (const World& w : worlds) sum += w.weight;
  return sum;
}

double pattern_bits(const Working& w, const std::vector<int>& findings) {
  double bits = 0;
  for (const auto& worlds : patterns(w, findings)) {
    const double p = total(worlds);
    if (p > 0) bits -= p * std::log2(p);
  }
  for (int f : findings) bits -= noise_bits(w, f);
  return std::max(bits, 0.0);
}

void set_leader(Outcome& o, const Worlds& worlds, size_t faults) {
  std::vector<double> there(faults, 0.0);
  for (const World& w : worlds) {
    for (int f : w.left.fault) {
      if (f >= 0) there[static_cast<size_t>(f)] += w.weight;
    }
  }
  const auto at = std::max_element(there.begin(), there.end());
  if (at == there.end() || *at <= 0) return;
  o.leader = static_cast<int>(at - there.begin());
  o.leader_probability = *at / total(worlds);
}

/// The worlds after a repair: each fault that it touches is gone with its chance.
Worlds repaired(const Worlds& before, const std::vector<Cure>& cures) {
  Worlds after = before;
  for (const Cure& c : cures) {
    for (size_t h = 0, end = after.size(); h < end; ++h) {
      World works = after[h];
      works.left.remove(c.fault);
      if (works.left.fault == after[h].left.fault) continue;
      works.weight *= c.chance;
      after[h].weight *= 1 - c.chance;
      if (after[h].weight > 0) {
        after.push_back(works);
      } else {
        after[h] = works;
      }
    }
  }
  return after;
}

class Adviser {
 public:
  Adviser(const PlanModel& model, const Belief& belief, const PlanState& state)
      : model_(model),
        state_(state),
        working_(model, belief, state),
        faults_(belief.model->faults.size()),
        settled_(state.settled) {}

  void propose(std::vector<Option>& options) {
    std::vector<char> tried(model_.steps.size(), 0);
    const auto once = [&](int step) { return !std::exchange(tried[static_cast<size_t>(step)], 1); };
    const auto ranked = working_.ranked(state_.off);
    size_t count = 0;
    for (const auto& r : ranked) {
      if (count == kBlocksTried) break;
      if (!once(r.block.first_step())) continue;
      ++count;
      options.push_back(value(r.block.first_step(), r.block.fault));
      options.back().block_ends = r.ends;
    }
    count = 0;
    for (const Asking& a : askings()) {
      if (count == kAsksTried) break;
      if (!once(a.step)) continue;
      ++count;
      options.push_back(value(a.step, -1));
    }
    if ((state_.repaired_since_run || state_.last_run_clean) &&
        model_.steps[static_cast<size_t>(model_.run_step)].ready) {
      options.push_back(value(model_.run_step, -1));
    }
    options.push_back(value(model_.last_resort, -1));
  }

 private:
  const PlanStep& step(int s) const { return model_.steps[static_cast<size_t>(s)]; }

  std::vector<int> open_findings(const PlanStep& s) const {
    std::vector<std::pair<double, int>> bits;
    for (int f : s.findings) {
      if (!settled_[static_cast<size_t>(f)] && !working_.yes(f).empty())
        bits.emplace_back(-information(working_, f), f);
    }
    std::sort(bits.begin(), bits.end());
    std::vector<int> out;
    for (const auto& [minus, f] : bits) {
      if (out.size() < kFindingsSplit) out.push_back(f);
    }
    return out;
  }

  std::vector<Asking> askings() const {
    std::vector<Asking> all;
    for (size_t s = 0; s < model_.steps.size(); ++s) {
      const PlanStep& st = model_.steps[s];
      if (st.act != Act::ask || !working_.may_do(st)) continue;
      Asking a{static_cast<int>(s), open_findings(st)};
      if (a.findings.empty()) continue;
      a.bits = a.findings.size() == 1 ? information(working_, a.findings[0]) : pattern_bits(working_, a.findings);
      if (a.bits < 0.002) continue;
      a.per_minute =
          a.bits / std::max(working_.joined(working_.reach(state_.off, st) + Effort{st.minutes, st.money}), 0.05);
      all.push_back(std::move(a));
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const Asking& a, const Asking& b) { return a.per_minute > b.per_minute; });
    return all;
  }

  Option value(int s, int fault) const {
    const PlanStep& st = step(s);
    Option o;
    o.step = s;
    o.fault = fault;
    o.off_after = working_.after(state_.off, st);
    o.access = working_.reach(state_.off, st);
    o.own = {st.minutes, st.money};
    switch (st.act) {
      case Act::ask:
        value_ask(o, st);
        break;
      case Act::repair:
      case Act::swap:
        value_repair(o, st);
        break;
      case Act::run:
        value_run(o);
        break;
      case Act::last_resort:
        o.value = working_.joined(o.access + o.own);
        o.chance_ends = 1;
        break;
    }
    return o;
  }

  void value_ask(Option& o, const PlanStep& st) const {
    const std::vector<int> findings = open_findings(st);
    o.information_bits = findings.empty() ? 0 : pattern_bits(working_, findings);
    double rare = 0, to_go = 0;
    const auto all = patterns(working_, findings);
    for (size_t m = 0; m < all.size(); ++m) {
      Outcome out;
      out.probability = total(all[m]);
      if (out.probability < kRare) {
        rare += out.probability;
        continue;
      }
      for (size_t i = 0; i < findings.size(); ++i) out.findings.emplace_back(findings[i], (m >> i & 1) != 0);
      const double cost = working_.cost_to_go(all[m], o.off_after, st.findings);
      out.minutes_to_go = cost / out.probability;
      to_go += cost;
      set_leader(out, all[m], faults_);
      o.outcomes.push_back(std::move(out));
    }
    if (rare < 1) to_go /= 1 - rare;
    o.value = working_.joined(o.access + o.own) + to_go;
    std::stable_sort(o.outcomes.begin(), o.outcomes.end(),
                     [](const Outcome& a, const Outcome& b) { return a.probability > b.probability; });
  }

  /// A run: splits off what it would show as gone; the rest goes on from there.
  void after_run(Option& o, Worlds worlds, PartMask from) const {
    double gone = 0;
    for (World& w : worlds) {
      const double quiet = working_.quiet(w.left);
      gone += w.weight * quiet;
      w.weight *= 1 - quiet;
    }
    Outcome good;
    good.gone = true;
    good.probability = o.chance_ends = gone;
    Outcome bad;
    bad.probability = total(worlds);
    if (bad.probability > 1e-9) {
      const double cost = working_.cost_to_go(worlds, from);
      bad.minutes_to_go = cost / bad.probability;
      set_leader(bad, worlds, faults_);
      o.value += cost;
    }
    o.outcomes = {good, bad};
  }

  void value_repair(Option& o, const PlanStep& st) const {
    o.closing = working_.close_and_run(o.off_after);
    after_run(o, repaired(working_.worlds(), st.cures), working_.after(o.off_after, step(model_.run_step)));
    Effort own = o.own;
    if (st.act == Act::swap) {
      own.money *= o.chance_ends;
      own.minutes += (1 - o.chance_ends) * st.minutes;  // the old part goes back in
    }
    o.value += working_.joined(o.access + own + o.closing);
  }

  void value_run(Option& o) const {
    o.value = working_.joined(o.access + o.own);
    after_run(o, working_.worlds(), o.off_after);
  }

  const PlanModel& model_;
  const PlanState& state_;
  Working working_;
  size_t faults_;
  std::vector<char> settled_;
};

}  // namespace

Advice advise(const PlanModel& model, const Belief& belief, const PlanState& state) {
  Advice advice;
  advice.doubt = 1 - belief.nothing_left();
  advice.proven = state.last_run_clean && !state.repaired_since_run && advice.doubt <= model.doubt_allowed;
  Adviser(model, belief, state).propose(advice.options);
  std::stable_sort(advice.options.begin(), advice.options.end(),
                   [](const Option& a, const Option& b) { return a.value < b.value; });
  // Base policy of information per minute: once one fault is likelier than two in five, deal with it.
  constexpr double kLikelyEnough = 0.4;
  const auto deal = std::find_if(advice.options.begin(), advice.options.end(),
                                 [&](const Option& o) { return o.block_ends >= kLikelyEnough; });
  // With a handful of faults the values are exact sums and need no such rule.
  constexpr std::size_t kHandful = 20;
  const bool waiting = state.repaired_since_run || state.last_run_clean || belief.model->faults.size() <= kHandful;
  if (!waiting && deal != advice.options.end()) std::rotate(advice.options.begin(), deal, deal + 1);
  return advice;
}

}  // namespace crankwise
