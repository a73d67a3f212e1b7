#include "bench/virtual/list.h"

#include <algorithm>

namespace crankwise::bench {

ListPolicy::ListPolicy(const BikeModel& believed, bool sorted) : Baseline(believed), sorted_(sorted) {
  for (const std::string& id : cheap_first_list()) {
    if (const int s = believed.step(id); s >= 0) items_.push_back(s);
  }
}

void ListPolicy::note(const std::vector<Entry>& entries) {
  Baseline::note(entries);
  if (!begun_) return;
  for (const Entry& e : entries) {
    if (const auto* said = std::get_if<SaidSo>(&e); said != nullptr && said->answer == Answer::yes) {
      const int fault = pointed_[static_cast<size_t>(book_.bike().finding(said->finding))];
      if (fault >= 0 && std::find(bad_.begin(), bad_.end(), fault) == bad_.end()) bad_.push_back(fault);
    }
  }
}

/// The fault that this finding alone makes likelier than all its other causes together.
int ListPolicy::points_to(int finding, const std::vector<double>& weight) const {
  const FindingModel& f = book_.model().findings[static_cast<size_t>(finding)];
  double sum = 0, most = 0;
  int fault = -1;
  for (const Link& l : f.links) {
    const double w = weight[static_cast<size_t>(l.fault)] * l.strength;
    sum += w;
    if (w > most) most = w, fault = l.fault;
  }
  constexpr double kPoints = 0.5;
  return most > kPoints * sum ? fault : -1;
}

void ListPolicy::begin() {
  begun_ = true;
  think();
  std::vector<double> weight;
  for (const FaultModel& f : book_.model().faults) weight.push_back(f.odds);
  if (sorted_) weight = filter_.still_there();
  for (size_t f = 0; f < book_.model().findings.size(); ++f) pointed_.push_back(points_to(static_cast<int>(f), weight));
  if (!sorted_) return;
  std::vector<std::pair<double, int>> order;
  for (int s : items_) order.emplace_back(-worth(s).index(), s);
  std::stable_sort(order.begin(), order.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (size_t i = 0; i < items_.size(); ++i) items_[i] = order[i].second;
}

Baseline::Worth ListPolicy::worth(int s) const {
  const PlanStep& step = book_.step(s);
  const PartMask from = book_.state().off;
  if (step.act != Act::ask) return worth_of_repair(s, from);
  Worth all{0, book_.joined(book_.reach(from, step) + Effort{step.minutes, step.money})};
  const PartMask open = book_.after(from, step);
  for (int finding : step.findings) {
    const int fault = pointed_[static_cast<size_t>(finding)];
    const int repair = fault < 0 ? -1 : cheapest_repair(fault, open);
    if (repair < 0) continue;
    const auto [yes_if_so, yes_if_not] = book_.model().findings[static_cast<size_t>(finding)].rates.chance(Answer::yes);
    double bad = 0;
    for (const World& w : worlds_) {
      const double so = filter_.chance_so(finding, w);
      const double yes = so * yes_if_so + (1 - so) * yes_if_not;
      bad += w.weight * yes;
      for (const Cure& c : book_.step(repair).cures) {
        if (w.count() == 1 && c.fault == w.left[0]) all.ends += w.weight * yes * c.chance;
      }
    }
    all.cost += bad * worth_of_repair(repair, open).cost;
  }
  return all;
}

Baseline::Worth ListPolicy::best_left() const {
  Worth best;
  for (int s : items_) {
    const Worth w = worth(s);
    if (best.cost <= 0 || w.index() > best.index()) best = w;
  }
  return best;
}

bool ListPolicy::skip(int s) const {
  const PlanStep& step = book_.step(s);
  if (!book_.may_do(step) || repaired_.count(s) > 0) return true;
  return step.act == Act::ask && std::all_of(step.findings.begin(), step.findings.end(),
                                             [&](int f) { return book_.state().settled[static_cast<size_t>(f)] != 0; });
}

int ListPolicy::choose() {
  if (!begun_) begin();
  while (!bad_.empty()) {
    const int repair = cheapest_repair(bad_.front(), book_.state().off);
    bad_.pop_front();
    if (repair >= 0 && repaired_.insert(repair).second) return repair;
  }
  std::erase_if(items_, [&](int s) { return skip(s); });
  if (items_.empty() || (just_ran() && hopeless(best_left()))) return book_.plan().last_resort;
  const int s = items_.front();
  items_.erase(items_.begin());
  if (book_.step(s).act != Act::ask) repaired_.insert(s);
  return s;
}

}  // namespace crankwise::bench
