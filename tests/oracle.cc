#include "tests/oracle.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <stdexcept>

namespace crankwise::oracle {
namespace {

bool has(unsigned set, int member) { return (set >> member & 1u) != 0; }

std::vector<int> members(unsigned set) {
  std::vector<int> list;
  for (int i = 0; i < 32; ++i) {
    if (has(set, i)) list.push_back(i);
  }
  return list;
}

double is_so(const FindingModel& finding, unsigned there) {
  double absent = 1 - finding.background;
  for (const Link& l : finding.links) {
    if (has(there, l.fault)) absent *= 1 - l.strength;
  }
  return 1 - absent;
}

double answers(const AnswerRates& r, Answer answer, bool so) {
  const double unsure = so ? r.unsure_if_so : r.unsure_if_not;
  const double yes = so ? r.yes_if_so : r.yes_if_not;
  if (answer == Answer::unsure) return unsure;
  return (1 - unsure) * (answer == Answer::yes ? yes : 1 - yes);
}

int finding_of(const Happening& h) {
  if (const auto* a = std::get_if<Answered>(&h)) return a->finding;
  if (const auto* m = std::get_if<Measured>(&h)) return m->finding;
  return -1;
}

/// P(what was answered or measured | so), and if not; a measured pair up to a common factor.
double said(const Model& model, const Happening& h, bool so) {
  if (const auto* m = std::get_if<Measured>(&h)) return (so ? m->if_so : m->if_not) / std::max(m->if_so, m->if_not);
  const auto& a = std::get<Answered>(h);
  return answers(model.findings[static_cast<size_t>(a.finding)].rates, a.answer, so);
}

std::vector<int> touched(const Happening& h) {
  if (const auto* p = std::get_if<PutBack>(&h)) return p->faults;
  std::vector<int> list;
  if (const auto* r = std::get_if<Repaired>(&h)) {
    for (const Cure& c : r->cures) list.push_back(c.fault);
  }
  return list;
}

bool is_repair(const Happening& h) { return std::holds_alternative<Repaired>(h) || std::holds_alternative<PutBack>(h); }

/// Is there a repair between that bears on the finding?
bool repaired_between(const Model& model, std::span<const Happening> history, int finding, size_t from, size_t to) {
  for (size_t t = from; t < to; ++t) {
    for (int fault : touched(history[t])) {
      for (const Link& l : model.findings[static_cast<size_t>(finding)].links) {
        if (l.fault == fault) return true;
      }
    }
  }
  return false;
}

/// Was the same finding answered before, with no repair between that bears on it? Then this is no new look.
bool repeats(const Model& model, std::span<const Happening> history, size_t place) {
  const int finding = finding_of(history[place]);
  for (size_t t = 0; t < place; ++t) {
    if (finding_of(history[t]) == finding && !repaired_between(model, history, finding, t, place)) return true;
  }
  return false;
}

/// The last answer of the look made at `place`.
const Happening& last_answer(const Model& model, std::span<const Happening> history, size_t place) {
  const int finding = finding_of(history[place]);
  size_t last = place;
  for (size_t t = place + 1; t < history.size(); ++t) {
    if (finding_of(history[t]) == finding && !repaired_between(model, history, finding, place, t)) last = t;
  }
  return history[last];
}

/// How often a look misleads: the share of its answers that would come the same whatever is there.
double blind_share(const AnswerRates& r) {
  double share = 0;
  for (Answer a : {Answer::no, Answer::yes, Answer::unsure})
    share += std::min(answers(r, a, true), answers(r, a, false));
  return share;
}

}  // namespace

int Network::add(Node node) {
  size_t rows = 1;
  for (int p : node.parents) rows *= static_cast<size_t>(nodes_.at(static_cast<size_t>(p)).states);
  if (node.table.size() != rows * static_cast<size_t>(node.states)) throw std::invalid_argument("size of the table");
  nodes_.push_back(std::move(node));
  return static_cast<int>(nodes_.size()) - 1;
}

int Network::add_yes_no(std::vector<int> parents, const std::vector<double>& yes) {
  Node node{2, std::move(parents), {}};
  for (double p : yes) node.table.push_back(1 - p), node.table.push_back(p);
  return add(std::move(node));
}

double Network::probability(const Evidence& evidence) const {
  std::vector<int> state(nodes_.size(), 0);
  double sum = 0;
  while (true) {
    bool fits = true;
    for (auto [variable, value] : evidence) fits = fits && state[static_cast<size_t>(variable)] == value;
    if (fits) {
      double product = 1;
      for (size_t v = 0; v < nodes_.size(); ++v) {
        size_t row = 0;
        for (int p : nodes_[v].parents) {
          const size_t parent = static_cast<size_t>(p);
          row = row * static_cast<size_t>(nodes_[parent].states) + static_cast<size_t>(state[parent]);
        }
        product *= nodes_[v].table[row * static_cast<size_t>(nodes_[v].states) + static_cast<size_t>(state[v])];
      }
      sum += product;
    }
    size_t v = 0;
    while (v < state.size() && ++state[v] == nodes_[v].states) state[v++] = 0;
    if (v == state.size()) return sum;
  }
}

double Network::posterior(int variable, int value, const Evidence& evidence) const {
  Evidence with = evidence;
  with.emplace_back(variable, value);
  return probability(with) / probability(evidence);
}

Truth::Truth(const Model& model, std::span<const Happening> history, int largest) : faults_(model.faults.size()) {
  std::vector<Cure> coins;  // the cures that may fail
  for (const Happening& h : history) {
    if (const auto* r = std::get_if<Repaired>(&h)) {
      for (const Cure& c : r->cures) {
        if (c.chance > 0 && c.chance < 1) coins.push_back(c);
      }
    }
  }
  for (unsigned start = 0; start < 1u << faults_; ++start) {
    bool possible = std::popcount(start) <= largest;
    for (auto [a, b] : model.exclusive) possible = possible && !(has(start, a) && has(start, b));
    for (unsigned luck = 0; possible && luck < 1u << coins.size(); ++luck) {
      double weight = 1;
      for (int f : members(start)) weight *= model.faults[static_cast<size_t>(f)].odds;
      for (size_t c = 0; c < coins.size(); ++c) {
        const bool works = has(luck, static_cast<int>(c));
        // The luck of a repair of something that is not there does not matter: only one such world is kept.
        if (has(start, coins[c].fault))
          weight *= works ? coins[c].chance : 1 - coins[c].chance;
        else if (works)
          weight = 0;
      }
      if (weight > 0) worlds_.push_back({start, luck, start, 0, 0, weight});
      prior_ += weight;
    }
  }

  see([&](const World& w) { return w.start == 0 ? model.nothing_wrong : 1.0; });  // the complaint
  size_t coin = 0;
  for (size_t t = 0; t < history.size(); ++t) {
    if (finding_of(history[t]) >= 0) answer(model, history, t);
    if (const auto* r = std::get_if<Repaired>(&history[t])) repair(*r, coin);
    if (const auto* p = std::get_if<PutBack>(&history[t])) {
      for (World& w : worlds_) {
        for (int f : p->faults) {
          if (!has(w.put_right, f)) continue;
          w.there |= 1u << f;
          w.put_right &= ~(1u << f), w.since_run &= ~(1u << f);
        }
      }
    }
    if (const auto* r = std::get_if<Ran>(&history[t])) run(model, r->result);
  }
}

template <class Chance>
void Truth::see(const Chance& chance) {
  std::vector<World> after = worlds_;
  double total = 0;
  for (World& w : after) total += w.weight *= chance(w);
  if (total > 0) {
    worlds_ = std::move(after);
  } else {
    contradiction_ = true;
  }
}

void Truth::answer(const Model& model, std::span<const Happening> history, size_t place) {
  if (repeats(model, history, place)) return;
  // Every look between the same repairs on findings of the same error group.
  // A number has its own error in what it is worth, and shares none.
  const auto number = [&](size_t t) { return std::holds_alternative<Measured>(last_answer(model, history, t)); };
  const int group = number(place) ? -1 : model.findings[static_cast<size_t>(finding_of(history[place]))].error_group;
  std::vector<size_t> together{place};
  if (group >= 0) {
    size_t begin = place, end = place;
    while (begin > 0 && !is_repair(history[begin - 1])) --begin;
    while (end < history.size() && !is_repair(history[end])) ++end;
    together.clear();
    for (size_t t = begin; t < end; ++t) {
      const int finding = finding_of(history[t]);
      if (finding < 0 || repeats(model, history, t)) continue;
      if (model.findings[static_cast<size_t>(finding)].error_group == group && !number(t)) together.push_back(t);
    }
    if (together.back() != place) return;  // they are taken with the last of them
  }
  // With the chance `blind` the look tells nothing, and its answers come as they would of any blind look. Otherwise
  // they are independent. Blind and not blind together, each answer alone is as likely as its rates say.
  double blind = group < 0 || together.size() < 2 ? 0 : 1;
  if (blind > 0) {
    for (size_t t : together) {
      blind = std::min(blind, blind_share(model.findings[static_cast<size_t>(finding_of(history[t]))].rates));
    }
  }
  see([&](const World& w) {
    double if_blind = blind, if_not = 1 - blind;
    for (size_t t : together) {
      const FindingModel& finding = model.findings[static_cast<size_t>(finding_of(history[t]))];
      const Happening& answer = last_answer(model, history, t);
      const double so = said(model, answer, true), not_so = said(model, answer, false);
      const double any = blind > 0 ? std::min(so, not_so) / blind_share(finding.rates) : 0;
      const double p = is_so(finding, w.there);
      if_blind *= any;
      if_not *= (p * so + (1 - p) * not_so - blind * any) / (1 - blind);
    }
    return if_blind + if_not;
  });
}

void Truth::repair(const Repaired& done, size_t& coin) {
  for (const Cure& c : done.cures) {
    const unsigned bit = 1u << c.fault;
    const bool uncertain = c.chance > 0 && c.chance < 1;
    for (World& w : worlds_) {
      const bool works = uncertain ? has(w.luck, static_cast<int>(coin)) : c.chance >= 1;
      const bool helps = works && (w.there & bit) != 0;
      w.put_right = helps ? w.put_right | bit : w.put_right & ~bit;
      if (helps) w.there &= ~bit, w.since_run |= bit;
    }
    coin += uncertain;
  }
}

void Truth::run(const Model& model, RunResult result) {
  see([&](const World& w) {
    double quiet = 1 - model.false_trouble;
    for (int f : members(w.there)) quiet *= 1 - model.faults[static_cast<size_t>(f)].shows;
    if (result == RunResult::gone) return quiet;
    const double better = w.since_run != 0 ? model.better_if_cured : model.better_if_not;
    return (1 - quiet) * (result == RunResult::better ? better : 1 - better);
  });
  for (World& w : worlds_) w.since_run = 0;
}

template <class Of>
double Truth::mean(const Of& of) const {
  double sum = 0, total = 0;
  for (const World& w : worlds_) sum += w.weight * static_cast<double>(of(w)), total += w.weight;
  return sum / total;
}

double Truth::evidence() const {
  double total = 0;
  for (const World& w : worlds_) total += w.weight;
  return total / prior_;
}

std::vector<double> Truth::share_of(unsigned World::*set) const {
  std::vector<double> share;
  for (int f = 0; f < static_cast<int>(faults_); ++f) {
    share.push_back(mean([&](const World& w) { return has(w.*set, f); }));
  }
  return share;
}

std::vector<double> Truth::still_there() const { return share_of(&World::there); }
std::vector<double> Truth::there_at_start() const { return share_of(&World::start); }

std::vector<double> Truth::alone_now() const {
  std::vector<double> share;
  for (size_t f = 0; f < faults_; ++f) share.push_back(mean([&](const World& w) { return w.there == 1u << f; }));
  return share;
}

double Truth::nothing_left() const {
  return mean([](const World& w) { return w.there == 0; });
}

double Truth::more_than(int faults) const {
  return mean([&](const World& w) { return std::popcount(w.start) > faults; });
}

double Truth::chance_so(const FindingModel& finding) const {
  return mean([&](const World& w) { return is_so(finding, w.there); });
}

std::map<std::pair<std::vector<int>, std::vector<int>>, double> Truth::sets() const {
  std::map<std::pair<std::vector<int>, std::vector<int>>, double> sets;
  double total = 0;
  for (const World& w : worlds_) sets[{members(w.start), members(w.there)}] += w.weight, total += w.weight;
  for (auto& [key, weight] : sets) weight /= total;
  return sets;
}

Quickscore quickscore(const Model& model, const std::vector<int>& present, const std::vector<int>& absent) {
  const size_t n = model.faults.size();
  // sum over subsets S of `present` of (-1)^|S| P(S and `absent` all absent); `given`: fault taken as there, or n
  const auto score = [&](size_t given) {
    long double sum = 0;
    for (unsigned subset = 0; subset < 1u << present.size(); ++subset) {
      std::vector<int> off = absent;
      for (int k : members(subset)) off.push_back(present[static_cast<size_t>(k)]);
      long double product = std::popcount(subset) % 2 == 0 ? 1 : -1;
      for (int f : off) product *= 1 - model.findings[static_cast<size_t>(f)].background;
      for (size_t i = 0; i < n; ++i) {
        long double quiet = 1;
        for (int f : off) {
          for (const Link& l : model.findings[static_cast<size_t>(f)].links) {
            if (l.fault == static_cast<int>(i)) quiet *= 1 - l.strength;
          }
        }
        const long double p = model.faults[i].odds / (1 + model.faults[i].odds);
        product *= i == given ? p * quiet : p * quiet + (1 - p);
      }
      sum += product;
    }
    return sum;
  };
  Quickscore result{static_cast<double>(score(n)), {}};
  for (size_t i = 0; i < n; ++i) result.marginals.push_back(static_cast<double>(score(i)) / result.evidence);
  return result;
}

}  // namespace crankwise::oracle
