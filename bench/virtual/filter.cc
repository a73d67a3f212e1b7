#include "bench/virtual/filter.h"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

#include "bench/virtual/answers.h"

namespace crankwise::bench {
namespace {

constexpr size_t kSets = 20000;  // of the half million; what is left out weighs little and errs alike for all

bool has(const std::array<int, 3>& set, int f) { return std::find(set.begin(), set.end(), f) != set.end(); }

void put(std::array<int, 3>& set, int f) {
  *std::find(set.begin(), set.end(), -1) = f;
  std::sort(set.begin(), set.end(), [](int a, int b) { return b < 0 ? a >= 0 : a >= 0 && a < b; });
}

void drop(std::array<int, 3>& set, int f) {
  const auto end = std::remove(set.begin(), set.end(), f);
  std::fill(end, set.end(), -1);
}

}  // namespace

Filter::Filter(const Book& book) : book_(&book), asked_(book.model().findings.size(), 0) {
  for (const FindingModel& f : book.model().findings) {
    absent_.emplace_back(book.model().faults.size(), 1.0f);
    for (const Link& l : f.links) absent_.back()[static_cast<size_t>(l.fault)] = static_cast<float>(1 - l.strength);
  }
}

double Filter::chance_so(int finding, const World& w) const {
  double absent = 1 - book_->model().findings[static_cast<size_t>(finding)].background;
  for (int f : w.left) {
    if (f >= 0) absent *= static_cast<double>(absent_[static_cast<size_t>(finding)][static_cast<size_t>(f)]);
  }
  return 1 - absent;
}

double Filter::nothing_left() const {
  double sum = 0;
  for (const World& w : worlds_) sum += w.left[0] < 0 ? w.weight : 0;
  return sum;
}

std::vector<double> Filter::still_there() const {
  std::vector<double> there(book_->model().faults.size(), 0.0);
  for (const World& w : worlds_) {
    for (int f : w.left) {
      if (f >= 0) there[static_cast<size_t>(f)] += w.weight;
    }
  }
  return there;
}

template <class Factor>
void Filter::weigh(Factor factor) {
  std::vector<double> weight;
  double sum = 0;
  for (const World& w : worlds_) sum += weight.emplace_back(w.weight * factor(w));
  if (!(sum > 0)) return;
  for (size_t h = 0; h < worlds_.size(); ++h) worlds_[h].weight = weight[h] / sum;
}

void Filter::update() {
  const auto& history = book_->history();
  if (worlds_.empty()) {  // the complaint is all there is
    const Belief belief = book_->believe();
    for (const SetTable::Entry& e : belief.table.heaviest(kSets)) {
      World w;
      w.weight = e.weight;
      for (int m : e.member) {
        if (m >= 0) put(w.left, m);
      }
      worlds_.push_back(w);
    }
    for (const Happening& h : history) asked_[static_cast<size_t>(std::get<Answered>(h).finding)] = 1;
    weigh([](const World&) { return 1.0; });
    taken_ = history.size();
  }
  while (taken_ < history.size()) {
    const Happening& h = history[taken_];
    const size_t from = taken_++;
    if (std::holds_alternative<Answered>(h)) {
      while (taken_ < history.size() && std::holds_alternative<Answered>(history[taken_])) ++taken_;
      answered(std::span(history).subspan(from, taken_ - from));
    } else if (const auto* r = std::get_if<Repaired>(&h)) {
      repaired(r->cures);
    } else if (const auto* p = std::get_if<PutBack>(&h)) {
      put_back(p->faults);
    } else if (const auto* run = std::get_if<Ran>(&h)) {
      ran(run->result);
    }
  }
}

void Filter::answered(std::span<const Happening> answers) {
  std::map<int, std::vector<Answered>> groups;  // those that share their error; one for each other one
  int alone = -1;
  for (const Happening& h : answers) {
    const Answered& a = std::get<Answered>(h);
    if (std::exchange(asked_[static_cast<size_t>(a.finding)], 1) != 0) continue;
    const int group = book_->model().findings[static_cast<size_t>(a.finding)].error_group;
    groups[group >= 0 ? group : --alone].push_back(a);
  }
  for (const auto& [key, members] : groups) {
    double error = members.size() > 1 ? 0.99 : 0;
    for (const Answered& a : members)
      error = std::min(error, blind_share(book_->model().findings[static_cast<size_t>(a.finding)].rates));
    double bad = error;
    for (const Answered& a : members) {
      const AnswerRates& rates = book_->model().findings[static_cast<size_t>(a.finding)].rates;
      const auto [if_so, if_not] = rates.chance(a.answer);
      bad *= error > 0 ? std::min(if_so, if_not) / blind_share(rates) : 0;
    }
    weigh([&](const World& w) {
      double good = 1 - error;
      for (const Answered& a : members) {
        const AnswerRates& rates = book_->model().findings[static_cast<size_t>(a.finding)].rates;
        const auto [if_so, if_not] = rates.chance(a.answer);
        const double so = chance_so(a.finding, w);
        const double blind = error > 0 ? error * std::min(if_so, if_not) / blind_share(rates) : 0;
        good *= std::max((so * if_so + (1 - so) * if_not - blind) / (1 - error), 0.0);
      }
      return bad + good;
    });
  }
}

void Filter::touched(int fault) {
  for (size_t f = 0; f < absent_.size(); ++f) {
    if (absent_[f][static_cast<size_t>(fault)] < 1) asked_[f] = 0;
  }
}

void Filter::repaired(const std::vector<Cure>& cures) {
  if (ran_) {  // what was tried before the run is settled
    for (World& w : worlds_) w.cured = {-1, -1, -1};
    merge();
  }
  ran_ = false;
  for (const Cure& c : cures) {
    touched(c.fault);
    for (size_t h = 0, end = worlds_.size(); h < end; ++h) {
      drop(worlds_[h].cured, c.fault);
      if (!has(worlds_[h].left, c.fault)) continue;
      World works = worlds_[h];
      drop(works.left, c.fault);
      put(works.cured, c.fault);
      works.since_run = true;
      works.weight *= c.chance;
      worlds_[h].weight *= 1 - c.chance;
      worlds_.push_back(works);
    }
  }
}

void Filter::put_back(const std::vector<int>& faults) {
  for (int f : faults) touched(f);
  for (World& w : worlds_) {
    for (int f : faults) {
      if (!has(w.cured, f)) continue;
      drop(w.cured, f);
      put(w.left, f);
    }
  }
}

void Filter::ran(RunResult result) {
  const Model& m = book_->model();
  weigh([&](const World& w) {
    double quiet = 1 - m.false_trouble;
    for (int f : w.left) {
      if (f >= 0) quiet *= 1 - m.faults[static_cast<size_t>(f)].shows;
    }
    if (result == RunResult::gone) return quiet;
    const double better = w.since_run ? m.better_if_cured : m.better_if_not;
    return (1 - quiet) * (result == RunResult::better ? better : 1 - better);
  });
  for (World& w : worlds_) w.since_run = false;
  ran_ = true;
}

void Filter::merge() {
  std::sort(worlds_.begin(), worlds_.end(), [](const World& a, const World& b) {
    return std::tie(a.left, a.cured, a.since_run) < std::tie(b.left, b.cured, b.since_run);
  });
  size_t kept = 0;
  for (size_t h = 1; h < worlds_.size(); ++h) {
    World& last = worlds_[kept];
    const World& w = worlds_[h];
    if (w.left == last.left && w.cured == last.cured && w.since_run == last.since_run) {
      last.weight += w.weight;
    } else {
      worlds_[++kept] = w;
    }
  }
  worlds_.resize(kept + 1);
}

}  // namespace crankwise::bench
