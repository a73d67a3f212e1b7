#include "bench/virtual/adaptive.h"

#include <algorithm>
#include <cmath>

namespace crankwise::bench {
namespace {

constexpr Answer kAnswers[] = {Answer::yes, Answer::no, Answer::unsure};

double surprise(double p) { return p > 0 ? -p * std::log2(p) : 0; }

double chance(const AnswerRates& rates, Answer a, double so) {
  const auto [if_so, if_not] = rates.chance(a);
  return so * if_so + (1 - so) * if_not;
}

}  // namespace

InformationPolicy::Telling InformationPolicy::telling(int finding) const {
  const AnswerRates& rates = book_.model().findings[static_cast<size_t>(finding)].rates;
  Telling t;
  double mean = 0, last = -1, last_noise = 0;
  for (const World& w : worlds_) {
    const double so = filter_.chance_so(finding, w);
    if (so != last) {  // most sets hold no fault that bears on it
      last = so, last_noise = 0;
      for (Answer a : kAnswers) last_noise += surprise(chance(rates, a, so));
    }
    t.so.push_back(so);
    t.noise_bits += w.weight * last_noise;
    mean += w.weight * so;
  }
  for (Answer a : kAnswers) t.bits += surprise(chance(rates, a, mean));
  t.bits = std::max(t.bits - t.noise_bits, 0.0);
  return t;
}

double InformationPolicy::information(const std::vector<int>& findings) const {
  std::vector<std::pair<int, Telling>> best;
  for (int f : findings) best.emplace_back(f, telling(f));
  std::stable_sort(best.begin(), best.end(),
                   [](const auto& a, const auto& b) { return a.second.bits > b.second.bits; });
  if (best.size() > kMost) best.resize(kMost);
  if (best.size() == 1) return best[0].second.bits;

  std::vector<std::vector<double>> joint(1);  // by pattern of answers: the weight of every world
  for (const World& w : worlds_) joint[0].push_back(w.weight);
  double bits = 0;
  for (const auto& [f, t] : best) {
    bits -= t.noise_bits;
    std::vector<std::vector<double>> next;
    for (const auto& weights : joint) {
      for (Answer a : kAnswers) {
        std::vector<double> with = weights;
        const AnswerRates& rates = book_.model().findings[static_cast<size_t>(f)].rates;
        for (size_t h = 0; h < with.size(); ++h) with[h] *= chance(rates, a, t.so[h]);
        next.push_back(std::move(with));
      }
    }
    joint = std::move(next);
  }
  for (const auto& weights : joint) {
    double p = 0;
    for (double w : weights) p += w;
    bits += surprise(p);
  }
  return std::max(bits, 0.0);
}

int InformationPolicy::choose() {
  think();
  const auto likeliest = std::max_element(alone_.begin(), alone_.end());
  if (*likeliest > 0.5) {
    const int repair = cheapest_repair(static_cast<int>(likeliest - alone_.begin()), book_.state().off);
    if (repair >= 0 && !hopeless(worth_of_repair(repair, book_.state().off))) return repair;
  }
  constexpr double kLeastBits = 0.02, kLeastCost = 0.05;
  int best = -1;
  double most = 0;
  for (size_t s = 0; s < book_.plan().steps.size(); ++s) {
    const PlanStep& step = book_.plan().steps[s];
    if (step.act != Act::ask || !book_.may_do(step)) continue;
    std::vector<int> open;
    for (int f : step.findings) {
      if (!book_.state().settled[static_cast<size_t>(f)]) open.push_back(f);
    }
    if (open.empty()) continue;
    const double bits = information(open);
    const double cost = book_.joined(book_.reach(book_.state().off, step) + Effort{step.minutes, step.money});
    const double per_minute = bits / std::max(cost, kLeastCost);
    if (bits >= kLeastBits && per_minute > most) most = per_minute, best = static_cast<int>(s);
  }
  return best >= 0 ? best : best_repair_or_give_up();
}

}  // namespace crankwise::bench
