#include "bench/virtual/baseline.h"

#include <algorithm>
#include <limits>

namespace crankwise::bench {

Baseline::Baseline(const BikeModel& believed) : book_(believed), filter_(book_), repairs_of_(believed.faults.size()) {
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

void Baseline::think() {
  filter_.update();
  alone_.assign(book_.model().faults.size(), 0);
  for (const World& w : filter_.worlds()) {
    if (w.count() == 1) alone_[static_cast<size_t>(w.left[0])] += w.weight;
  }
  constexpr size_t kSets = 200;
  worlds_ = filter_.worlds();
  const size_t kept = std::min(kSets, worlds_.size());
  std::partial_sort(
      worlds_.begin(), worlds_.begin() + static_cast<std::ptrdiff_t>(kept), worlds_.end(),
      [](const World& a, const World& b) { return a.weight != b.weight ? a.weight > b.weight : a.left < b.left; });
  worlds_.resize(kept);
  double sum = 0;
  for (const World& w : worlds_) sum += w.weight;
  for (World& w : worlds_) w.weight /= sum;
}

std::optional<int> Baseline::next() {
  const PlanState& state = book_.state();
  if (state.repaired_since_run) return book_.plan().run_step;
  if (state.last_run_clean) {
    think();
    if (1 - filter_.nothing_left() <= book_.plan().doubt_allowed) return {};
    return book_.plan().run_step;
  }
  if (just_ran_) {
    think();
    if (filter_.nothing_left() > 0.5) return book_.plan().run_step;  // the last run may have been called bad by mistake
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
