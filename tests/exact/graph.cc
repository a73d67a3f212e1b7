#include "tests/exact/graph.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <limits>

namespace crankwise::exact {
namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();

double& at(std::vector<double>& v, int node) { return v[static_cast<std::size_t>(node)]; }
double at(const std::vector<double>& v, int node) { return v[static_cast<std::size_t>(node)]; }

/// What the planner of the relaxed problem is told.
struct Scenario {
  std::uint32_t left = 0;
  Bits yes = 0;
  double probability = 0;
};

std::vector<Scenario> scenarios(const Game& game) {
  const Model& m = game.model();
  std::vector<Scenario> all;
  for (const World& w : game.start().worlds) {
    assert(std::popcount(w.left) <= 1);
    for (Bits yes = 0; yes < Bits{1} << m.findings.size(); ++yes) {
      Scenario s{w.left, yes, w.weight};
      for (std::size_t f = 0; f < m.findings.size(); ++f) {
        double absent = 1 - m.findings[f].background;
        for (const Link& l : m.findings[f].links) absent *= (w.left >> l.fault & 1u) ? 1 - l.strength : 1;
        const auto [if_so, if_not] = m.findings[f].rates.chance(Answer::yes);
        const double p = if_so * (1 - absent) + if_not * absent;
        s.probability *= (yes >> f & 1u) ? p : 1 - p;
      }
      if (s.probability > 0) all.push_back(s);
    }
  }
  return all;
}

/// The least cost of one scenario, by node and by whether the fault has been put right.
class Relaxed {
 public:
  Relaxed(const Graph& graph, const std::vector<double>& guess) : graph_(graph), known_(2 * graph.nodes().size()) {
    for (const Graph::Node& n : graph.nodes()) {
      auto& expected = expected_.emplace_back();
      for (const Graph::Choice& c : n.choices) expected.push_back(Graph::value(c, guess));
    }
    guess_ = guess;
  }

  double least(const Scenario& s) {
    scenario_ = s;
    ++round_;
    return from(graph_.start(), s.left);
  }

 private:
  struct Known {
    int round = 0;
    double value = 0;
  };

  double from(int node, std::uint32_t left) {
    Known& known = known_[2 * static_cast<std::size_t>(node) + (left != 0)];
    if (known.round == round_) return known.value;
    const Graph::Node& n = graph_.nodes()[static_cast<std::size_t>(node)];
    double best = kNever;
    for (std::size_t c = 0; c < n.choices.size(); ++c) {
      const Graph::Choice& choice = n.choices[c];
      const PlanStep& step = graph_.game().step(choice.step);
      std::uint32_t after = left;
      for (const Cure& cure : step.cures) after &= ~(std::uint32_t{1} << cure.fault);
      const Graph::Arrow* arrow = nullptr;
      for (const Graph::Arrow& a : choice.arrows) {
        const bool fits = step.act == Act::run ? a.clean == (left == 0) : a.yes == (scenario_.yes & a.asked);
        if (fits) arrow = &a;
      }
      assert(arrow != nullptr);
      // What the step costs on the way that is seen, and for the news: expected value before, value after.
      double value = expected_[static_cast<std::size_t>(node)][c];
      if (arrow->to >= 0) value += from(arrow->to, after) - at(guess_, arrow->to);
      best = std::min(best, value);
    }
    known = {round_, best};
    return best;
  }

  const Graph& graph_;
  std::vector<std::vector<double>> expected_;  // by node and choice
  std::vector<double> guess_;
  std::vector<Known> known_;
  Scenario scenario_;
  int round_ = 0;
};

}  // namespace

Graph::Graph(const Game& game) : game_(game) { visit(game.start()); }

int Graph::visit(const Position& p) {
  std::string key = game_.key(p, false);
  if (const auto found = known_.find(key); found != known_.end()) return found->second;
  Node node{p, {}};
  for (int s = 0; s < game_.steps(); ++s) {
    if (!game_.useful(p, s)) continue;
    const Move move = game_.play(p, s);
    Choice choice{s, move.cost, {}};
    for (const Branch& b : move.branches) {
      choice.arrows.push_back({b.probability, b.cost, b.ended ? -1 : visit(b.to), b.asked, b.yes, b.clean});
    }
    node.choices.push_back(std::move(choice));
  }
  nodes_.push_back(std::move(node));
  const int index = static_cast<int>(nodes_.size()) - 1;
  known_.emplace(std::move(key), index);
  return index;
}

double Graph::value(const Choice& c, const std::vector<double>& to_go) {
  double value = c.cost;
  for (const Arrow& a : c.arrows) value += a.probability * (a.cost + (a.to < 0 ? 0 : at(to_go, a.to)));
  return value;
}

std::vector<double> optimum(const Graph& graph) {
  std::vector<double> v;
  for (const Graph::Node& n : graph.nodes()) {
    double best = kNever;
    for (const Graph::Choice& c : n.choices) best = std::min(best, Graph::value(c, v));
    v.push_back(best);
  }
  return v;
}

std::vector<double> known_fault(const Graph& graph) {
  const Game& game = graph.game();
  std::vector<double> v;
  for (const Graph::Node& n : graph.nodes()) {
    const Position& p = n.position;
    const double give_up = game.cost(p.off, p.engine_hot, game.plan().last_resort);
    double sum = 0;
    for (const World& w : p.worlds) {
      double cost = w.left == 0 ? game.run_cost(p.off) : 0;
      for (std::size_t f = 0; f < game.model().faults.size(); ++f) {
        if (!(w.left >> f & 1u)) continue;
        double cheapest = give_up;
        for (int s = 0; s < game.steps(); ++s) {
          if (p.done >> s & 1u) continue;
          for (const Cure& c : game.step(s).cures) {
            if (c.fault != static_cast<int>(f)) continue;
            cheapest = std::min(cheapest, game.cost(p.off, p.engine_hot, s) + game.run_cost(game.off_after(p.off, s)));
          }
        }
        cost += cheapest;
      }
      sum += w.weight * std::min(cost, give_up);
    }
    v.push_back(sum);
  }
  return v;
}

std::vector<double> tightened(const Graph& graph, std::vector<double> after, int steps) {
  for (int k = 0; k < steps; ++k) {
    std::vector<double> v;
    for (const Graph::Node& n : graph.nodes()) {
      double best = kNever;
      for (const Graph::Choice& c : n.choices) best = std::min(best, Graph::value(c, after));
      v.push_back(best);
    }
    after = std::move(v);
  }
  return after;
}

std::vector<double> values(const Graph& graph, const Value& value) {
  std::vector<double> v;
  for (const Graph::Node& n : graph.nodes()) v.push_back(value(n.position));
  return v;
}

std::vector<double> rollout(const Graph& graph, const std::vector<double>& behind) {
  std::vector<double> v;
  for (const Graph::Node& n : graph.nodes()) {
    const auto best = std::min_element(n.choices.begin(), n.choices.end(), [&](const auto& a, const auto& b) {
      return Graph::value(a, behind) < Graph::value(b, behind);
    });
    v.push_back(Graph::value(*best, v));
  }
  return v;
}

double relaxed_bound(const Graph& graph, const std::vector<double>& guess) {
  Relaxed relaxed(graph, guess);
  double bound = 0;
  for (const Scenario& s : scenarios(graph.game())) bound += s.probability * relaxed.least(s);
  return bound;
}

}  // namespace crankwise::exact
