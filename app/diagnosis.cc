#include "app/diagnosis.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/readings/told.h"
#include "edge/problem.h"

namespace crankwise {

namespace {

class Builder {
 public:
  Builder(Diagnosis& d, const BikeModel& m, PlanModel& plan, const Bike& bike)
      : d_(d), m_(m), plan_(plan), bike_(bike), earlier_(bike.readings) {}

  void add(size_t index, const Entry& entry) {
    entry_ = index;
    d_.usual.emplace_back();
    std::visit([&](const auto& e) { on(e); }, entry);
  }

 private:
  void happen(Happening h) {
    d_.history.push_back(std::move(h));
    d_.entry_of.push_back(entry_);
  }
  void not_here(const std::string& what) { d_.left_out.push_back(what + " does not apply to this bike"); }

  void on(const SaidSo& e) {
    const int f = m_.finding(e.finding);
    if (f < 0) return not_here(e.finding);
    happen(Answered{f, e.answer});
    const auto [if_so, if_not] = m_.model.findings[static_cast<size_t>(f)].rates.chance(e.answer);
    told_[f] = {"", std::abs(std::log(if_so / if_not))};
    d_.answers[e.finding] = e.answer;
    d_.state.settled[static_cast<size_t>(f)] = 1;
  }

  void on(const Took& e) {
    const Reading* r = m_.knowledge->readings.find(e.reading);
    if (r == nullptr || !r->applies.holds(m_.traits)) return not_here(e.reading);
    ReadingVerdict v{r, {}, entry_, d_.history.size(), 0};
    try {
      v.appraised = appraise(*r, e, bike_, earlier_);
    } catch (const BadInput& bad) {
      for (const Problem& p : bad.problems())
        d_.left_out.push_back(fmt::format("{}: {} {}", r->name, p.field == r->id ? "" : p.field, p.wrong));
      return;
    }
    if (const auto doubt = doubt_about(*r, e, bike_)) v.appraised.notes.push_back(doubt->wrong + "; " + doubt->right);
    for (const FindingWeight& w : v.appraised.weights) {
      const int f = m_.finding(w.finding);
      if (f < 0) continue;
      if (w.finding == r->above && w.ratio() > 1 && d_.contexts.count(r->same_as_context) > 0) {
        v.appraised.notes.emplace_back("it counts already by what was so before");
        continue;
      }
      if (says_less(f, *r, w, v.appraised.handicapped)) {
        v.appraised.notes.push_back(fmt::format("\"{}\" was told more surely before, which stays", d_.finding(f).name));
        continue;
      }
      happen(Measured{f, w.if_so, w.if_not});
      told_[f] = {r->id, std::abs(std::log(w.ratio()))};
      d_.state.settled[static_cast<size_t>(f)] = 1;
    }
    v.happenings = d_.history.size() - v.first;
    earlier_.push_back({e, bike_.hours_known ? bike_.hours : -1, true});
    d_.verdicts.push_back(std::move(v));
  }

  /// The last answer on a finding counts; but one from another side does not put out one that said more. The same
  /// reading taken anew does, unless it can hardly say anything (a warm valve, a coarse meter).
  bool says_less(int finding, const Reading& r, const FindingWeight& w, bool handicapped) const {
    const auto before = told_.find(finding);
    if (before == told_.end() || d_.state.settled[static_cast<size_t>(finding)] == 0) return false;
    const bool anew = before->second.reading == r.id && !handicapped;
    return !anew && std::abs(std::log(w.ratio())) <= before->second.says;
  }

  PlanStep* planned(const std::string& step) {
    const int s = m_.step(step);
    if (s < 0) return not_here(step), nullptr;
    return &plan_.steps[static_cast<size_t>(s)];
  }

  void strip(PartMask off) {
    d_.usual.back().access += plan_.access.move(d_.state.off, off);
    d_.state.off = off;
  }

  void move(const PlanStep& s) {
    PartMask on = 0;
    const PartMask off = plan_.access.closure(s.off);
    for (int p : s.on) on |= Access::bit(p) & ~off;
    strip(plan_.access.reach(d_.state.off, off, on));
  }

  void take(const PlanStep& s) {
    move(s);
    d_.usual.back().own += {s.minutes, s.money};
  }

  /// Findings that bear on these faults may be looked at anew; what the rider said stays said.
  void unsettle(const std::vector<Cure>& cures) {
    for (size_t f = 0; f < m_.model.findings.size(); ++f) {
      const FindingKind kind = m_.findings[f]->kind;
      if (kind == FindingKind::complaint || kind == FindingKind::when) continue;
      for (const Link& l : m_.model.findings[f].links) {
        const bool touched = std::any_of(cures.begin(), cures.end(), [&](const Cure& c) { return c.fault == l.fault; });
        if (touched) d_.state.settled[f] = 0;
      }
    }
  }

  void on(const Did& e) {
    PlanStep* s = planned(e.step);
    if (s == nullptr) return;
    take(*s);
    d_.state.engine_hot = s->needs_running || s->needs_hot;
    if (s->cures.empty()) return;
    constexpr double kAgain = 0.3;  // the same repair done again works less often; common practice
    happen(Repaired{s->cures});
    unsettle(s->cures);
    for (Cure& c : s->cures) c.chance *= kAgain;
    d_.state.repaired_since_run = true;
    d_.state.last_run_clean = false;
  }

  void on(const WentBack& e) {
    PlanStep* s = planned(e.step);
    if (s == nullptr) return;
    std::vector<int> faults;
    for (const Cure& c : s->cures) faults.push_back(c.fault);
    happen(PutBack{std::move(faults)});
    unsettle(s->cures);
    move(*s);
    d_.state.repaired_since_run = false;
    d_.state.last_run_clean = false;
  }

  void on(const RanIt& e) {
    happen(Ran{e.result});
    const int s = e.step.empty() ? plan_.run_step : m_.step(e.step);
    if (s >= 0) take(plan_.steps[static_cast<size_t>(s)]);
    d_.state.engine_hot = true;
    d_.state.repaired_since_run = false;
    d_.state.last_run_clean = e.result == RunResult::gone;
  }

  void on(const Skipped& e) {
    if (const int f = m_.finding(e.step); f >= 0) {
      d_.state.settled[static_cast<size_t>(f)] = 1;  // a question that the rider cannot answer
      return;
    }
    if (PlanStep* s = planned(e.step)) s->ready = false;
  }

  void on(const PartsNow& e) {
    std::vector<int> parts;
    for (const auto& id : e.off) {
      if (const int p = m_.part(id); p >= 0) parts.push_back(p);
    }
    strip(plan_.access.closure(parts));
  }

  void on(const WasSo&) {}     // part of the fit
  void on(const NotMeant&) {}  // says nothing about the bike
  void on(const Noted&) {}
  void on(const Pictured&) {}

  Diagnosis& d_;
  const BikeModel& m_;
  PlanModel& plan_;
  const Bike& bike_;
  std::vector<PastReading> earlier_;
  struct Told {
    std::string reading;  // "" for an answer
    double says = 0;      // |ln| of what it moves the odds by
  };
  std::map<int, Told> told_;  // by finding, since the last repair that bears on it
  size_t entry_ = 0;
};

bool any_answer(const Diagnosis& d, bool Finding::*flag, Answer answer) {
  return std::any_of(d.answers.begin(), d.answers.end(),
                     [&](const auto& a) { return a.second == answer && d.finding(d.bike().finding(a.first)).*flag; });
}

}  // namespace

std::vector<Suspect> Diagnosis::suspects(std::size_t count) const {
  const std::vector<double> p = belief.still_there();
  std::vector<Suspect> all;
  for (size_t f = 0; f < p.size(); ++f) all.push_back({static_cast<int>(f), p[f]});
  std::stable_sort(all.begin(), all.end(),
                   [](const Suspect& a, const Suspect& b) { return a.probability > b.probability; });
  if (all.size() > count) all.resize(count);
  return all;
}

Standing standing_of(const Diagnosis& d) { return standing(d.bike().plan, d.belief, d.state, d.advice); }

Diagnosis judge(const Knowledge& k, const Bike& bike, const std::vector<Entry>& entries, const ShopSettings& shop,
                const Learned& learned) {
  Diagnosis d;
  for (const Entry& e : entries) {
    const auto* was = std::get_if<WasSo>(&e);
    if (was == nullptr) continue;
    if (was->so)
      d.contexts.insert(was->context);
    else
      d.contexts.erase(was->context);
  }
  d.bike_ = std::make_unique<BikeModel>(fit(k, bike, d.contexts, shop, learned));
  BikeModel& m = *d.bike_;
  d.state.settled.assign(m.findings.size(), 0);
  Builder builder(d, m, m.plan, bike);
  for (size_t i = 0; i < entries.size(); ++i) builder.add(i, entries[i]);

  // The rider's patience: every question asked makes the next one dearer.
  constexpr double kPatience = 3;  // questions after which one costs twice as much; common practice
  double asked = 0;
  for (const auto& [id, answer] : d.answers) asked += m.knowledge->findings.find(id)->kind <= FindingKind::when;
  for (size_t s = 0; s < m.plan.steps.size(); ++s) {
    if (m.question[s] >= 0) m.plan.steps[s].minutes *= 1 + asked / kPatience;
  }

  d.state.engine_runs = !any_answer(d, &Finding::no_running, Answer::yes) || d.state.last_run_clean;
  if (any_answer(d, &Finding::on_stand, Answer::yes)) {
    for (size_t s = 0; s < m.plan.steps.size(); ++s) {
      const bool stand = m.plan.steps[s].act == Act::run && m.steps[s]->engine == EngineState::running;
      if (stand) m.plan.run_step = static_cast<int>(s);
    }
  }
  if (any_answer(d, &Finding::intermittent, Answer::no)) {
    constexpr double kSteady = 0.95;  // a trouble that is there every time; common practice
    for (FaultModel& f : m.model.faults) f.shows = std::max(f.shows, kSteady);
  }
  d.belief = believe(m.model, d.history);
  return d;
}

Diagnosis diagnose(const Knowledge& k, const Bike& bike, const std::vector<Entry>& entries, const ShopSettings& shop,
                   const Learned& learned) {
  Diagnosis d = judge(k, bike, entries, shop, learned);
  d.advice = advise(d.bike().plan, d.belief, d.state);
  return d;
}

}  // namespace crankwise
