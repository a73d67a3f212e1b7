#include "tests/random_case.h"

#include <algorithm>
#include <cmath>
#include <sstream>

namespace crankwise {
namespace {

/// The bike of a random case, for answers that could be.
struct Bike {
  std::vector<bool> there, put_right, since_run;

  double is_so(const FindingModel& finding) const {
    double absent = 1 - finding.background;
    for (const Link& l : finding.links) absent *= there[static_cast<size_t>(l.fault)] ? 1 - l.strength : 1;
    return 1 - absent;
  }

  void repair(const Cure& c, bool works) {
    const size_t f = static_cast<size_t>(c.fault);
    put_right[f] = works && there[f];
    since_run[f] = since_run[f] || put_right[f];
    if (put_right[f]) there[f] = false;
  }

  void put_back(int fault) {
    const size_t f = static_cast<size_t>(fault);
    if (put_right[f]) there[f] = true, put_right[f] = since_run[f] = false;
  }

  RunResult run(const Model& m, Dice& dice) {
    double quiet = 1 - m.false_trouble;
    for (size_t f = 0; f < there.size(); ++f) quiet *= there[f] ? 1 - m.faults[f].shows : 1;
    const bool cured = std::find(since_run.begin(), since_run.end(), true) != since_run.end();
    std::fill(since_run.begin(), since_run.end(), false);
    if (dice.chance(quiet)) return RunResult::gone;
    return dice.chance(cured ? m.better_if_cured : m.better_if_not) ? RunResult::better : RunResult::same;
  }
};

Answer answer_of(const AnswerRates& r, bool so, Dice& dice) {
  if (dice.chance(so ? r.unsure_if_so : r.unsure_if_not)) return Answer::unsure;
  return dice.chance(so ? r.yes_if_so : r.yes_if_not) ? Answer::yes : Answer::no;
}

}  // namespace

Model random_model(Dice& dice, const CaseKind& kind) {
  Model m;
  const int n = dice.whole(kind.least_faults, kind.most_faults);
  for (int i = 0; i < n; ++i) {
    const double odds = std::exp(dice.between(std::log(0.002), std::log(kind.greatest_odds)));
    m.faults.push_back({odds, dice.chance(0.3) ? dice.between(0.3, 0.95) : 0.98});
  }
  const int findings = dice.whole(3, 10);
  for (int k = 0; k < findings; ++k) {
    FindingModel f;
    f.background = dice.chance(0.2) ? 0 : dice.between(0.001, 0.2);
    for (int i = 0; i < n; ++i) {
      if (dice.chance(0.35)) f.links.push_back({i, dice.chance(0.1) ? 1 : dice.between(0.05, 0.97)});
    }
    if (kind.perfect) {
      f.rates = {1, 0, 0, 0};
    } else {
      f.rates = {dice.between(0.6, 0.99), dice.between(0.01, 0.3), dice.between(0, 0.2), dice.between(0, 0.2)};
    }
    if (kind.groups && dice.chance(0.4)) f.error_group = dice.whole(0, 1);
    m.findings.push_back(std::move(f));
  }
  const int pairs = kind.exclusive && n > 2 ? dice.whole(0, 2) : 0;
  for (int p = 0; p < pairs; ++p) {
    const int a = dice.whole(0, n - 1), b = dice.whole(0, n - 1);
    const std::pair<int, int> pair(std::min(a, b), std::max(a, b));
    if (a != b && std::find(m.exclusive.begin(), m.exclusive.end(), pair) == m.exclusive.end()) {
      m.exclusive.push_back(dice.chance(0.5) ? pair : std::pair(pair.second, pair.first));
    }
  }
  m.nothing_wrong = dice.chance(0.3) ? 1 : dice.between(0, 0.01);
  m.false_trouble = kind.perfect ? 0 : dice.between(0, 0.05);
  m.better_if_cured = dice.between(0.3, 0.8);
  m.better_if_not = dice.between(0.01, 0.2);
  return m;
}

RandomCase random_case(unsigned seed, const CaseKind& kind) {
  Dice dice(seed);
  RandomCase c{random_model(dice, kind), {}};
  const Model& m = c.model;
  const int n = static_cast<int>(m.faults.size());
  Bike bike{std::vector<bool>(m.faults.size()), std::vector<bool>(m.faults.size()), std::vector<bool>(m.faults.size())};
  for (int k = dice.whole(1, std::min(n, 3)); k > 0; --k) bike.there[static_cast<size_t>(dice.whole(0, n - 1))] = true;
  for (auto [a, b] : m.exclusive) {
    if (bike.there[static_cast<size_t>(a)]) bike.there[static_cast<size_t>(b)] = false;
  }

  int uncertain = 0;
  const int happenings = dice.whole(1, kind.happenings);
  while (static_cast<int>(c.history.size()) < happenings) {
    const double what = dice.share();
    const int finding = dice.whole(0, static_cast<int>(m.findings.size()) - 1);
    const FindingModel& f = m.findings[static_cast<size_t>(finding)];
    if (what < 0.55) {
      const bool so = dice.chance(bike.is_so(f));
      const int any = dice.whole(0, kind.perfect ? 1 : 2);
      c.history.emplace_back(Answered{finding, kind.real ? answer_of(f.rates, so, dice) : static_cast<Answer>(any)});
    } else if (what < 0.65 && kind.measured && !kind.perfect) {
      c.history.emplace_back(Measured{finding, dice.between(0.01, 5), dice.between(0.01, 5)});
    } else if (what < 0.8 && kind.repairs) {
      Repaired r;
      for (int k = dice.whole(1, 2); k > 0; --k) {
        const int fault = dice.whole(0, n - 1);
        const bool sure = dice.chance(0.5) || uncertain == kind.uncertain_cures;
        const double chance = sure ? 1 : dice.between(0.2, 0.95);
        if (!r.cures.empty() && r.cures.front().fault == fault) continue;
        uncertain += !sure;
        r.cures.push_back({fault, chance});
        bike.repair(r.cures.back(), dice.chance(chance));
      }
      c.history.emplace_back(std::move(r));
    } else if (what < 0.85 && kind.repairs) {
      const int fault = dice.whole(0, n - 1);
      c.history.emplace_back(PutBack{{fault}});
      bike.put_back(fault);
    } else if (what < 0.95 && kind.runs) {
      const RunResult real = bike.run(m, dice);
      c.history.emplace_back(Ran{kind.real ? real : static_cast<RunResult>(dice.whole(0, 2))});
    }
  }
  return c;
}

std::string in_words(const RandomCase& c) {
  std::ostringstream out;
  out << c.model.faults.size() << " faults, " << c.model.findings.size() << " findings;";
  for (const Happening& h : c.history) {
    if (const auto* a = std::get_if<Answered>(&h)) {
      out << " answer " << a->finding << '=' << static_cast<int>(a->answer);
      const int group = c.model.findings[static_cast<size_t>(a->finding)].error_group;
      if (group >= 0) out << " (group " << group << ')';
    } else if (const auto* m = std::get_if<Measured>(&h)) {
      out << " measure " << m->finding << '=' << m->if_so << ':' << m->if_not;
    } else if (const auto* r = std::get_if<Repaired>(&h)) {
      out << " repair";
      for (const Cure& x : r->cures) out << ' ' << x.fault << '@' << x.chance;
    } else if (const auto* p = std::get_if<PutBack>(&h)) {
      out << " put back " << p->faults.front();
    } else {
      out << " run=" << static_cast<int>(std::get<Ran>(h).result);
    }
    out << ';';
  }
  return out.str();
}

void Difference::note(double a, double b, const std::string& name) {
  const double d = std::abs(a - b);
  if (d <= size) return;  // a NaN gets through and stays
  size = std::isnan(d) ? 1e300 : d;
  where = name + ' ' + std::to_string(a) + " instead of " + std::to_string(b);
}

Difference difference(const Belief& b, const oracle::Truth& truth) {
  Difference d;
  const auto all = [&](const std::vector<double>& have, const std::vector<double>& want, const std::string& name) {
    for (size_t i = 0; i < want.size(); ++i) d.note(have.at(i), want[i], name + " of " + std::to_string(i));
  };
  all(b.still_there(), truth.still_there(), "still there");
  all(b.there_at_start(), truth.there_at_start(), "there at start");
  all(b.alone_now(), truth.alone_now(), "alone now");
  d.note(b.nothing_left(), truth.nothing_left(), "nothing left");
  d.note(std::exp(b.log_evidence()) / truth.evidence(), 1, "evidence over the judge's");
  for (size_t f = 0; f < b.model->findings.size(); ++f) {
    const FindingModel& finding = b.model->findings[f];
    d.note(b.chance_so(finding), truth.chance_so(finding), "chance of finding " + std::to_string(f));
  }
  auto sets = truth.sets();
  for (const auto& s : b.sets(100000)) {
    d.note(s.probability, sets[{s.faults, s.remaining}], "a set");
    sets.erase({s.faults, s.remaining});
  }
  for (const auto& [key, weight] : sets) d.note(0, weight, "a set that is not listed");
  return d;
}

}  // namespace crankwise
