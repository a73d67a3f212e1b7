#include "core/plan/lookahead.h"

#include <algorithm>
#include <cmath>

namespace crankwise::plan {
namespace {

constexpr std::size_t kBlocksTried = 10, kAsksTried = 10;
constexpr std::size_t kFindingsSplit = 3;  // a step that answers more is split by its three most telling findings

double entropy_of(const std::vector<Branch>& branches, double sum) {
  double bits = 0;
  for (const Branch& b : branches) {
    if (b.point.sum > 0) bits -= b.point.sum / sum * std::log2(b.point.sum / sum);
  }
  return bits;
}

}  // namespace

std::vector<Candidate> Lookahead::candidates(const Point& p, bool run_again) {
  std::vector<Candidate> all;
  const auto propose = [&](int step, int fault) {
    if (step < 0) return false;
    if (std::any_of(all.begin(), all.end(), [&](const Candidate& c) { return c.step == step; })) return false;
    all.push_back({step, fault, 0, 0, -1, {}});
    return true;
  };
  tree_.root() = p;
  if ((p.repaired || run_again) && problem_.step(problem_.model().run_step).ready) {
    propose(problem_.model().run_step, -1);
  }
  std::size_t count = 0;
  for (const Block& b : tree_.blocks()) {
    if (count < kBlocksTried && propose(b.step, b.fault)) ++count;
  }
  count = 0;
  for (const Asking& a : tree_.askings()) {
    if (count < kAsksTried && propose(a.step, -1)) ++count;
  }
  propose(tree_.choose(Base::by_index), -1);
  propose(tree_.choose(Base::by_information), -1);
  propose(problem_.model().last_resort, -1);
  return all;
}

void Lookahead::value(const Point& p, Candidate& c, double eps, int ahead) {
  c.branches.clear();
  c.then = -1;
  switch (problem_.step(c.step).act) {
    case Act::ask:
      return value_ask(p, c, eps, ahead);
    case Act::repair:
    case Act::swap:
      return value_repair(p, c, eps, ahead);
    case Act::run:
      c.value = 0;
      return value_run(p, c, eps, ahead);
    case Act::last_resort:
      c.value = p.sum * problem_.give_up(p.place);
  }
}

/// The lesser of the base policies; with steps ahead, the least of what is worth a thought from there. `asking`: the
/// step whose other findings may still be answered for nothing, or -1.
double Lookahead::cost_to_go(const Point& p, double eps, int ahead, int asking) {
  if (p.sum <= 0) return 0;
  tree_.eps = eps;
  if (p.sum < eps) {  // closed at once, whatever the base
    tree_.root() = p;
    return tree_.follow(Base::by_index);
  }
  double least = -1;
  for (Base base : {Base::by_index, Base::by_information}) {
    tree_.root() = p;
    const double cost = asking >= 0 ? tree_.follow_asking(asking, base) : tree_.follow(base);
    if (least < 0 || cost < least) least = cost;
  }
  if (ahead <= 0) return least;
  for (Candidate& c : candidates(p, false)) {
    value(p, c, eps, ahead - 1);
    least = std::min(least, c.value);
  }
  return least;
}

std::vector<int> Lookahead::split(const Point& p, int step) {
  std::vector<std::pair<double, int>> telling;
  tree_.root() = p;
  for (int c : problem_.columns_of(step)) {
    if (!p.settled[static_cast<std::size_t>(c)]) telling.emplace_back(-tree_.bits(c), c);
  }
  std::sort(telling.begin(), telling.end());
  std::vector<int> columns;
  for (const auto& [minus, c] : telling) {
    if (columns.size() < kFindingsSplit) columns.push_back(c);
  }
  return columns;
}

void Lookahead::value_ask(const Point& p, Candidate& c, double eps, int ahead) {
  const Going g = problem_.go(p.place, c.step);
  c.value = p.sum * g.cost;
  c.branches = {{p, {}, false, 0}};
  c.branches[0].point.place = g.to;
  double noise = 0;
  for (int column : split(p, c.step)) {
    for (const World& w : p.worlds) noise += w.weight * static_cast<double>(problem_.noise(w.left)[column]);
    std::vector<Branch> finer;
    for (const Branch& b : c.branches) {
      for (bool yes : {true, false}) {
        Branch next;
        Tree::answer(problem_, b.point, column, yes, next.point);
        next.answers = b.answers;
        next.answers.emplace_back(column, yes);
        if (next.point.sum > 0) finer.push_back(std::move(next));
      }
    }
    c.branches = std::move(finer);
  }
  c.bits = std::max(entropy_of(c.branches, p.sum) - noise / p.sum, 0.0);
  for (Branch& b : c.branches) c.value += b.cost = cost_to_go(b.point, eps, ahead, c.step);
}

void Lookahead::value_repair(const Point& p, Candidate& c, double eps, int ahead) {
  const Going g = problem_.go(p.place, c.step);
  const PlanStep& st = problem_.step(c.step);
  Point repaired;
  Tree::repair(problem_, p, c.step, g.to, repaired);
  c.value = p.sum * g.cost;
  if (st.act == Act::swap) {  // the part is paid for if it helps, and goes back out if it does not
    double gone = 0;
    for (const World& w : repaired.worlds) gone += w.weight * problem_.quiet(w.left);
    c.value += problem_.joined({(p.sum - gone) * st.minutes, gone * st.money});
  }
  const double before = c.value;
  value_run(repaired, c, eps, ahead);
  if (st.act == Act::swap) return;
  tree_.root() = repaired;
  const int then = tree_.choose(Base::by_index);
  if (then < 0 || then == problem_.model().run_step) return;
  const double more = before + cost_to_go(repaired, eps, ahead, -1);
  if (more < c.value) c.value = more, c.then = then;
}

/// Adds the cost of the run and of what comes after it.
void Lookahead::value_run(const Point& p, Candidate& c, double eps, int ahead) {
  const Going g = problem_.run(p.place);
  c.value += p.sum * g.cost;
  Branch clean, bad;
  clean.clean = true;
  Tree::ran(problem_, p, true, g.to, clean.point);
  Tree::ran(problem_, p, false, g.to, bad.point);
  tree_.eps = eps;
  tree_.root() = clean.point;
  clean.cost = tree_.prove_from_root();
  bad.cost = cost_to_go(bad.point, eps, ahead, -1);
  c.value += clean.cost + bad.cost;
  c.branches.push_back(std::move(clean));
  c.branches.push_back(std::move(bad));
}

}  // namespace crankwise::plan
