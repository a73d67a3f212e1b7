// What the base policies choose.
#include <algorithm>
#include <cmath>

#include "core/plan/kernels.h"
#include "core/plan/tree.h"

namespace crankwise::plan {
namespace {

constexpr double kHardly = 1e-4;  // part of a point's weight below which a fault is not thought of

double entropy_bits(double p) { return p <= 0 || p >= 1 ? 0 : -(p * std::log2(p) + (1 - p) * std::log2(1 - p)); }

}  // namespace

/// alone_[f]: weight of the worlds in which only f is left; alone_faults_: those worth a thought, the heaviest first.
void Tree::weigh_alone(const Point& p) {
  for (int f : alone_faults_) alone_[static_cast<size_t>(f)] = 0;
  alone_faults_.clear();
  for (const World& w : p.worlds) {
    const Left& left = problem_.lefts()[static_cast<size_t>(w.left)];
    if (left.size() != 1 || w.weight < kHardly * p.sum) continue;
    alone_[static_cast<size_t>(left.fault[0])] = w.weight;
    alone_faults_.push_back(left.fault[0]);
  }
  const auto heaviest = std::max_element(alone_faults_.begin(), alone_faults_.end(), [&](int a, int b) {
    return alone_[static_cast<size_t>(a)] < alone_[static_cast<size_t>(b)];
  });
  if (heaviest != alone_faults_.end()) std::iter_swap(alone_faults_.begin(), heaviest);
}

/// by_left_: the weights of the point, summing to one.
void Tree::spread(const Point& p) {
  for (int l : lefts_) by_left_[static_cast<size_t>(l)] = 0;
  lefts_.clear();
  for (const World& w : p.worlds) {
    by_left_[static_cast<size_t>(w.left)] = static_cast<float>(w.weight / p.sum);
    lefts_.push_back(w.left);
  }
}

/// Of the point that was spread.
double Tree::chance_yes(int column) const {
  float yes = problem_.yes(0)[column];
  for (const Problem::Bearing& b : problem_.bearing(column)) yes += by_left_[static_cast<size_t>(b.left)] * b.yes;
  return static_cast<double>(yes);
}

double Tree::told(int column) const {
  float yes = problem_.yes(0)[column], noise = problem_.noise(0)[column];
  for (const Problem::Bearing& b : problem_.bearing(column)) {
    const float w = by_left_[static_cast<size_t>(b.left)];
    yes += w * b.yes, noise += w * b.noise;
  }
  return entropy_bits(static_cast<double>(yes)) - static_cast<double>(noise);
}

/// The best repair of the fault that was not done yet.
const RepairOf* Tree::fix_of(const Point& p, int fault) const {
  for (const RepairOf& r : problem_.repairs(fault)) {
    if (!is_done(p, r.step)) return &r;
  }
  return nullptr;
}

/// repair_ends_: of every repair that bears on alone_faults_ (tried_repairs_), the weight that it would end.
void Tree::gather_repairs() {
  for (int s : tried_repairs_) repair_ends_[static_cast<size_t>(s)] = {};
  tried_repairs_.clear();
  for (int f : alone_faults_) {
    for (const RepairOf& r : problem_.repairs(f)) {
      RepairEnds& e = repair_ends_[static_cast<size_t>(r.step)];
      if (e.fault < 0) tried_repairs_.push_back(r.step);
      const double ends = alone_[static_cast<size_t>(f)] * r.chance;
      e.ends += ends;
      if (ends > e.most || e.fault < 0) e.most = ends, e.fault = f;
    }
  }
}

/// Every block from here whose index may beat `best`; `visit` may raise it.
template <class Visit>
void Tree::each_block(const Point& p, double& best, Visit visit) {
  weigh_alone(p);
  spread(p);
  gather_repairs();
  for (int step : tried_repairs_) {
    if (is_done(p, step)) continue;
    const auto& [ends, most, fault] = repair_ends_[static_cast<size_t>(step)];
    const Going g = problem_.go(p.place, step);
    if (ends <= best * g.cost) continue;
    double cost = g.cost + problem_.run(g.to).cost;
    const PlanStep& st = problem_.step(step);
    if (st.act == Act::swap) cost += problem_.joined({(1 - ends / p.sum) * st.minutes, ends / p.sum * st.money});
    visit(Block{step, fault, ends, std::max(cost, 1e-6)});
  }
  for (int f : alone_faults_) {
    if (alone_[static_cast<size_t>(f)] * problem_.look_index(f) <= best) continue;
    const RepairOf* fix = fix_of(p, f);
    if (fix == nullptr) continue;
    for (const LookAt& look : problem_.looks(f)) {
      if (p.settled[static_cast<size_t>(look.column)]) continue;
      const double ends = alone_[static_cast<size_t>(f)] * look.hit * fix->chance;
      const Going looking = problem_.go(p.place, look.step);
      if (ends <= best * looking.cost) continue;
      const Going fixing = problem_.go(looking.to, fix->step);
      const double repairing = fixing.cost + problem_.run(fixing.to).cost;
      if (ends <= best * (looking.cost + ends / p.sum * repairing)) continue;
      const double cost = looking.cost + chance_yes(look.column) * repairing;
      visit(Block{look.step, f, ends, std::max(cost, 1e-6)});
    }
  }
}

Block Tree::best_block(const Point& p) {
  Block best;
  double index = 0;
  each_block(p, index, [&](const Block& b) {
    if (b.index() > index) best = b, index = b.index();
  });
  return best;
}

std::vector<Block> Tree::blocks() {
  std::vector<Block> all;
  double none = 0;
  each_block(root(), none, [&](const Block& b) { all.push_back(b); });
  std::stable_sort(all.begin(), all.end(), [](const Block& a, const Block& b) { return a.index() > b.index(); });
  return all;
}

/// bits_[c]: what the answer of column c would tell, in bits.
void Tree::weigh_columns(const Point& p) {
  spread(p);
  const size_t columns = problem_.columns();
  for (size_t c = 0; c < columns; ++c) {
    float yes = problem_.yes(0)[c], noise = problem_.noise(0)[c];
    for (const Problem::Bearing& b : problem_.bearing(static_cast<int>(c))) {
      const float w = by_left_[static_cast<size_t>(b.left)];
      yes += w * b.yes, noise += w * b.noise;
    }
    yes_[c] = yes, noise_[c] = noise;
  }
  entropy_row(bits_.data(), yes_.data(), columns);
  for (size_t c = 0; c < columns; ++c) bits_[c] -= noise_[c];
}

/// Bits of the most telling open finding of the step and half those of the next, from bits_.
Asking Tree::weigh_asking(const Point& p, int step) {
  double first = 0, second = 0;
  for (int c : problem_.columns_of(step)) {
    if (p.settled[static_cast<size_t>(c)]) continue;
    const double bits = static_cast<double>(bits_[static_cast<size_t>(c)]);
    second = std::max(second, std::min(bits, first));
    first = std::max(first, bits);
  }
  constexpr double kLeastCost = 0.05;
  return {step, first + second / 2, std::max(problem_.go(p.place, step).cost, kLeastCost)};
}

int Tree::by_information(const Point& p) {
  constexpr double kLikelierThanNot = 0.5, kInforms = 0.02;
  weigh_alone(p);
  if (!alone_faults_.empty()) {
    const int f = alone_faults_.front();
    if (alone_[static_cast<size_t>(f)] > kLikelierThanNot * p.sum) {
      Block best;
      for (const RepairOf& r : problem_.repairs(f)) {
        const Going g = problem_.go(p.place, r.step);
        const Block b{r.step, f, r.chance, g.cost + problem_.run(g.to).cost + 1e-6};
        if (!is_done(p, r.step) && b.index() > best.index()) best = b;
      }
      if (best.step >= 0) return best.step;
    }
  }
  weigh_columns(p);
  Asking best;
  for (int s : problem_.asks()) {
    const Asking a = weigh_asking(p, s);
    if (a.bits >= kInforms && (best.step < 0 || a.per_cost() > best.per_cost())) best = a;
  }
  return best.step >= 0 ? best.step : best_block(p).step;
}

std::vector<Asking> Tree::askings() {
  constexpr double kTells = 0.002;
  const Point& p = root();
  weigh_columns(p);
  std::vector<Asking> all;
  for (int s : problem_.asks()) {
    const Asking a = weigh_asking(p, s);
    if (a.bits > kTells) all.push_back(a);
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Asking& a, const Asking& b) { return a.per_cost() > b.per_cost(); });
  return all;
}

/// Column of the most telling open finding of the step, or -1.
int Tree::most_telling(const Point& p, int step, double& most) {
  spread(p);
  int best = -1;
  for (int c : problem_.columns_of(step)) {
    if (p.settled[static_cast<size_t>(c)]) continue;
    const double tells = told(c);
    if (best < 0 || tells > most) best = c, most = tells;
  }
  return best;
}

/// A repair worth doing before the run, or -1: that of the block that would come next if the run failed, if doing it
/// now and running once costs less than running now and coming to that block only then.
int Tree::second_repair(const Point& p) {
  const Going run_now = problem_.run(p.place);
  ran(problem_, p, false, run_now.to, failed_);
  if (failed_.sum <= 0) return -1;
  const Block next = best_block(failed_);
  if (next.step < 0) return -1;
  const RepairOf* fix = fix_of(p, next.fault);
  const int repair = problem_.step(next.step).act == Act::ask ? fix->step : next.step;
  if (problem_.step(repair).act != Act::repair) return -1;
  const Going now = problem_.go(p.place, repair);
  const double more = p.sum * (now.cost + problem_.run(now.to).cost - run_now.cost);
  return more < failed_.sum * next.cost ? repair : -1;
}

int Tree::choose(const Point& p, Base base) {
  if (p.repaired) {
    const int second = second_repair(p);
    const int run = problem_.model().run_step;
    return second >= 0 ? second : problem_.step(run).ready ? run : -1;
  }
  return base == Base::by_index ? best_block(p).step : by_information(p);
}

}  // namespace crankwise::plan
