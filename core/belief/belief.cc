#include "core/belief/belief.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>

#include "core/belief/bound.h"

namespace crankwise {

std::pair<double, double> AnswerRates::chance(Answer answer) const {
  switch (answer) {
    case Answer::yes:
      return {(1 - unsure_if_so) * yes_if_so, (1 - unsure_if_not) * yes_if_not};
    case Answer::no:
      return {(1 - unsure_if_so) * (1 - yes_if_so), (1 - unsure_if_not) * (1 - yes_if_not)};
    case Answer::unsure:
      break;
  }
  return {unsure_if_so, unsure_if_not};
}

namespace {

/// One finding as answered or measured, placed at its first happening.
struct Slot {
  size_t place = 0;  // index in the history
  int finding = 0;
  int bearing = 0;  // repairs before it that bear on the finding
  int repairs = 0;  // all repairs before it
  double if_so = 0, if_not = 0;
  bool grouped = false;  // handled together with the first of its error group
};

bool bears_on(const FindingModel& finding, int fault) {
  return std::any_of(finding.links.begin(), finding.links.end(), [&](const Link& l) { return l.fault == fault; });
}

std::vector<Slot> slots_of(const Model& model, std::span<const Happening> history) {
  std::vector<Slot> slots;
  std::vector<int> bearing(model.findings.size(), 0);
  int repairs = 0;
  const auto note_repair = [&](int fault) {
    for (size_t f = 0; f < model.findings.size(); ++f) bearing[f] += bears_on(model.findings[f], fault);
  };
  const auto note = [&](size_t place, int finding, double if_so, double if_not) {
    const int now = bearing[static_cast<size_t>(finding)];
    for (auto& s : slots) {
      if (s.finding == finding && s.bearing == now) {
        s.if_so = if_so, s.if_not = if_not;
        return;
      }
    }
    slots.push_back({place, finding, now, repairs, if_so, if_not});
  };
  for (size_t t = 0; t < history.size(); ++t) {
    if (const auto* a = std::get_if<Answered>(&history[t])) {
      const auto [so, not_so] = model.findings[static_cast<size_t>(a->finding)].rates.chance(a->answer);
      note(t, a->finding, so, not_so);
    } else if (const auto* m = std::get_if<Measured>(&history[t])) {
      const double most = std::max(m->if_so, m->if_not);
      note(t, m->finding, m->if_so / most, m->if_not / most);
    } else if (const auto* r = std::get_if<Repaired>(&history[t])) {
      ++repairs;
      for (const Cure& c : r->cures) note_repair(c.fault);
    } else if (const auto* p = std::get_if<PutBack>(&history[t])) {
      ++repairs;
      for (int f : p->faults) note_repair(f);
    }
  }
  return slots;
}

/// Each fault split by which of its repairs work, every try with its own luck. Prior odds beside.
void split_faults(const Model& model, std::span<const Happening> history, std::vector<Atom>& atoms,
                  std::vector<double>& odds) {
  for (size_t f = 0; f < model.faults.size(); ++f) {
    const size_t first = atoms.size();
    atoms.push_back({static_cast<int>(f), {}});
    odds.push_back(model.faults[f].odds);
    int nth = 0;
    for (const auto& h : history) {
      if (const auto* r = std::get_if<Repaired>(&h)) {
        for (const Cure& c : r->cures) {
          if (c.fault != static_cast<int>(f)) continue;
          // Put in and out again and again: beyond a dozen cases a try goes as the one before went.
          constexpr size_t kMostCases = 12;
          if (atoms.size() - first >= kMostCases) {
            for (size_t a = first; a < atoms.size(); ++a) {
              auto& works = atoms[a].put_right_by;
              if (atoms[a].cured || works.empty() || works.back() != nth - 1) continue;
              works.push_back(nth);
              atoms[a].cured = true;
            }
            ++nth;
            continue;
          }
          for (size_t a = first, end = atoms.size(); a < end; ++a) {
            if (atoms[a].cured) continue;
            Atom right = atoms[a];
            right.put_right_by.push_back(nth);
            right.cured = true;
            atoms.push_back(std::move(right));
            odds.push_back(odds[a] * c.chance);
            odds[a] *= 1 - c.chance;
          }
          ++nth;
        }
      } else if (const auto* p = std::get_if<PutBack>(&h)) {
        if (std::find(p->faults.begin(), p->faults.end(), static_cast<int>(f)) == p->faults.end()) continue;
        for (size_t a = first; a < atoms.size(); ++a) {
          if (atoms[a].cured && atoms[a].put_right_by.back() == nth - 1) atoms[a].cured = false;
        }
      }
    }
  }
  size_t kept = 0;
  for (size_t a = 0; a < atoms.size(); ++a) {
    if (!(odds[a] > 0)) continue;
    if (kept != a) atoms[kept] = std::move(atoms[a]);
    odds[kept] = odds[a];
    atoms[kept++].cured = false;
  }
  atoms.resize(kept);
  odds.resize(kept);
}

std::vector<std::pair<int, int>> exclusive_atoms(const Model& model, const std::vector<Atom>& atoms) {
  std::vector<std::vector<int>> of(model.faults.size());
  for (size_t a = 0; a < atoms.size(); ++a) of[static_cast<size_t>(atoms[a].fault)].push_back(static_cast<int>(a));
  std::vector<std::pair<int, int>> pairs;
  for (const auto& same : of) {
    for (size_t i = 0; i < same.size(); ++i) {
      for (size_t j = i + 1; j < same.size(); ++j) pairs.emplace_back(same[i], same[j]);
    }
  }
  for (auto [f, g] : model.exclusive) {
    for (int a : of[static_cast<size_t>(f)]) {
      for (int b : of[static_cast<size_t>(g)]) pairs.emplace_back(a, b);
    }
  }
  return pairs;
}

/// P(answer | H) of one finding with its links over the atoms not yet cured.
Likelihood answer_likelihood(const FindingModel& finding, std::vector<float> absent, double if_so, double if_not) {
  return {if_so, (if_not - if_so) * (1 - finding.background), std::move(absent)};
}

/// How often a look misleads: the share of its answers that comes the same whatever is there.
double blind_share(const AnswerRates& rates) {
  double share = 0;
  for (Answer a : {Answer::no, Answer::yes, Answer::unsure}) {
    const auto [so, not_so] = rates.chance(a);
    share += std::min(so, not_so);
  }
  return share;
}

/// Looks that share their error: a bad look says the same whatever is there. What they share is the error of the best
/// of them; so every answer alone keeps the chance its rates give it.
Observation shared_error(const Model& model, const std::vector<const Slot*>& group,
                         const std::vector<std::vector<float>>& absent) {
  double error = 0.99;
  for (const Slot* s : group) {
    error = std::min(error, blind_share(model.findings[static_cast<size_t>(s->finding)].rates));
  }
  Observation joint{error, 1 - error, {}};
  for (size_t k = 0; k < group.size(); ++k) {
    const Slot& s = *group[k];
    const FindingModel& finding = model.findings[static_cast<size_t>(s.finding)];
    const double if_bad = error > 0 ? std::min(s.if_so, s.if_not) / blind_share(finding.rates) : 0.0;
    joint.offset *= if_bad;
    const auto good = [&](double p) { return std::max((p - error * if_bad) / (1 - error), 0.0); };
    joint.parts.push_back(answer_likelihood(finding, absent[k], good(s.if_so), good(s.if_not)));
  }
  return joint;
}

}  // namespace

std::vector<float> Belief::absent_column(const FindingModel& finding) const {
  std::vector<float> by_fault(model->faults.size(), 1.0f);
  for (const Link& l : finding.links) by_fault[static_cast<size_t>(l.fault)] = static_cast<float>(1 - l.strength);
  std::vector<float> column(atoms.size(), 1.0f);
  for (size_t a = 0; a < atoms.size(); ++a) {
    if (!atoms[a].cured) column[a] = by_fault[static_cast<size_t>(atoms[a].fault)];
  }
  return column;
}

double Belief::chance_so(const FindingModel& finding) const {
  return 1 - (1 - finding.background) * table.expect(absent_column(finding));
}

std::vector<double> Belief::chances_so() const {
  std::vector<std::vector<int>> there(model->faults.size());  // atoms of each fault not yet cured
  for (size_t a = 0; a < atoms.size(); ++a) {
    if (!atoms[a].cured) there[static_cast<size_t>(atoms[a].fault)].push_back(static_cast<int>(a));
  }
  std::vector<SetTable::Sparse> links;
  for (const FindingModel& f : model->findings) {
    SetTable::Sparse sparse;
    for (const Link& l : f.links) {
      for (int a : there[static_cast<size_t>(l.fault)]) sparse.emplace_back(a, l.strength);
    }
    std::sort(sparse.begin(), sparse.end());
    links.push_back(std::move(sparse));
  }
  std::vector<double> so = table.expect_absent(links);
  for (size_t f = 0; f < so.size(); ++f) so[f] = 1 - (1 - model->findings[f].background) * so[f];
  return so;
}

namespace {

/// A run's answer as a function of what is left and what has been put right since the last run.
Observation run_observation(const Belief& b, RunResult result) {
  const Model& m = *b.model;
  std::vector<float> quiet(b.atoms.size(), 1.0f), untouched(b.atoms.size(), 1.0f);
  for (size_t a = 0; a < b.atoms.size(); ++a) {
    const Atom& atom = b.atoms[a];
    if (!atom.cured) quiet[a] = static_cast<float>(1 - m.faults[static_cast<size_t>(atom.fault)].shows);
    if (atom.since_run) untouched[a] = 0.0f;
  }
  if (result == RunResult::gone) return {0, 1, {{0, 1 - m.false_trouble, quiet}}};
  const bool better = result == RunResult::better;
  const double touched = better ? m.better_if_cured : 1 - m.better_if_cured;
  const double nothing = better ? m.better_if_not : 1 - m.better_if_not;
  return {0, 1, {{1, -(1 - m.false_trouble), quiet}, {touched, nothing - touched, untouched}}};
}

}  // namespace

Belief believe(const Model& model, std::span<const Happening> history) {
  Belief b;
  b.model = &model;
  std::vector<double> odds;
  split_faults(model, history, b.atoms, odds);
  b.table = SetTable(odds, exclusive_atoms(model, b.atoms));

  std::vector<Observation> seen;
  const auto observe = [&](Observation o) {
    if (b.table.observe(o) > 0) {
      seen.push_back(std::move(o));
    } else {
      b.contradiction = true;
    }
  };
  // The complaint: something is wrong.
  observe({0, 1, {{1, -(1 - model.nothing_wrong), std::vector<float>(b.atoms.size(), 0.0f)}}});

  std::vector<Slot> slots = slots_of(model, history);
  size_t next = 0;
  std::vector<int> repairs_of(model.faults.size(), 0);
  for (size_t t = 0; t < history.size(); ++t) {
    for (; next < slots.size() && slots[next].place == t; ++next) {
      Slot& first = slots[next];
      if (first.grouped) continue;
      const int group = model.findings[static_cast<size_t>(first.finding)].error_group;
      std::vector<const Slot*> members;
      for (size_t k = next; k < slots.size(); ++k) {
        Slot& s = slots[k];
        const bool same = k == next || (group >= 0 && s.repairs == first.repairs && !s.grouped &&
                                        model.findings[static_cast<size_t>(s.finding)].error_group == group);
        if (same) s.grouped = true, members.push_back(&s);
      }
      std::vector<std::vector<float>> absent;
      for (const Slot* s : members) absent.push_back(b.absent_column(model.findings[static_cast<size_t>(s->finding)]));
      if (members.size() == 1) {
        observe({0,
                 1,
                 {answer_likelihood(model.findings[static_cast<size_t>(first.finding)], absent.front(), first.if_so,
                                    first.if_not)}});
      } else {
        observe(shared_error(model, members, absent));
      }
    }
    if (const auto* r = std::get_if<Repaired>(&history[t])) {
      for (const Cure& c : r->cures) {
        const int nth = repairs_of[static_cast<size_t>(c.fault)]++;
        for (Atom& a : b.atoms) {
          if (a.fault != c.fault) continue;
          const auto& works = a.put_right_by;
          if (std::find(works.begin(), works.end(), nth) != works.end()) a.cured = a.since_run = true;
        }
      }
    } else if (const auto* p = std::get_if<PutBack>(&history[t])) {
      for (int f : p->faults) {
        const int last = repairs_of[static_cast<size_t>(f)] - 1;
        for (Atom& a : b.atoms) {
          const auto& works = a.put_right_by;
          if (a.fault == f && std::find(works.begin(), works.end(), last) != works.end()) a.cured = a.since_run = false;
        }
      }
    } else if (const auto* run = std::get_if<Ran>(&history[t])) {
      observe(run_observation(b, run->result));
      for (Atom& a : b.atoms) a.since_run = false;
    }
  }
  b.left_out_ = left_out_bound(odds, seen, b.table.log_total());
  return b;
}

std::vector<double> Belief::still_there() const {
  std::vector<double> m(model->faults.size(), 0.0);
  const std::vector<double> by_atom = table.marginals();
  for (size_t a = 0; a < atoms.size(); ++a) {
    if (!atoms[a].cured) m[static_cast<size_t>(atoms[a].fault)] += by_atom[a];
  }
  return m;
}

std::vector<double> Belief::there_at_start() const {
  std::vector<double> m(model->faults.size(), 0.0);
  const std::vector<double> by_atom = table.marginals();
  for (size_t a = 0; a < atoms.size(); ++a) m[static_cast<size_t>(atoms[a].fault)] += by_atom[a];
  return m;
}

std::vector<double> Belief::alone_now() const {
  std::vector<float> only_cured(atoms.size(), 0.0f);
  bool any_cured = false;
  for (size_t a = 0; a < atoms.size(); ++a) {
    if (atoms[a].cured) only_cured[a] = 1.0f, any_cured = true;
  }
  const std::vector<double> alone = table.alone();
  const double nothing = nothing_left();
  std::vector<double> m(model->faults.size(), 0.0);
  for (size_t a = 0; a < atoms.size(); ++a) {
    if (atoms[a].cured) continue;
    double p = alone[a];
    if (any_cured) {
      std::vector<float> with = only_cured;
      with[a] = 1.0f;
      p = table.expect(with) - nothing;
    }
    m[static_cast<size_t>(atoms[a].fault)] += p;
  }
  return m;
}

double Belief::nothing_left() const {
  std::vector<float> cured(atoms.size(), 0.0f);
  for (size_t a = 0; a < atoms.size(); ++a) cured[a] = atoms[a].cured ? 1.0f : 0.0f;
  return table.expect(cured);
}

std::vector<Belief::Set> Belief::sets(std::size_t count) const {
  // Sets that differ only in which repair works are one to the mechanic.
  std::map<std::pair<std::vector<int>, std::vector<int>>, double> weight;
  const bool split = atoms.size() != model->faults.size();
  for (const auto& e : table.heaviest(split ? 8 * count : count)) {
    std::vector<int> all, left;
    std::vector<std::vector<int>> alike;  // for each member the atoms that look the same
    for (int m : e.member) {
      if (m < 0) continue;
      const Atom& a = atoms[static_cast<size_t>(m)];
      all.push_back(a.fault);
      if (!a.cured) left.push_back(a.fault);
      alike.emplace_back();
      for (size_t k = 0; split && k < atoms.size(); ++k) {
        if (atoms[k].fault == a.fault && atoms[k].cured == a.cured) alike.back().push_back(static_cast<int>(k));
      }
    }
    if (weight.count({all, left}) > 0) continue;
    if (!split) {
      weight[{all, left}] = e.weight;
      continue;
    }
    while (alike.size() < 3) alike.push_back({-1});
    double sum = 0;
    for (int i : alike[0]) {
      for (int j : alike[1]) {
        for (int k : alike[2]) sum += table.share({i, j, k});
      }
    }
    weight[{all, left}] = sum;
  }
  std::vector<Set> sets;
  for (auto& [key, w] : weight) sets.push_back({key.first, key.second, w});
  std::stable_sort(sets.begin(), sets.end(), [](const Set& a, const Set& b) { return a.probability > b.probability; });
  if (sets.size() > count) sets.resize(count);
  return sets;
}

}  // namespace crankwise
