#include "app/lessons.h"

#include <algorithm>
#include <cmath>

#include "core/learn/shares.h"

namespace crankwise {
namespace {

/// Share of every fault of the knowledge for a bike of these traits, in the order of the knowledge; 0: does not apply.
std::vector<double> shares(const Knowledge& k, const Traits& traits, const Chances& factors) {
  std::vector<double> out;
  for (const Fault& f : k.faults) {
    const auto factor = factors.find(f.id);
    out.push_back(f.applies.holds(traits) ? f.share.of(traits) * (factor == factors.end() ? 1 : factor->second) : 0);
  }
  return out;
}

std::map<std::string, int> numbers_of(const Knowledge& k) {
  std::map<std::string, int> numbers;
  for (const Fault& f : k.faults) numbers.emplace(f.id, static_cast<int>(numbers.size()));
  return numbers;
}

CauseLesson cause_lesson(const Lesson& lesson, double weight, std::vector<double> expected,
                         const std::map<std::string, int>& numbers) {
  CauseLesson out{weight, {}, std::move(expected)};
  for (const Chances& cause : lesson.causes) {
    std::vector<Candidate> candidates;
    for (const auto& [fault, chance] : cause) {
      // A fault that this knowledge does not have any more teaches nothing.
      if (const auto at = numbers.find(fault); at != numbers.end() && chance > 0)
        candidates.push_back({at->second, chance});
    }
    if (!candidates.empty()) out.causes.push_back(std::move(candidates));
  }
  return out;
}

/// Adds to `total` what counts with this weight.
void count(AnswerCount& total, AnswerCount more, double weight) {
  total.yes += weight * more.yes;
  total.no += weight * more.no;
}

void learn_answers(Learned& learned, const Knowledge& k, const Lesson& lesson, double weight) {
  constexpr double kSure = 0.9;  // only a cause that became known says how well a look tells it
  if (lesson.causes.size() != 1) return;
  const auto& [fault, chance] = *std::max_element(lesson.causes[0].begin(), lesson.causes[0].end(),
                                                  [](const auto& a, const auto& b) { return a.second < b.second; });
  double all = 0;
  for (const auto& [id, c] : lesson.causes[0]) all += c;
  const Fault* cause = k.faults.find(fault);
  if (cause == nullptr || chance < kSure * all) return;
  const auto causes = [&](const Finding& f) {
    const auto named = [&](const Strengths& list, const std::string& id) {
      return std::any_of(list.begin(), list.end(), [&](const auto& entry) { return entry.first == id; });
    };
    return named(cause->causes, f.id) || named(cause->causes_every, std::string(text(f.kind)));
  };
  for (const auto& [id, answers] : lesson.seen) {
    const Finding* finding = k.findings.find(id);
    if (finding == nullptr) continue;
    if (causes(*finding)) count(learned.if_there[{fault, id}], answers, weight);
  }
}

}  // namespace

Learned learn(const Knowledge& k, const Bike& bike, std::span<const Lesson> oldest_first) {
  Learned learned;
  if (oldest_first.empty()) return learned;
  const auto lessons = oldest_first.last(std::min(oldest_first.size(), kMostLessons));
  const auto numbers = numbers_of(k);
  std::map<std::vector<std::string>, std::vector<double>> plain;  // shares by traits: most bikes are alike
  std::vector<CauseLesson> all, own;
  for (size_t i = 0; i < lessons.size(); ++i) {
    const Lesson& lesson = lessons[i];
    const double weight = weight_after(static_cast<int>(lessons.size() - 1 - i), kKeptPerJob);
    const auto [at, fresh] = plain.try_emplace(lesson.traits);
    if (fresh) at->second = shares(k, Traits(lesson.traits), {});
    std::vector<double> expected = at->second;
    for (const auto& [fault, factor] : lesson.expected_more) {
      if (const auto n = numbers.find(fault); n != numbers.end()) expected[static_cast<size_t>(n->second)] *= factor;
    }
    all.push_back(cause_lesson(lesson, weight, std::move(expected), numbers));
    if (lesson.bike == bike.id) own.push_back(all.back());
    learn_answers(learned, k, lesson, weight);
  }
  std::vector<double> share = shares(k, Traits(bike.traits), {});
  std::vector<double> factors = share_factors(all, share, kJobsWorth);
  if (!own.empty()) {
    for (CauseLesson& l : own) {
      for (size_t f = 0; f < factors.size(); ++f) l.expected[f] *= factors[f];
    }
    for (size_t f = 0; f < factors.size(); ++f) share[f] *= factors[f];
    const std::vector<double> more = share_factors(own, share, kShopWorth);
    for (size_t f = 0; f < factors.size(); ++f) factors[f] *= more[f];
  }
  for (const auto& [fault, n] : numbers) {
    if (factors[static_cast<size_t>(n)] != 1) learned.share[fault] = factors[static_cast<size_t>(n)];
  }
  return learned;
}

std::vector<Chances> causes_of(const Diagnosis& d, const Learned& learned) {
  constexpr double kKnown = 0.5;      // likelier than not: a cause of its own where there were several
  constexpr double kNothing = 0.005;  // not worth writing down
  const std::vector<double> start = d.belief.there_at_start(), now = d.belief.still_there();
  double sum = 0;
  for (size_t f = 0; f < start.size(); ++f) sum += start[f] - now[f];
  if (sum < 0.05) return {};  // the repairs explain nothing
  const auto chance = [&](size_t f) {
    const auto factor = learned.share.find(d.fault(static_cast<int>(f)).id);
    return (start[f] - now[f]) / (factor == learned.share.end() ? 1 : factor->second);
  };
  if (std::lround(sum) > 1) {
    std::vector<Chances> several;
    for (size_t f = 0; f < start.size(); ++f) {
      if (start[f] - now[f] > kKnown) several.push_back({{d.fault(static_cast<int>(f)).id, 1.0}});
    }
    if (several.size() > 1) return several;
  }
  Chances one;
  double all = 0;
  for (size_t f = 0; f < start.size(); ++f) {
    if (start[f] - now[f] < kNothing) continue;
    all += one[d.fault(static_cast<int>(f)).id] = chance(f);
  }
  if (one.empty()) return {};
  for (auto& [fault, c] : one) c /= all;
  return {one};
}

void add_answers(Lesson& lesson, const Knowledge& k, const std::vector<Entry>& entries) {
  for (const Entry& e : entries) {
    if (const auto* did = std::get_if<Did>(&e)) {
      const Step* step = k.steps.find(did->step);
      if (step == nullptr || !step->cures.empty()) break;
    }
    const auto* said = std::get_if<SaidSo>(&e);
    if (said == nullptr) continue;
    const Finding* f = k.findings.find(said->finding);
    if (f == nullptr || f->kind <= FindingKind::when) continue;
    lesson.seen.erase(said->finding);  // the last answer counts
    if (said->answer != Answer::unsure)
      lesson.seen[said->finding] = said->answer == Answer::yes ? AnswerCount{1, 0} : AnswerCount{0, 1};
  }
}

}  // namespace crankwise
