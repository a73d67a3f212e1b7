#include "core/plan/tree.h"

#include <algorithm>

namespace crankwise::plan {
namespace {

constexpr double kSlight = 1e-4;  // worlds lighter than this part of a point are dropped, the rest scaled up
constexpr std::size_t kDeepest = 200;
constexpr int kMostRuns = 6;  // clean runs asked for in proof

/// Drops slight worlds, keeping the sum.
void tidy(Point& p) {
  double sum = 0, kept = 0;
  for (const World& w : p.worlds) sum += w.weight;
  std::size_t end = 0;
  for (const World& w : p.worlds) {
    if (w.weight <= kSlight * sum) continue;
    kept += w.weight;
    p.worlds[end++] = w;
  }
  p.worlds.resize(end);
  p.sum = sum;
  if (kept <= 0) return;
  for (World& w : p.worlds) w.weight *= sum / kept;
}

void copy_frame(const Point& from, Place place, Point& into) {
  into.worlds.clear();
  into.place = place;
  into.repaired = from.repaired;
  into.settled = from.settled;
  into.done = from.done;
}

}  // namespace

Tree::Tree(Problem& problem, double eps_) : eps(eps_), problem_(problem), points_(1), alone_(problem.faults(), 0.0) {
  const std::size_t stride = problem.stride();
  yes_.resize(stride), noise_.resize(stride), bits_.resize(stride);
  by_left_.resize(problem.lefts().size());
  repair_ends_.resize(problem.model().steps.size());
}

Point& Tree::below(std::size_t depth) {
  if (points_.size() <= depth + 1) points_.emplace_back();
  return points_[depth + 1];
}

bool Tree::is_done(const Point& p, int step) const { return std::binary_search(p.done.begin(), p.done.end(), step); }

void Tree::answer(const Problem& problem, const Point& p, int column, bool yes, Point& into) {
  copy_frame(p, p.place, into);
  for (const World& w : p.worlds) {
    const double y = static_cast<double>(problem.yes(w.left)[column]);
    into.worlds.push_back({w.left, w.weight * (yes ? y : 1 - y)});
  }
  into.settled.set(static_cast<std::size_t>(column));
  tidy(into);
}

void Tree::repair(const Problem& problem, const Point& p, int step, Place to, Point& into) {
  copy_frame(p, to, into);
  into.repaired = true;
  into.done.insert(std::lower_bound(into.done.begin(), into.done.end(), step), step);
  into.worlds = p.worlds;
  for (const Cure& c : problem.step(step).cures) {
    for (std::size_t i = 0, end = into.worlds.size(); i < end; ++i) {
      const World w = into.worlds[i];
      const Left& left = problem.lefts()[static_cast<std::size_t>(w.left)];
      for (int k = 0; k < left.size(); ++k) {
        if (left.fault[static_cast<std::size_t>(k)] != c.fault) continue;
        into.worlds[i].weight = w.weight * (1 - c.chance);
        into.worlds.push_back({problem.without(w.left, k), w.weight * c.chance});
      }
    }
  }
  // Worlds that have become alike are one.
  std::sort(into.worlds.begin(), into.worlds.end(), [](const World& a, const World& b) { return a.left < b.left; });
  std::size_t end = 0;
  for (const World& w : into.worlds) {
    if (end > 0 && into.worlds[end - 1].left == w.left) {
      into.worlds[end - 1].weight += w.weight;
    } else {
      into.worlds[end++] = w;
    }
  }
  into.worlds.resize(end);
  tidy(into);
}

void Tree::ran(const Problem& problem, const Point& p, bool clean, Place to, Point& into) {
  copy_frame(p, to, into);
  into.repaired = false;
  for (const World& w : p.worlds) {
    const double quiet = problem.quiet(w.left);
    into.worlds.push_back({w.left, w.weight * (clean ? quiet : 1 - quiet)});
  }
  tidy(into);
}

double Tree::follow(std::size_t depth, Base base) {
  const Point& p = points_[depth];
  if (p.sum <= 0) return 0;
  if (p.sum < eps || depth >= kDeepest) return list_cost(p);
  work_ += static_cast<long>(p.worlds.size());
  const double stop = p.sum * problem_.give_up(p.place);
  const int step = choose(p, base);
  return step < 0 ? stop : std::min(stop, apply(depth, step, base));
}

double Tree::apply(std::size_t depth, int step, Base base) {
  const Point& p = points_[depth];
  const PlanStep& st = problem_.step(step);
  const Going g = problem_.go(p.place, step);
  const double now = p.sum * g.cost;
  switch (st.act) {
    case Act::ask: {
      Point& next = below(depth);
      next = p;
      next.place = g.to;
      return now + ask_on(depth + 1, step, base, false);
    }
    case Act::repair:
      repair(problem_, p, step, g.to, below(depth));
      return now + follow(depth + 1, base);
    case Act::swap: {
      // The part is paid for if it helps, and goes back out if it does not.
      Point& next = below(depth);
      repair(problem_, p, step, g.to, next);
      double gone = 0;
      for (const World& w : next.worlds) gone += w.weight * problem_.quiet(w.left);
      return now + problem_.joined({(next.sum - gone) * st.minutes, gone * st.money}) + run_on(depth + 1, base);
    }
    case Act::run:
      return run_on(depth, base);
    case Act::last_resort:
      return now;
  }
  return now;
}

/// The findings of a step that has been done, the most telling first, as long as they tell something.
double Tree::ask_on(std::size_t depth, int step, Base base, bool asked) {
  Point& p = points_[depth];
  constexpr double kEnough = 0.02;  // bits
  double bits = 0;
  const int column = p.sum < eps ? -1 : most_telling(p, step, bits);
  if (column < 0 || (asked && bits < kEnough)) {
    for (int c : problem_.columns_of(step)) p.settled.set(static_cast<std::size_t>(c));
    return follow(depth, base);
  }
  double cost = 0;
  for (bool yes : {true, false}) {
    answer(problem_, points_[depth], column, yes, below(depth));
    if (points_[depth + 1].sum > 0) cost += ask_on(depth + 1, step, base, true);
  }
  return cost;
}

double Tree::run_on(std::size_t depth, Base base) {
  const Going g = problem_.run(points_[depth].place);
  double cost = points_[depth].sum * g.cost;
  ran(problem_, points_[depth], true, g.to, below(depth));
  cost += prove(depth + 1, base, 1);
  ran(problem_, points_[depth], false, g.to, below(depth));
  return cost + follow(depth + 1, base);
}

/// After a clean run: more runs until the doubt is small.
double Tree::prove(std::size_t depth, Base base, int runs) {
  const Point& p = points_[depth];
  double doubt = p.sum;
  for (const World& w : p.worlds) doubt -= w.left == 0 ? w.weight : 0;
  if (p.sum <= 0 || doubt <= problem_.model().doubt_allowed * p.sum || runs >= kMostRuns) return 0;
  if (p.sum < eps) return p.sum * problem_.run(p.place).cost;
  const Going g = problem_.run(p.place);
  double cost = p.sum * g.cost;
  ran(problem_, points_[depth], true, g.to, below(depth));
  cost += prove(depth + 1, base, runs + 1);
  ran(problem_, points_[depth], false, g.to, below(depth));
  return cost + follow(depth + 1, base);
}

}  // namespace crankwise::plan
