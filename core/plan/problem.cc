#include "core/plan/problem.h"

#include <algorithm>
#include <numeric>

#include "core/plan/kernels.h"

namespace crankwise::plan {

Left Left::without(int k) const {
  Left rest = *this;
  for (size_t i = static_cast<size_t>(k); i < 3; ++i) rest.fault[i] = i < 2 ? rest.fault[i + 1] : -1;
  return rest;
}

Problem::Problem(const PlanModel& model, const Belief& belief, const PlanState& state, Tilt tilt)
    : model_(model), engine_runs_(state.engine_runs) {
  const Model& m = *belief.model;
  index_of(Left{});
  take_worlds(belief, tilt);
  quiet_.reserve(lefts_.size());
  for (const Left& left : lefts_) {
    double quiet = 1 - m.false_trouble;
    for (int f : left.fault) {
      if (f >= 0) quiet *= 1 - m.faults[static_cast<size_t>(f)].shows;
    }
    quiet_.push_back(quiet);
  }
  make_rows(m, state);
  place(0, false);  // the first one
  start_ = place(state.off, state.engine_hot);
  make_dealings(m);
}

int Problem::index_of(const Left& left) {
  const auto [at, fresh] = left_index_.try_emplace(left, static_cast<int>(lefts_.size()));
  const int index = at->second;
  if (!fresh) return index;
  lefts_.push_back(left);
  without_.push_back({-1, -1, -1});
  for (int k = 0; k < left.size(); ++k) {
    const int rest = index_of(left.without(k));
    without_[static_cast<size_t>(index)][static_cast<size_t>(k)] = rest;
  }
  return index;
}

void Problem::take_worlds(const Belief& belief, Tilt tilt) {
  std::vector<double> weight;
  double sum = 0;
  for (const Belief::Set& s : belief.remaining_sets(kSets)) {
    Left left;
    double w = s.probability;
    for (size_t k = 0; k < s.remaining.size(); ++k) {
      left.fault[k] = s.remaining[k];
      if (s.remaining[k] == tilt.fault) w *= tilt.factor;
    }
    const size_t at = static_cast<size_t>(index_of(left));
    if (weight.size() < lefts_.size()) weight.resize(lefts_.size(), 0.0);
    weight[at] += w;
    sum += w;
  }
  for (size_t l = 0; l < weight.size(); ++l) {
    if (weight[l] > 0) worlds_.push_back({static_cast<int>(l), weight[l] / sum});
  }
}

void Problem::make_rows(const Model& m, const PlanState& state) {
  std::vector<char> asked(m.findings.size(), 0);
  for (const PlanStep& s : model_.steps) {
    if (s.act != Act::ask || !may_do(s)) continue;
    for (int f : s.findings) asked[static_cast<size_t>(f)] = !state.settled[static_cast<size_t>(f)];
  }
  std::vector<int> wanted;
  for (size_t f = 0; f < asked.size(); ++f) {
    if (asked[f]) wanted.push_back(static_cast<int>(f));
  }

  const size_t n = m.faults.size();
  stride_ = padded(wanted.size());
  std::vector<float> absent(n * stride_, 1.0f);  // per fault: chance that it alone does not show the finding
  std::vector<float> background(stride_, 1.0f), so(stride_, 0.0f), not_so(stride_, 0.0f);
  for (size_t c = 0; c < wanted.size(); ++c) {
    const FindingModel& f = m.findings[static_cast<size_t>(wanted[c])];
    background[c] = static_cast<float>(1 - f.background);
    so[c] = static_cast<float>(f.rates.yes_if_so), not_so[c] = static_cast<float>(f.rates.yes_if_not);
    for (const Link& l : f.links)
      absent[static_cast<size_t>(l.fault) * stride_ + c] = static_cast<float>(1 - l.strength);
  }
  yes_.resize(lefts_.size() * stride_);
  noise_.resize(yes_.size());
  std::vector<float> q(stride_);
  for (size_t l = 0; l < lefts_.size(); ++l) {
    q = background;
    for (int f : lefts_[l].fault) {
      if (f < 0) continue;
      const float* column = absent.data() + static_cast<size_t>(f) * stride_;
      for (size_t c = 0; c < stride_; ++c) q[c] *= column[c];
    }
    float* y = yes_.data() + l * stride_;
    for (size_t c = 0; c < stride_; ++c) y[c] = so[c] + (not_so[c] - so[c]) * q[c];
    entropy_row(noise_.data() + l * stride_, y, stride_);
  }
  keep_most_telling(std::move(wanted));

  std::vector<int> column(m.findings.size(), -1);
  for (size_t c = 0; c < findings_.size(); ++c) column[static_cast<size_t>(findings_[c])] = static_cast<int>(c);
  columns_of_.resize(model_.steps.size());
  for (size_t s = 0; s < model_.steps.size(); ++s) {
    const PlanStep& step = model_.steps[s];
    if (step.act != Act::ask || !may_do(step)) continue;
    for (int f : step.findings) {
      const int c = column[static_cast<size_t>(f)];
      if (c >= 0) columns_of_[s].push_back(c);
    }
    if (!columns_of_[s].empty()) asks_.push_back(static_cast<int>(s));
  }
}

/// Sorts the columns by what they would tell at the start and drops those beyond kColumns and those that tell nothing.
void Problem::keep_most_telling(std::vector<int> wanted) {
  std::vector<float> p(stride_, 0.0f), noise(stride_, 0.0f), bits(stride_);
  for (const World& w : worlds_) {
    const float weight = static_cast<float>(w.weight);
    const float *y = yes(w.left), *n = this->noise(w.left);
    for (size_t c = 0; c < stride_; ++c) p[c] += weight * y[c], noise[c] += weight * n[c];
  }
  entropy_row(bits.data(), p.data(), stride_);
  std::vector<size_t> order(wanted.size());
  std::iota(order.begin(), order.end(), size_t{0});
  for (size_t c = 0; c < wanted.size(); ++c) bits[c] -= noise[c];
  std::stable_sort(order.begin(), order.end(), [&](size_t a, size_t b) { return bits[a] > bits[b]; });
  constexpr float kTellsNothing = 1e-5f;
  while (!order.empty() && (order.size() > kColumns || bits[order.back()] < kTellsNothing)) order.pop_back();

  const size_t stride = padded(order.size());
  std::vector<float> yes(lefts_.size() * stride, 0.0f), entropies(yes.size(), 0.0f);
  for (size_t l = 0; l < lefts_.size(); ++l) {
    for (size_t c = 0; c < order.size(); ++c) {
      yes[l * stride + c] = yes_[l * stride_ + order[c]];
      entropies[l * stride + c] = noise_[l * stride_ + order[c]];
    }
  }
  yes_.swap(yes), noise_.swap(entropies);
  stride_ = stride;
  for (size_t c : order) findings_.push_back(wanted[c]);
  for (size_t c = 0; c < order.size(); ++c) {
    bearing_from_.push_back(bearing_.size());
    for (size_t l = 1; l < lefts_.size(); ++l) {
      const Bearing b{static_cast<int>(l), yes_[l * stride + c] - yes_[c], noise_[l * stride + c] - noise_[c]};
      if (b.yes != 0) bearing_.push_back(b);
    }
  }
  bearing_from_.push_back(bearing_.size());
}

void Problem::make_dealings(const Model& m) {
  const Place on = all_on();
  repairs_.resize(m.faults.size());
  looks_.resize(m.faults.size());
  for (size_t s = 0; s < model_.steps.size(); ++s) {
    const PlanStep& step = model_.steps[s];
    if ((step.act != Act::repair && step.act != Act::swap) || !may_do(step)) continue;
    const Going doing = go(on, static_cast<int>(s));
    const double later = doing.cost + run(doing.to).cost;
    for (const Cure& c : step.cures) {
      if (c.chance > 0) repairs_[static_cast<size_t>(c.fault)].push_back({static_cast<int>(s), c.chance, later});
    }
  }
  for (auto& of : repairs_) {
    std::stable_sort(of.begin(), of.end(),
                     [](const RepairOf& a, const RepairOf& b) { return a.later / a.chance < b.later / b.chance; });
  }
  for (const auto& of : repairs_) {
    known_cost_.push_back(of.empty() ? give_up(on) : std::min(of.front().later / of.front().chance, give_up(on)));
  }
  for (int s : asks_) {
    for (int c : columns_of(s)) {
      for (const Link& l : m.findings[static_cast<size_t>(finding(c))].links) {
        const auto single = left_index_.find(Left{{l.fault, -1, -1}});
        const auto& fix = repairs_[static_cast<size_t>(l.fault)];
        if (l.strength < 0.5 || fix.empty() || single == left_index_.end()) continue;
        const size_t column = static_cast<size_t>(c);
        const Going looking = go(on, s), fixing = go(looking.to, fix.front().step);
        looks_[static_cast<size_t>(l.fault)].push_back({s, c, static_cast<double>(yes(single->second)[column]),
                                                        static_cast<double>(yes(0)[column]), looking.cost,
                                                        fixing.cost + run(fixing.to).cost});
      }
    }
  }
  for (const auto& of : looks_) {
    double best = 0;
    for (const LookAt& l : of) {
      best = std::max(best, l.hit / std::max(joined({step(l.step).minutes, step(l.step).money}), 1e-6));
    }
    look_index_.push_back(best);
  }
}

PartMask Problem::off_after(PartMask from, const PlanStep& s) const {
  PartMask on = 0;
  const PartMask off = model_.access.closure(s.off);
  for (int p : s.on) on |= Access::bit(p) & ~off;
  return model_.access.reach(from, off, on);
}

Effort Problem::reach(PartMask from, bool hot, const PlanStep& s) const {
  Effort e = model_.access.move(from, off_after(from, s));
  if (s.needs_hot && !hot) e.minutes += model_.warm_up_min;
  return e;
}

Place Problem::place(PartMask off, bool hot) {
  const auto [at, fresh] = place_index_.try_emplace({off, hot}, static_cast<Place>(places_.size()));
  if (fresh) places_.push_back({off, hot, std::vector<Going>(model_.steps.size(), Going{0, -1})});
  return at->second;
}

Going Problem::go(Place from, int s) {
  const Going known = places_[static_cast<size_t>(from)].going[static_cast<size_t>(s)];
  if (known.to >= 0) return known;
  const PlanStep& st = step(s);
  const PartMask before = off(from);
  const Effort own{st.minutes, st.act == Act::swap ? 0 : st.money};
  Going g;
  g.cost = joined(reach(before, hot(from), st) + own);
  g.to = place(off_after(before, st), st.act == Act::run || st.needs_running || st.needs_hot);
  return places_[static_cast<size_t>(from)].going[static_cast<size_t>(s)] = g;
}

}  // namespace crankwise::plan
