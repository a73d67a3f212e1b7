#include "bench/virtual/answers.h"

#include <algorithm>

namespace crankwise::bench {
namespace {

constexpr int kMostTurns = 10000;  // far more than the repairs of any job

}  // namespace

double blind_share(const AnswerRates& rates) {
  double share = 0;
  for (Answer a : {Answer::no, Answer::yes, Answer::unsure}) {
    const auto [so, not_so] = rates.chance(a);
    share += std::min(so, not_so);
  }
  return share;
}

double chance_so(const FindingModel& finding, const std::vector<int>& there) {
  double absent = 1 - finding.background;
  for (const Link& l : finding.links) {
    if (std::find(there.begin(), there.end(), l.fault) != there.end()) absent *= 1 - l.strength;
  }
  return 1 - absent;
}

Answers::Answers(const Model& model, const Dice& dice, int round, const Gauges* gauges)
    : model_(&model), dice_(&dice), gauges_(gauges), round_(round), bearing_(model.findings.size(), 0) {
  for (const FindingModel& f : model.findings) {
    if (f.error_group < 0) continue;
    error_.resize(std::max(error_.size(), static_cast<size_t>(f.error_group) + 1), 0.99);
    double& error = error_[static_cast<size_t>(f.error_group)];
    error = std::min(error, blind_share(f.rates));
  }
}

bool Answers::bad_look(int group) const {
  return dice_->uniform(Throw::bad_look, group, kMostTurns * round_ + repairs_) < error_[static_cast<size_t>(group)];
}

int Answers::turn(int finding) const { return kMostTurns * round_ + bearing_[static_cast<size_t>(finding)]; }

bool Answers::given(int finding) const { return said_.count({finding, bearing_[static_cast<size_t>(finding)]}) > 0; }

bool Answers::is_so(int finding, const std::vector<int>& there) const {
  const FindingModel& f = model_->findings[static_cast<size_t>(finding)];
  return dice_->uniform(Throw::so, finding, turn(finding)) < bench::chance_so(f, there);
}

Answer Answers::give(int finding, const std::vector<int>& there) {
  const FindingModel& f = model_->findings[static_cast<size_t>(finding)];
  const auto [said, fresh] = said_.try_emplace({finding, bearing_[static_cast<size_t>(finding)]}, Answer::no);
  if (!fresh) return said->second;
  if (const auto value = number(finding, there)) {
    if (gauges_->says(*gauges_->behind(finding), finding, *value)) said->second = Answer::yes;
    return said->second;
  }

  // A bad look says the same whatever is there; the good ones make up for it, so that each answer keeps its rate.
  const bool so = is_so(finding, there);
  const double error = f.error_group < 0 ? 0 : error_[static_cast<size_t>(f.error_group)];
  const bool bad = error > 0 && bad_look(f.error_group);
  const auto chance = [&](Answer a) {
    const auto [if_so, if_not] = f.rates.chance(a);
    const double if_bad = error > 0 ? std::min(if_so, if_not) / blind_share(f.rates) : 0;
    return bad ? if_bad : ((so ? if_so : if_not) - error * if_bad) / (1 - error);
  };
  const double u = dice_->uniform(Throw::answer, finding, turn(finding));
  const double yes = chance(Answer::yes);
  if (u < yes) {
    said->second = Answer::yes;
  } else if (u < yes + chance(Answer::unsure)) {
    said->second = Answer::unsure;
  }
  return said->second;
}

std::optional<double> Answers::number(int finding, const std::vector<int>& there) const {
  const auto r = gauges_ == nullptr ? std::nullopt : gauges_->behind(finding);
  if (!r) return {};
  const int below = gauges_->below(*r), above = gauges_->above(*r);
  int nth = 0;
  for (int f : {below, above}) nth += f < 0 ? 0 : turn(f);
  return gauges_->show(*r, below >= 0 && is_so(below, there), above >= 0 && is_so(above, there), *dice_, nth);
}

void Answers::repaired(const std::vector<int>& faults) {
  ++repairs_;
  for (size_t f = 0; f < bearing_.size(); ++f) {
    for (const Link& l : model_->findings[f].links) {
      // As often as the faults are touched, as core/belief counts it.
      bearing_[f] += static_cast<int>(std::count(faults.begin(), faults.end(), l.fault));
    }
  }
}

}  // namespace crankwise::bench
