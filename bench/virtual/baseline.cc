#include "bench/virtual/baseline.h"

#include <algorithm>
#include <limits>

namespace crankwise::bench {

Baseline::Baseline(const BikeModel& believed) : book_(believed), repairs_of_(believed.faults.size()) {
  for (const FindingModel& f : book_.model().findings) {
    absent_.emplace_back(believed.faults.size(), 1.0f);
    for (const Link& l : f.links) absent_.back()[static_cast<size_t>(l.fault)] = static_cast<float>(1 - l.strength);
  }
  for (size_t s = 0; s < believed.plan.steps.size(); ++s) {
    const PlanStep& step = believed.plan.steps[s];
    if (step.act != Act::repair && step.act != Act::swap) continue;
    for (const Cure& c : step.cures) repairs_of_[static_cast<size_t>(c.fault)].push_back(static_cast<int>(s));
  }
}

void Baseline::note(const std::vector<Entry>& entries) {
  for (const Entry& e : entries) {
    book_.add(e);
    if (std::holds_alternative<RanIt>(e)) just_ran_ = true;
  }
}

double Baseline::chance_so(int finding, const World& w) const {
  double absent = 1 - book_.model().findings[static_cast<size_t>(finding)].background;
  for (int f : w.left) absent *= static_cast<double>(absent_[static_cast<size_t>(finding)][static_cast<size_t>(f)]);
  return 1 - absent;
}

/// One answer more on the same table; false: it takes a rebuild.
bool Baseline::take_up(const Happening& h) {
  const auto* a = std::get_if<Answered>(&h);
  if (a == nullptr) return false;
  const FindingModel& f = book_.model().findings[static_cast<size_t>(a->finding)];
  const auto& history = book_.history();
  const bool twice = std::any_of(history.begin(), history.begin() + static_cast<std::ptrdiff_t>(thought_of_),
                                 [&](const Happening& before) {
                                   const auto* b = std::get_if<Answered>(&before);
                                   return b != nullptr && b->finding == a->finding;
                                 });
  if (twice || f.error_group >= 0) return false;
  const auto [if_so, if_not] = f.rates.chance(a->answer);
  belief_.table.observe(Likelihood{if_so, (if_not - if_so) * (1 - f.background), belief_.absent_column(f)});
  ++thought_of_;
  return true;
}

void Baseline::think() {
  const auto& history = book_.history();
  if (belief_.model != nullptr && thought_of_ == history.size()) return;
  if (belief_.model == nullptr) belief_ = book_.believe(), thought_of_ = history.size();
  while (thought_of_ < history.size()) {
    if (!take_up(history[thought_of_])) belief_ = book_.believe(), thought_of_ = history.size();
  }
  constexpr size_t kSets = 300;
  worlds_.clear();
  alone_.assign(book_.model().faults.size(), 0);
  double sum = 0, nothing = 0;
  for (const SetTable::Entry& e : belief_.table.heaviest(kSets)) {
    World w{{}, e.weight};
    for (int m : e.member) {
      if (m >= 0 && !belief_.atoms[static_cast<size_t>(m)].cured)
        w.left.push_back(belief_.atoms[static_cast<size_t>(m)].fault);
    }
    sum += e.weight;
    if (w.left.empty()) nothing += e.weight;
    if (w.left.size() == 1) alone_[static_cast<size_t>(w.left[0])] += e.weight;
    worlds_.push_back(std::move(w));
  }
  for (World& w : worlds_) w.weight /= sum;
  for (double& a : alone_) a /= sum;
  nothing_left_ = nothing / sum;
}

std::optional<int> Baseline::next() {
  const PlanState& state = book_.state();
  if (state.repaired_since_run) return book_.plan().run_step;
  if (state.last_run_clean) {
    think();
    if (1 - belief_.nothing_left() <= book_.plan().doubt_allowed) return {};
    return book_.plan().run_step;
  }
  if (just_ran_) {
    think();
    if (nothing_left_ > 0.5) return book_.plan().run_step;  // the last run may have been called bad by mistake
  }
  const int step = choose();
  just_ran_ = false;
  return step;
}

Baseline::Worth Baseline::worth_of_repair(int s, PartMask from) const {
  const PlanStep& step = book_.step(s);
  Worth worth;
  for (const Cure& c : step.cures) worth.ends += alone_[static_cast<size_t>(c.fault)] * c.chance;
  Effort e = book_.reach(from, step) + Effort{step.minutes, step.money} + book_.close_and_run(book_.after(from, step));
  if (step.act == Act::swap) {  // the old part goes back in
    e.minutes += (1 - worth.ends) * step.minutes;
    e.money -= (1 - worth.ends) * step.money;
  }
  worth.cost = book_.joined(e);
  return worth;
}

int Baseline::cheapest_repair(int fault, PartMask from) const {
  int best = -1;
  double least = std::numeric_limits<double>::infinity();
  for (int s : repairs_of_[static_cast<size_t>(fault)]) {
    const PlanStep& step = book_.step(s);
    if (!book_.may_do(step)) continue;
    for (const Cure& c : step.cures) {
      if (c.fault != fault) continue;
      const double cost = worth_of_repair(s, from).cost / c.chance;
      if (cost < least) least = cost, best = s;
    }
  }
  return best;
}

int Baseline::best_repair_or_give_up() const {
  int best = book_.plan().last_resort;
  Worth most;
  for (size_t s = 0; s < book_.plan().steps.size(); ++s) {
    const PlanStep& step = book_.plan().steps[s];
    if ((step.act != Act::repair && step.act != Act::swap) || !book_.may_do(step)) continue;
    const Worth w = worth_of_repair(static_cast<int>(s), book_.state().off);
    if (most.cost <= 0 || w.index() > most.index()) most = w, best = static_cast<int>(s);
  }
  return hopeless(most) ? book_.plan().last_resort : best;
}

}  // namespace crankwise::bench
