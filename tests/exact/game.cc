#include "tests/exact/game.h"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>

namespace crankwise::exact {
namespace {

constexpr double kAlmostNone = 1e-14;  // chances below are rounding
constexpr double kGrain = 1e11;        // weights that differ by less than one in this are the same

Bits bit(int i) { return Bits{1} << i; }
std::uint32_t fault_bit(int f) { return std::uint32_t{1} << f; }

std::uint64_t place(const World& w) {
  return std::uint64_t{w.left} << 32 | std::uint64_t{w.swapped} << 1 | std::uint64_t{w.cured};
}

/// Sorts, joins equal worlds, drops empty ones and makes the weights sum to one. Returns the sum before.
double tidy(std::vector<World>& worlds) {
  std::sort(worlds.begin(), worlds.end(), [](const World& a, const World& b) { return place(a) < place(b); });
  double sum = 0;
  std::size_t kept = 0;
  for (const World& w : worlds) {
    if (!(w.weight > kAlmostNone)) continue;
    sum += w.weight;
    if (kept > 0 && place(worlds[kept - 1]) == place(w)) {
      worlds[kept - 1].weight += w.weight;
    } else {
      worlds[kept++] = w;
    }
  }
  worlds.resize(kept);
  for (World& w : worlds) w.weight /= sum;
  return sum;
}

std::shared_ptr<const Past> then(const std::shared_ptr<const Past>& before, Happening h) {
  return std::make_shared<const Past>(Past{before, std::move(h)});
}

void append(std::string& key, std::uint64_t x) { key.append(reinterpret_cast<const char*>(&x), sizeof x); }

}  // namespace

double Position::nothing_left() const {
  double p = 0;
  for (const World& w : worlds) p += w.left == 0 ? w.weight : 0;
  return p;
}

std::vector<Happening> Position::history() const {
  std::vector<Happening> all;
  for (const Past* p = past.get(); p != nullptr; p = p->before.get()) all.push_back(p->last);
  std::reverse(all.begin(), all.end());
  return all;
}

Game::Game(PlanModel plan, Model model, int most_faults, PartMask off)
    : plan_(std::move(plan)), model_(std::move(model)), most_faults_(most_faults), off_(off) {
  assert(model_.faults.size() < 32 && model_.findings.size() <= 64 && plan_.steps.size() <= 64);
  for (const FindingModel& f : model_.findings) assert(f.error_group < 0), static_cast<void>(f);
  for (const PlanStep& s : plan_.steps) heat_matters_ = heat_matters_ || s.needs_hot;
}

Position Game::start() const {
  Position p;
  p.off = off_;
  const auto n = static_cast<int>(model_.faults.size());
  for (std::uint32_t set = 0; set < fault_bit(n); ++set) {
    if (std::popcount(set) > most_faults_) continue;
    World w{set, 0, false, set == 0 ? model_.nothing_wrong : 1.0};
    for (int f = 0; f < n; ++f) w.weight *= (set & fault_bit(f)) ? model_.faults[static_cast<std::size_t>(f)].odds : 1;
    for (auto [f, g] : model_.exclusive) {
      if ((set & fault_bit(f)) && (set & fault_bit(g))) w.weight = 0;
    }
    p.worlds.push_back(w);
  }
  tidy(p.worlds);
  return p;
}

double Game::chance(int finding, Answer answer, std::uint32_t left) const {
  const FindingModel& f = model_.findings[static_cast<std::size_t>(finding)];
  double absent = 1 - f.background;
  for (const Link& l : f.links) absent *= (left & fault_bit(l.fault)) ? 1 - l.strength : 1;
  const auto [if_so, if_not] = f.rates.chance(answer);
  return if_so * (1 - absent) + if_not * absent;
}

double Game::clean(std::uint32_t left) const {
  double p = 1 - model_.false_trouble;
  for (std::size_t f = 0; f < model_.faults.size(); ++f) {
    if (left & fault_bit(static_cast<int>(f))) p *= 1 - model_.faults[f].shows;
  }
  return p;
}

bool Game::may(const Position& p, int s) const {
  const PlanStep& st = step(s);
  if (st.act == Act::last_resort) return true;
  if (!st.ready) return false;
  switch (st.act) {
    case Act::ask:
      return std::any_of(st.findings.begin(), st.findings.end(), [&](int f) { return !(p.settled & bit(f)); });
    case Act::repair:
    case Act::swap:
      return !(p.done & bit(s));
    default:
      return p.repaired_since_run || (p.last_run_clean && p.nothing_left() > 0);
  }
}

bool Game::tells(const Position& p, int finding) const {
  if (p.settled & bit(finding)) return false;
  for (Answer a : {Answer::yes, Answer::no}) {
    const double first = chance(finding, a, p.worlds.front().left);
    for (const World& w : p.worlds) {
      if (std::abs(chance(finding, a, w.left) - first) > 1e-12) return true;
    }
  }
  return false;
}

bool Game::useful(const Position& p, int s) const {
  if (!may(p, s)) return false;
  const PlanStep& st = step(s);
  if (st.act == Act::ask) {
    return std::any_of(st.findings.begin(), st.findings.end(), [&](int f) { return tells(p, f); });
  }
  if (st.act != Act::repair && st.act != Act::swap) return true;
  std::uint32_t cures = 0;
  for (const Cure& c : st.cures) cures |= fault_bit(c.fault);
  return std::any_of(p.worlds.begin(), p.worlds.end(), [&](const World& w) { return (w.left & cures) != 0; });
}

PartMask Game::off_after(PartMask from, int s) const {
  PartMask on = 0;
  const PartMask off = plan_.access.closure(step(s).off);
  for (int p : step(s).on) on |= Access::bit(p) & ~off;
  return plan_.access.reach(from, off, on);
}

double Game::cost(PartMask from, bool engine_hot, int s) const {
  const PlanStep& st = step(s);
  Effort e = plan_.access.move(from, off_after(from, s)) + Effort{st.minutes, st.act == Act::swap ? 0 : st.money};
  if (st.needs_hot && !engine_hot) e.minutes += plan_.warm_up_min;
  return e.joined(plan_.minutes_per_money);
}

Move Game::play(const Position& before, int s) const {
  assert(may(before, s));
  const PlanStep& st = step(s);
  Move move;
  move.cost = cost(before.off, before.engine_hot, s);
  if (st.act == Act::last_resort) {
    Branch end;
    end.probability = 1;
    end.ended = true;
    move.branches.push_back(std::move(end));
    return move;
  }
  Position p = before;
  p.off = off_after(before.off, s);
  p.engine_hot = st.needs_running || st.needs_hot || st.act == Act::run;
  if (st.act == Act::ask) {
    ask(p, st, move);
  } else if (st.act == Act::run) {
    run(p, move);
  } else {
    repair(p, s, move);
  }
  return move;
}

void Game::ask(const Position& p, const PlanStep& st, Move& move) const {
  Branch first;
  first.probability = 1;
  first.to = p;
  move.branches.push_back(std::move(first));
  for (int f : st.findings) {
    if (p.settled & bit(f)) continue;
    std::vector<Branch> next;
    for (const Branch& b : move.branches) {
      for (Answer a : {Answer::yes, Answer::no, Answer::unsure}) {
        Branch c = b;
        for (World& w : c.to.worlds) w.weight *= chance(f, a, w.left);
        const double share = tidy(c.to.worlds);
        if (c.to.worlds.empty()) continue;
        c.probability *= share;
        c.to.settled |= bit(f);
        c.asked |= bit(f);
        if (a == Answer::yes) c.yes |= bit(f);
        c.to.past = then(b.to.past, Answered{f, a});
        next.push_back(std::move(c));
      }
    }
    move.branches = std::move(next);
  }
}

void Game::repair(const Position& before, int s, Move& move) const {
  const PlanStep& st = step(s);
  Branch b;
  b.probability = 1;
  b.to = before;
  Position& p = b.to;
  for (const Cure& c : st.cures) {
    const std::uint32_t fault = fault_bit(c.fault);
    for (std::size_t i = 0, end = p.worlds.size(); i < end; ++i) {
      if (!(p.worlds[i].left & fault)) continue;
      World right = p.worlds[i];
      right.left &= ~fault;
      right.cured = true;
      right.weight *= c.chance;
      if (st.act == Act::swap) right.swapped |= fault;
      p.worlds[i].weight *= 1 - c.chance;
      p.worlds.push_back(right);
    }
    for (std::size_t f = 0; f < model_.findings.size(); ++f) {
      for (const Link& l : model_.findings[f].links) {
        if (l.fault == c.fault) p.settled &= ~bit(static_cast<int>(f));
      }
    }
  }
  tidy(p.worlds);
  p.done |= bit(s);
  if (st.act == Act::swap) p.swapped |= bit(s);
  p.repaired_since_run = true;
  p.last_run_clean = false;
  p.past = then(before.past, Repaired{st.cures});
  move.branches.push_back(std::move(b));
}

void Game::run(const Position& before, Move& move) const {
  Effort parts, swapping_back;
  std::vector<int> back;
  for (int s = 0; s < steps(); ++s) {
    if (!(before.swapped & bit(s))) continue;
    parts.money += step(s).money;
    swapping_back.minutes += step(s).minutes;
    for (const Cure& c : step(s).cures) back.push_back(c.fault);
  }
  for (RunResult result : {RunResult::gone, RunResult::better, RunResult::same}) {
    Branch b;
    b.to = before;
    Position& p = b.to;
    b.clean = result == RunResult::gone;
    for (World& w : p.worlds) {
      const double better = w.cured ? model_.better_if_cured : model_.better_if_not;
      const double of_bad = result == RunResult::better ? better : 1 - better;
      w.weight *= b.clean ? clean(w.left) : (1 - clean(w.left)) * of_bad;
      if (!b.clean) w.left |= w.swapped;
      w.swapped = 0;
      w.cured = false;
    }
    b.probability = tidy(p.worlds);
    if (p.worlds.empty()) continue;
    b.cost = (b.clean ? parts : swapping_back).joined(plan_.minutes_per_money);
    p.swapped = 0;
    p.repaired_since_run = false;
    p.last_run_clean = b.clean;
    p.past = then(before.past, Ran{result});
    if (b.clean && 1 - p.nothing_left() <= plan_.doubt_allowed) {
      b.ended = true;
      b.cost += plan_.access.move(p.off, 0).joined(plan_.minutes_per_money);
    } else if (!b.clean && !back.empty()) {
      p.past = then(p.past, PutBack{back});
      for (std::size_t f = 0; f < model_.findings.size(); ++f) {
        for (const Link& l : model_.findings[f].links) {
          if (std::count(back.begin(), back.end(), l.fault) > 0) p.settled &= ~bit(static_cast<int>(f));
        }
      }
    }
    move.branches.push_back(std::move(b));
  }
}

std::string Game::key(const Position& p, bool exactly) const {
  Bits open = 0, settled = p.settled;
  exactly = exactly || p.swapped != 0;  // what is of no use now may be of use when the old part is back
  if (!exactly) {
    // Positions that differ only in what is of no use have the same future.
    for (int s = 0; s < steps(); ++s) open |= useful(p, s) ? bit(s) : 0;
    for (std::size_t f = 0; f < model_.findings.size(); ++f) {
      if (!tells(p, static_cast<int>(f))) settled |= bit(static_cast<int>(f));
    }
  }
  std::string key;
  key.reserve(48 + 24 * p.worlds.size());
  append(key, p.off);
  append(key, settled);
  append(key, exactly ? p.done : open);
  append(key, p.swapped);
  const bool hot = p.engine_hot && heat_matters_;
  append(key, std::uint64_t{hot} | std::uint64_t{p.repaired_since_run} << 1 | std::uint64_t{p.last_run_clean} << 2);
  for (const World& w : p.worlds) {
    append(key, place(w));
    append(key, static_cast<std::uint64_t>(std::llround(w.weight * kGrain)));
  }
  return key;
}

PlanModel Game::plan_at(const Position& p) const {
  PlanModel plan = plan_;
  for (int s = 0; s < steps(); ++s) {
    if (p.done & bit(s)) plan.steps[static_cast<std::size_t>(s)].ready = false;
  }
  return plan;
}

PlanState Game::state_at(const Position& p) const {
  PlanState state;
  state.off = p.off;
  state.engine_hot = p.engine_hot;
  state.repaired_since_run = p.repaired_since_run;
  state.last_run_clean = p.last_run_clean;
  for (std::size_t f = 0; f < model_.findings.size(); ++f) {
    state.settled.push_back((p.settled & bit(static_cast<int>(f))) != 0);
  }
  return state;
}

double PolicyValue::of(const Position& p) {
  const std::string key = game_.key(p, true);
  if (const auto at = known_.find(key); at != known_.end()) return at->second;
  const Move move = game_.play(p, policy_(p));
  double value = move.cost;
  for (const Branch& b : move.branches) value += b.probability * (b.cost + (b.ended ? 0 : of(b.to)));
  return known_[key] = value;
}

}  // namespace crankwise::exact
