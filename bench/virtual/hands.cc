#include "bench/virtual/hands.h"

#include <algorithm>
#include <bit>
#include <limits>
#include <set>

namespace crankwise::bench {

Hands::Hands(const BikeModel& real, const Job& job)
    : real_(&real),
      job_(&job),
      book_(real),
      gauges_(real),
      answers_(real.model, job.dice, job.round, &gauges_),
      there_(job.faults),
      tries_(real.faults.size(), 0) {}

void Hands::write(std::vector<Entry>& out, Entry e) {
  book_.add(e);
  out.push_back(std::move(e));
}

std::vector<Entry> Hands::take_in() {
  std::vector<Entry> out;
  for (int f : job_->told) {
    answers_.told(f);
    write(out, SaidSo{real_->findings[static_cast<size_t>(f)]->id, Answer::yes});
  }
  return out;
}

bool Hands::idle(int s) const {
  const PlanStep& step = book_.step(s);
  const PlanState& now = book_.state();
  if (step.act == Act::run) return !now.repaired_since_run && !now.last_run_clean;
  return step.act == Act::ask &&
         std::all_of(step.findings.begin(), step.findings.end(), [&](int f) { return answers_.given(f); });
}

void Hands::go(const PlanStep& s) {
  const PartMask before = book_.state().off;
  charge(book_.reach(before, s));
  bill_.parts_off += std::popcount(book_.after(before, s) & ~before);
}

void Hands::pay(const PlanStep& s, bool in_vain) {
  charge({0, s.money});
  if (!in_vain || s.money <= 0) return;
  ++bill_.bought_in_vain;
  bill_.money_in_vain += s.money;
}

std::vector<Entry> Hands::perform(int s) {
  std::vector<Entry> out;
  ++bill_.steps;
  const PlanStep step = book_.step(s);
  if (step.act == Act::last_resort) {
    while (!trials_.empty()) put_back(trials_.back().step, out);
    bill_.given_up = true;
  }
  go(step);
  charge({step.minutes, 0});
  switch (step.act) {
    case Act::ask:
      charge({0, step.money});
      if (real_->question[static_cast<size_t>(s)] < 0) write(out, Did{real_->step_id(s)});
      ask(step, out);
      break;
    case Act::repair:
    case Act::swap:
      repair(s, out);
      break;
    case Act::run:
      charge({0, step.money});
      run(s, out);
      break;
    case Act::last_resort:
      charge({0, step.money});
      break;
  }
  return out;
}

void Hands::ask(const PlanStep& step, std::vector<Entry>& out) {
  for (int f : step.findings) write(out, SaidSo{real_->findings[static_cast<size_t>(f)]->id, answers_.give(f, there_)});
}

std::vector<Entry> Hands::as_read(std::vector<Entry> entries) const {
  std::vector<Entry> out;
  std::set<int> read;
  for (Entry& e : entries) {
    const auto* said = std::get_if<SaidSo>(&e);
    const int f = said == nullptr ? -1 : real_->finding(said->finding);
    const auto r = f < 0 ? std::nullopt : gauges_.behind(f);
    if (!r) {
      out.push_back(std::move(e));
    } else if (read.insert(*r).second) {
      const Reading& reading = gauges_.reading(*r);
      out.push_back(Took{reading.id, *answers_.number(f, there_), reading.unit});
    }
  }
  return out;
}

void Hands::repair(int s, std::vector<Entry>& out) {
  write(out, Did{real_->step_id(s)});
  const std::vector<Cure> cures = std::get<Repaired>(book_.history().back()).cures;
  Trial trial{s, true, {}};
  std::vector<int> touched;
  for (const Cure& c : cures) {
    touched.push_back(c.fault);
    const int nth = tries_[static_cast<size_t>(c.fault)]++;
    const auto at = std::find(there_.begin(), there_.end(), c.fault);
    if (at == there_.end()) continue;
    trial.in_vain = false;
    if (job_->dice.uniform(Throw::cure, c.fault, nth) >= c.chance) continue;
    there_.erase(at);
    trial.cured.push_back(c.fault);
    fresh_cures_.push_back(c.fault);
  }
  answers_.repaired(touched);
  if (book_.step(s).act == Act::swap) {
    trials_.push_back(std::move(trial));
  } else {
    pay(book_.step(s), trial.in_vain);
  }
}

void Hands::run(int s, std::vector<Entry>& out) {
  const Model& m = book_.model();
  double quiet = 1 - m.false_trouble;
  for (int f : there_) {
    const double shows = real_->model.faults[static_cast<size_t>(f)].shows;
    quiet *= 1 - (job_->steady ? Book::steady(shows) : shows);
  }
  RunResult result = RunResult::gone;
  if (job_->dice.uniform(Throw::run_shows, runs_) >= quiet) {
    const double better = fresh_cures_.empty() ? m.better_if_not : m.better_if_cured;
    result = job_->dice.uniform(Throw::run_better, runs_) < better ? RunResult::better : RunResult::same;
  }
  ++runs_;
  fresh_cures_.clear();
  write(out, RanIt{result, real_->step_id(s)});
  if (result == RunResult::same) {
    while (!trials_.empty()) put_back(trials_.back().step, out);
    return;
  }
  for (const Trial& t : trials_) pay(book_.step(t.step), t.in_vain);
  trials_.clear();
}

void Hands::put_back(int s, std::vector<Entry>& out) {
  const PlanStep step = book_.step(s);
  go(step);
  charge({step.minutes, 0});
  std::vector<int> touched;
  for (const Cure& c : step.cures) touched.push_back(c.fault);
  answers_.repaired(touched);
  for (int f : trials_.back().cured) there_.push_back(f);
  std::sort(there_.begin(), there_.end());
  trials_.pop_back();
  write(out, WentBack{real_->step_id(s)});
}

void Hands::close() {
  charge(book_.plan().access.move(book_.state().off, 0));
  bill_.faulty = !there_.empty();
}

void Hands::give_up_stalled() {
  perform(book_.plan().last_resort);
  bill_.stalled = true;
}

Effort cost_if_known(const BikeModel& real, const Job& job) {
  Book book(real);
  const auto joined = [&](const Effort& e) { return book.joined(e); };
  const PlanStep& last = book.step(real.plan.last_resort);
  const Effort give_up = book.reach(0, last) + Effort{last.minutes, last.money};
  Effort spent;
  PartMask off = 0;
  std::vector<int> left = job.faults;
  while (!left.empty()) {
    double least = std::numeric_limits<double>::infinity();
    const PlanStep* best = nullptr;
    for (const PlanStep& s : real.plan.steps) {
      if (s.act != Act::repair && s.act != Act::swap) continue;
      double cured = 0;
      for (const Cure& c : s.cures)
        cured += c.chance * static_cast<double>(std::count(left.begin(), left.end(), c.fault));
      if (cured <= 0) continue;
      const double cost = joined(book.reach(off, s) + Effort{s.minutes, s.money}) / cured;
      if (cost < least) least = cost, best = &s;
    }
    if (best == nullptr) return give_up;
    spent += book.reach(off, *best) + Effort{best->minutes, best->money};
    off = book.after(off, *best);
    std::erase_if(left, [&](int f) {
      return std::any_of(best->cures.begin(), best->cures.end(), [&](const Cure& c) { return c.fault == f; });
    });
  }
  spent += book.close_and_run(off);
  return joined(spent) < joined(give_up) ? spent : give_up;
}

}  // namespace crankwise::bench
