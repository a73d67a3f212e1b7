// believe(): the belief from the history, happening by happening.
#include <algorithm>
#include <optional>
#include <utility>

#include "core/belief/belief.h"
#include "core/belief/bound.h"
#include "core/belief/looks.h"
#include "core/belief/tries.h"

namespace crankwise {
namespace {

/// A member of the sets: a fault, or behind them a place for one that is out and will go back in.
struct Member {
  int fault = -1;          // -1: free
  bool cured = false;      // out, at its own place or at another
  bool since_run = false;  // out since the last run
};

/// Factors per fault as factors per member.
template <class Members>
std::vector<float> over(const Members& members, const std::vector<float>& by_fault) {
  std::vector<float> column(members.size(), 1.0f);
  for (size_t a = 0; a < members.size(); ++a) {
    if (!members[a].cured) column[a] = by_fault[static_cast<size_t>(members[a].fault)];
  }
  return column;
}

template <class Members>
Observation over(const Members& members, Observation by_fault) {
  for (Likelihood& l : by_fault.parts) l.factor = over(members, l.factor);
  return by_fault;
}

template <class Members>
course::RunSeen run_over(const Model& m, const Members& members, RunResult result) {
  std::vector<float> loud;
  for (const FaultModel& f : m.faults) loud.push_back(static_cast<float>(1 - f.shows));
  course::RunSeen run{{1, -(1 - m.false_trouble), over(members, loud)}, 1, 1, {}};
  if (result == RunResult::gone) {
    run.quiet.constant = 0, run.quiet.coef = 1 - m.false_trouble;
    return run;
  }
  const bool better = result == RunResult::better;
  run.touched = better ? m.better_if_cured : 1 - m.better_if_cured;
  run.nothing = better ? m.better_if_not : 1 - m.better_if_not;
  if (std::any_of(members.begin(), members.end(), [](const auto& x) { return x.since_run; })) {
    for (const auto& x : members) run.untouched.push_back(x.since_run ? 0.0f : 1.0f);
  }
  return run;
}

/// Does the next happening to this fault put it back, so that it must be known whether this cure worked?
bool goes_back(std::span<const Happening> history, size_t place, size_t cure, int fault) {
  const auto cures = [&](const Repaired& r, size_t from) {
    return std::any_of(r.cures.begin() + static_cast<std::ptrdiff_t>(from), r.cures.end(),
                       [&](const Cure& c) { return c.fault == fault; });
  };
  if (cures(std::get<Repaired>(history[place]), cure + 1)) return false;
  for (size_t t = place + 1; t < history.size(); ++t) {
    if (const auto* r = std::get_if<Repaired>(&history[t]); r != nullptr && cures(*r, 0)) return false;
    const auto* p = std::get_if<PutBack>(&history[t]);
    if (p != nullptr && std::find(p->faults.begin(), p->faults.end(), fault) != p->faults.end()) return true;
  }
  return false;
}

/// Does the next run say whether anything was put right before it?
bool run_will_ask(std::span<const Happening> history, size_t place) {
  for (size_t t = place + 1; t < history.size(); ++t) {
    if (const auto* run = std::get_if<Ran>(&history[t])) return run->result != RunResult::gone;
  }
  return false;
}

}  // namespace

class Rebuild {
 public:
  Rebuild(const Model& model, std::span<const Happening> history)
      : model_(model), history_(history), tries_(model, history) {
    b_.model = &model;
    std::vector<double> odds;
    for (size_t f = 0; f < model.faults.size(); ++f) {
      odds.push_back(model.faults[f].odds);
      members_.push_back({static_cast<int>(f)});
    }
    b_.table = SetTable(odds, model.exclusive);
    // The complaint: something is wrong.
    see({0, 1, {{1, -(1 - model.nothing_wrong), std::vector<float>(model.faults.size(), 0.0f)}}});
  }

  Belief belief() {
    const std::vector<Look> looks = looks_of(model_, history_);
    auto look = looks.begin();
    for (size_t t = 0; t < history_.size(); ++t) {
      for (; look != looks.end() && look->place == t; ++look) see(look->seen);
      if (const auto* r = std::get_if<Repaired>(&history_[t])) repair(*r, t);
      if (const auto* p = std::get_if<PutBack>(&history_[t])) put_back(*p);
      if (const auto* r = std::get_if<Ran>(&history_[t])) run(r->result);
    }
    b_.left_out_ = left_out_bound(tries_.odds, seen_, b_.table.log_total());
    return std::move(b_);
  }

 private:
  void see(const Observation& by_fault) {
    Observation o = over(members_, by_fault);
    if (!(b_.table.observe(o) > 0)) {
      b_.contradiction = true;
      return;
    }
    if (gone_ && !(gone_->observe(o) > 0)) gone_.reset();
    seen_.push_back(over(tries_.members, by_fault));
    note(std::move(o));
  }

  void repair(const Repaired& r, size_t place) {
    if (!std::exchange(b_.repaired_, true)) b_.before_repairs_ = b_.table;
    const bool asked = run_will_ask(history_, place);
    std::vector<size_t> out;  // cures that may fail and will be taken back
    std::vector<double> chance(members_.size(), 0.0);
    const auto cure = [&] {
      take_away(chance, asked);
      chance.assign(members_.size(), 0.0);
    };
    for (size_t k = 0; k < r.cures.size(); ++k) {
      const Cure& c = r.cures[k];
      tries_.repaired(c);
      double& p = chance[static_cast<size_t>(c.fault)];
      if (p > 0) cure();  // the same fault twice
      if (!goes_back(history_, place, k, c.fault)) {
        p = c.chance;
      } else if (c.chance >= 1) {
        Member& m = members_[static_cast<size_t>(c.fault)];
        m.cured = m.since_run = true;
      } else if (c.chance > 0) {
        out.push_back(k);
      }
    }
    cure();
    put_out(r, out);
  }

  /// Lets the members go that the repair puts right, and remembers of which sets.
  void take_away(const std::vector<double>& chance, bool asked) {
    if (std::none_of(chance.begin(), chance.end(), [](double c) { return c > 0; })) return;
    b_.table.cure(chance, asked ? &gone_ : nullptr);
    note(course::Cured{chance});
  }

  void put_out(const Repaired& r, const std::vector<size_t>& out) {
    size_t free = 0;
    for (const Member& m : members_) free += m.fault < 0;
    if (out.size() > free) resize(members_.size() + out.size() - free);
    size_t place = model_.faults.size();
    for (size_t k : out) {
      while (members_[place].fault >= 0) ++place;
      members_[place] = {r.cures[k].fault, true, true};
      move(r.cures[k].fault, static_cast<int>(place), r.cures[k].chance);
    }
  }

  void put_back(const PutBack& p) {
    const size_t n = model_.faults.size();
    for (int f : p.faults) {
      tries_.put_back(f);
      Member& m = members_[static_cast<size_t>(f)];
      m.cured = m.since_run = false;
      for (size_t place = n; place < members_.size(); ++place) {
        if (members_[place].fault != f) continue;
        move(static_cast<int>(place), f, 1);
        members_[place] = {-1, true, false};
      }
    }
    size_t used = members_.size();
    while (used > n && members_[used - 1].fault < 0) --used;
    resize(used);
  }

  void run(RunResult result) {
    const course::RunSeen run = run_over(model_, members_, result);
    if (observe(run)) {
      const course::RunSeen by_tries = run_over(model_, tries_.members, result);
      seen_.push_back({0, 1, {by_tries.quiet}});
      if (result != RunResult::gone) {
        std::vector<float> untouched = by_tries.untouched;
        untouched.resize(tries_.members.size(), 1.0f);
        seen_.back().parts.push_back({run.touched, run.nothing - run.touched, std::move(untouched)});
      }
      note(run);
    } else {
      b_.contradiction = true;
      note(course::RunSeen{{1, 0, std::vector<float>(members_.size(), 1.0f)}, 1, 1, {}});
    }
    for (Member& m : members_) m.since_run = false;
    tries_.ran();
    gone_.reset();
  }

  bool observe(const course::RunSeen& run) {
    const Observation none_left = run.if_none_left();
    return (gone_ ? b_.table.observe(none_left, run.if_gone(), *gone_) : b_.table.observe(none_left)) > 0;
  }

  void note(course::Event e) {
    if (b_.repaired_) b_.course_.push_back(std::move(e));
  }

  void move(int from, int to, double share) {
    b_.table.move(from, to, share);
    if (gone_) gone_->move(from, to, share);
    note(course::Moved{from, to, share});
  }

  void resize(size_t members) {
    const int before = b_.table.faults(), after = static_cast<int>(members);
    if (before == after) return;
    members_.resize(members, {-1, true, false});
    b_.table.resize(after);
    if (gone_) gone_->resize(after);
    note(course::Resized{before, after});
  }

  const Model& model_;
  std::span<const Happening> history_;
  Belief b_;
  std::vector<Member> members_;
  std::optional<SetTable> gone_;  // the part of the table with a member gone since the last run; none: without weight
  Tries tries_;
  std::vector<Observation> seen_;  // over the tries
};

Belief believe(const Model& model, std::span<const Happening> history) { return Rebuild(model, history).belief(); }

}  // namespace crankwise
