#include "bench/virtual/book.h"

#include <algorithm>

namespace crankwise::bench {
namespace {

// The figures of app/diagnosis.cc.
constexpr double kAgain = 0.3;
constexpr double kPatience = 3;
constexpr double kSteady = 0.95;

}  // namespace

Book::Book(const BikeModel& bike) : bike_(&bike), model_(bike.model), plan_(bike.plan) {
  state_.settled.assign(bike.findings.size(), 0);
}

void Book::add(const Entry& entry) {
  std::visit([&](const auto& e) { on(e); }, entry);
  derive();
}

bool Book::any(bool Finding::*flag, Answer answer) const {
  return std::any_of(answers_.begin(), answers_.end(), [&](const auto& a) {
    return a.second == answer && bike_->findings[static_cast<size_t>(a.first)]->*flag;
  });
}

void Book::on(const SaidSo& e) {
  const int f = bike_->finding(e.finding);
  const bool first = answers_.insert_or_assign(f, e.answer).second;
  history_.emplace_back(Answered{f, e.answer});
  state_.settled[static_cast<size_t>(f)] = 1;
  if (first && bike_->findings[static_cast<size_t>(f)]->kind <= FindingKind::when) {
    for (size_t s = 0; s < plan_.steps.size(); ++s) {
      if (bike_->question[s] >= 0) plan_.steps[s].minutes += bike_->plan.steps[s].minutes / kPatience;
    }
  }
}

double Book::steady(double shows) { return std::max(shows, kSteady); }

/// What follows from everything written so far.
void Book::derive() {
  state_.engine_runs = !any(&Finding::no_running, Answer::yes) || state_.last_run_clean;
  if (any(&Finding::on_stand, Answer::yes)) {
    for (size_t s = 0; s < plan_.steps.size(); ++s) {
      const bool stand = plan_.steps[s].act == Act::run && bike_->steps[s]->engine == EngineState::running;
      if (stand) plan_.run_step = static_cast<int>(s);
    }
  }
  const bool is_steady = any(&Finding::intermittent, Answer::no);
  for (size_t i = 0; i < model_.faults.size(); ++i) {
    const double shows = bike_->model.faults[i].shows;
    model_.faults[i].shows = is_steady ? steady(shows) : shows;
  }
}

void Book::unsettle(const std::vector<Cure>& cures) {
  for (size_t f = 0; f < model_.findings.size(); ++f) {
    if (bike_->findings[f]->kind <= FindingKind::when) continue;
    for (const Link& l : model_.findings[f].links) {
      if (std::any_of(cures.begin(), cures.end(), [&](const Cure& c) { return c.fault == l.fault; }))
        state_.settled[f] = 0;
    }
  }
}

void Book::on(const Did& e) {
  PlanStep& s = plan_.steps[static_cast<size_t>(bike_->step(e.step))];
  state_.off = after(state_.off, s);
  state_.engine_hot = s.needs_running || s.needs_hot;
  if (s.cures.empty()) return;
  history_.emplace_back(Repaired{s.cures});
  unsettle(s.cures);
  for (Cure& c : s.cures) c.chance *= kAgain;
  state_.repaired_since_run = true;
  state_.last_run_clean = false;
}

void Book::on(const WentBack& e) {
  const PlanStep& s = step(bike_->step(e.step));
  std::vector<int> faults;
  for (const Cure& c : s.cures) faults.push_back(c.fault);
  history_.emplace_back(PutBack{std::move(faults)});
  unsettle(s.cures);
  state_.off = after(state_.off, s);
  state_.repaired_since_run = false;
  state_.last_run_clean = false;
}

void Book::on(const RanIt& e) {
  history_.emplace_back(Ran{e.result});
  state_.off = after(state_.off, step(e.step.empty() ? plan_.run_step : bike_->step(e.step)));
  state_.engine_hot = true;
  state_.repaired_since_run = false;
  state_.last_run_clean = e.result == RunResult::gone;
}

PartMask Book::after(PartMask from, const PlanStep& s) const {
  const PartMask off = plan_.access.closure(s.off);
  PartMask on = 0;
  for (int p : s.on) on |= Access::bit(p) & ~off;
  return plan_.access.reach(from, off, on);
}

Effort Book::reach(PartMask from, const PlanStep& s) const {
  Effort e = plan_.access.move(from, after(from, s));
  if (s.needs_hot && !state_.engine_hot) e.minutes += plan_.warm_up_min;
  return e;
}

Effort Book::close_and_run(PartMask from) const {
  const PlanStep& run = step(plan_.run_step);
  return reach(from, run) + Effort{run.minutes, run.money};
}

double Book::give_up_cost() const {
  const PlanStep& last = step(plan_.last_resort);
  return joined(reach(state_.off, last) + Effort{last.minutes, last.money});
}

}  // namespace crankwise::bench
