#include "tests/exact/policies.h"

#include <algorithm>
#include <cassert>

namespace crankwise::exact {
namespace {

/// Chance that f is all that is left.
double alone(const Position& p, int fault) {
  double sum = 0;
  for (const World& w : p.worlds) sum += w.left == std::uint32_t{1} << fault ? w.weight : 0;
  return sum;
}

bool is_repair(const PlanStep& s) { return s.act == Act::repair || s.act == Act::swap; }

double ends(const Game& game, const Position& p, int repair) {
  double sum = 0;
  for (const Cure& c : game.step(repair).cures) sum += c.chance * alone(p, c.fault);
  return sum;
}

double with_run(const Game& game, PartMask from, bool hot, int repair) {
  return game.cost(from, hot, repair) + game.run_cost(game.off_after(from, repair));
}

constexpr double kTie = 1e-9;  // relative; the first of equals is taken

int cheapest_repair_of(const Game& game, const Position& p, int fault) {
  int best = -1;
  double least = 0;
  for (int s = 0; s < game.steps(); ++s) {
    const auto& cures = game.step(s).cures;
    const bool cures_it = std::any_of(cures.begin(), cures.end(), [&](const Cure& c) { return c.fault == fault; });
    if (!cures_it || !game.useful(p, s)) continue;
    const double cost = with_run(game, p.off, p.engine_hot, s);
    if (best < 0 || cost < least) best = s, least = cost;
  }
  return best;
}

int best_repair(const Game& game, const Position& p) {
  int best = game.plan().last_resort;
  double highest = 0;
  for (int s = 0; s < game.steps(); ++s) {
    if (!is_repair(game.step(s)) || !game.useful(p, s)) continue;
    const double index = ends(game, p, s) / with_run(game, p.off, p.engine_hot, s);
    if (index > highest * (1 + kTie)) best = s, highest = index;
  }
  return best;
}

/// The fault that a look is about.
int about(const Game& game, int look) {
  const int finding = game.step(look).findings.front();
  return game.model().findings[static_cast<std::size_t>(finding)].links.front().fault;
}

/// The repair of what a look spoke for, if it is still to be done; the last such look first. -1 if there is none.
int of_what_looked_bad(const Game& game, const Position& p) {
  for (const Past* past = p.past.get(); past != nullptr; past = past->before.get()) {
    const auto* said = std::get_if<Answered>(&past->last);
    if (said == nullptr || said->answer != Answer::yes) continue;
    const int fault = game.model().findings[static_cast<std::size_t>(said->finding)].links.front().fault;
    if (const int repair = cheapest_repair_of(game, p, fault); repair >= 0) return repair;
  }
  return -1;
}

}  // namespace

Policy follow_advice(const Game& game) {
  return [&game](const Position& p) {
    const PlanModel plan = game.plan_at(p);
    const Belief belief = believe(game.model(), p.history());
    const Advice advice = advise(plan, belief, game.state_at(p));
    for (const Option& o : advice.options) {
      if (game.may(p, o.step)) return o.step;
    }
    assert(false && "the last resort may always be done");
    return plan.last_resort;
  };
}

Policy in_this_order(const Game& game, std::vector<int> steps) {
  return [&game, steps = std::move(steps)](const Position& p) {
    std::size_t last = 0;  // behind the last repair that was done
    for (std::size_t i = 0; i < steps.size(); ++i) {
      if (p.done >> steps[i] & 1u) last = i + 1;
    }
    for (std::size_t i = last; i < steps.size(); ++i) {
      if (game.may(p, steps[i])) return steps[i];
    }
    return game.plan().last_resort;
  };
}

Policy repair_and_test(const Game& game) {
  return [&game](const Position& p) { return p.repaired_since_run ? game.plan().run_step : best_repair(game, p); };
}

Policy check_list(const Game& game, std::vector<int> looks) {
  return [&game, looks = std::move(looks)](const Position& p) {
    if (p.repaired_since_run) return game.plan().run_step;
    if (const int repair = of_what_looked_bad(game, p); repair >= 0) return repair;
    for (int look : looks) {
      const int fault = about(game, look);
      if (game.may(p, look) && cheapest_repair_of(game, p, fault) >= 0) return look;
    }
    return best_repair(game, p);
  };
}

std::vector<int> likeliest_look_first(const Game& game) {
  const Position start = game.start();
  std::vector<int> looks;
  for (int s = 0; s < game.steps(); ++s) {
    if (game.step(s).act == Act::ask) looks.push_back(s);
  }
  std::stable_sort(looks.begin(), looks.end(),
                   [&](int a, int b) { return alone(start, about(game, a)) > alone(start, about(game, b)); });
  return looks;
}

Policy block_index(const Game& game) {
  return [&game](const Position& p) {
    const PlanModel& plan = game.plan();
    if (p.repaired_since_run) return plan.run_step;
    int best = plan.last_resort;
    double highest = 0, best_ends = 0, best_cost = 0;
    const auto consider = [&](int step, double chance, double cost) {
      if (!(chance / cost > highest * (1 + kTie))) return;
      best = step, highest = chance / cost, best_ends = chance, best_cost = cost;
    };
    for (int s = 0; s < game.steps(); ++s) {
      if (!game.useful(p, s)) continue;
      if (is_repair(game.step(s))) consider(s, ends(game, p, s), with_run(game, p.off, p.engine_hot, s));
      if (game.step(s).act != Act::ask) continue;
      const int fault = about(game, s), repair = cheapest_repair_of(game, p, fault);
      if (repair < 0) continue;
      double chance = 0, bad = 0;
      const Move move = game.play(p, s);
      for (const Branch& b : move.branches) {
        if (b.yes == 0) continue;
        bad += b.probability;
        chance += b.probability * ends(game, b.to, repair);
      }
      consider(s, chance,
               game.cost(p.off, p.engine_hot, s) + bad * with_run(game, game.off_after(p.off, s), false, repair));
    }
    const double give_up = game.cost(p.off, p.engine_hot, plan.last_resort);
    return best_ends * give_up < 0.5 * best_cost ? plan.last_resort : best;
  };
}

}  // namespace crankwise::exact
