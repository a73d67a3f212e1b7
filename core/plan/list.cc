// The cost of the list that closes a branch: fault after fault, looked at or repaired blind, giving up where the rest
// is not worth its cost. It stands near the value of a real policy (misses go to the last resort), and costs a sort.
#include <algorithm>

#include "core/plan/kernels.h"
#include "core/plan/tree.h"

namespace crankwise::plan {
namespace {

/// One fault's turn on the list.
struct Turn {
  double index = 0;    // chance of ending the job per cost
  double dismiss = 0;  // cost if the fault is not there
  double end = 0;      // cost if it is; misses pay for the last resort
  int fault = -1;
};

/// What a missing bit costs on the bench, joined minutes. Found on virtual bikes (docs/decisions.md); no measured shop.
constexpr double kMinutesPerBit = 40;
constexpr std::size_t kFewWorlds = 48;  // with more, a list costs more than knowing, and time to add up
constexpr std::size_t kLongest = 16;    // faults on the list; the others are left to the last resort

}  // namespace

/// What every fault set costs once it is known, and a price for each bit that is missing to know it.
double Tree::by_knowing(const Point& p) {
  double known = 0, logs = 0;
  for (const World& w : p.worlds) {
    if (w.left == 0) continue;
    logs += w.weight * static_cast<double>(log2_of(static_cast<float>(w.weight / p.sum)));
    for (int f : problem_.lefts()[static_cast<size_t>(w.left)].fault) {
      if (f >= 0) known += w.weight * problem_.known_cost(f);
    }
  }
  return known - kMinutesPerBit * logs;
}

double Tree::list_cost(const Point& p) {
  const double closing = problem_.joined(problem_.model().access.move(problem_.off(p.place), 0));
  const double knowing = by_knowing(p);
  if (p.worlds.size() > kFewWorlds) return knowing + p.sum * closing;
  const Place on = problem_.all_on();
  const double give_up = problem_.give_up(on);
  share_.assign(problem_.faults(), 0.0);
  for (const World& w : p.worlds) {
    for (int f : problem_.lefts()[static_cast<size_t>(w.left)].fault) {
      if (f >= 0) share_[static_cast<size_t>(f)] += w.weight;
    }
  }
  std::vector<size_t> faults;
  for (size_t f = 0; f < share_.size(); ++f) {
    if (share_[f] > 0) faults.push_back(f);
  }
  const size_t longest = std::min(kLongest, faults.size());
  std::partial_sort(faults.begin(), faults.begin() + static_cast<std::ptrdiff_t>(longest), faults.end(),
                    [&](size_t a, size_t b) { return share_[a] != share_[b] ? share_[a] > share_[b] : a < b; });
  faults.resize(longest);
  std::vector<Turn> list;
  for (size_t f : faults) {
    const auto& repairs = problem_.repairs(static_cast<int>(f));
    const auto fix =
        std::find_if(repairs.begin(), repairs.end(), [&](const RepairOf& r) { return !is_done(p, r.step); });
    if (fix == repairs.end()) continue;
    const double share = share_[f];
    Turn best{share * fix->chance / (p.sum * fix->later), fix->later, fix->later + (1 - fix->chance) * give_up,
              static_cast<int>(f)};
    for (const LookAt& l : problem_.looks(static_cast<int>(f))) {
      if (p.settled[static_cast<size_t>(l.column)]) continue;
      const double ends = l.hit * fix->chance;
      const double said_bad = share * l.hit + std::max(p.sum - share, 0.0) * l.false_alarm;
      const double index = share * ends / (p.sum * l.later + said_bad * l.later_repair);
      if (index <= best.index) continue;
      best = {index, l.later + l.false_alarm * l.later_repair, l.later + l.hit * l.later_repair + (1 - ends) * give_up,
              static_cast<int>(f)};
    }
    list.push_back(best);
  }
  std::sort(list.begin(), list.end(),
            [](const Turn& a, const Turn& b) { return a.index != b.index ? a.index > b.index : a.fault < b.fault; });

  // A world ends at the turn of its last fault. settle[k]: cost of the worlds that end at turn k, without the turns
  // before it that dismiss; ends[k]: their weight.
  const size_t turns = list.size();
  place_in_list_.assign(problem_.faults(), static_cast<int>(turns));
  for (size_t k = 0; k < turns; ++k) place_in_list_[static_cast<size_t>(list[k].fault)] = static_cast<int>(k);
  std::vector<double> settle(turns + 1, 0.0), ends(turns + 1, 0.0);
  double healthy = 0;
  for (const World& w : p.worlds) {
    const Left& left = problem_.lefts()[static_cast<size_t>(w.left)];
    if (left.size() == 0) {
      healthy += w.weight;
      continue;
    }
    int last = -1;
    double cost = 0;
    for (int f : left.fault) {
      if (f < 0) continue;
      const int k = place_in_list_[static_cast<size_t>(f)];
      last = std::max(last, k);
      if (k < static_cast<int>(turns)) cost += list[static_cast<size_t>(k)].end - list[static_cast<size_t>(k)].dismiss;
    }
    settle[static_cast<size_t>(last)] += w.weight * cost;
    ends[static_cast<size_t>(last)] += w.weight;
  }
  double going_on = p.sum - healthy, spent = 0, dismissed = 0;
  double least = going_on * give_up;
  for (size_t k = 0; k < turns; ++k) {
    dismissed += list[k].dismiss;
    spent += settle[k] + ends[k] * dismissed;
    going_on -= ends[k];
    least = std::min(least, spent + std::max(going_on, 0.0) * (dismissed + give_up));
  }
  least = std::min(least, knowing);
  return least + healthy * problem_.run(on).cost + p.sum * closing;
}

}  // namespace crankwise::plan
