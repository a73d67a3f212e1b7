#include "app/track_record.h"

#include <algorithm>
#include <cmath>

namespace crankwise {
namespace {

/// The first act that put one of the causes right, or tried to; later beliefs are about what was left.
int first_cure(const Knowledge& k, const Job& j) {
  for (const JobEntry& e : j.entries) {
    const auto* did = std::get_if<Did>(&e.entry);
    const Step* step = did == nullptr ? nullptr : k.steps.find(did->step);
    if (step == nullptr) continue;
    for (const auto& [fault, chance] : step->cures) {
      if (std::find(j.causes.begin(), j.causes.end(), fault) != j.causes.end()) return e.act;
    }
  }
  return j.acts + 1;
}

Chances class_shares(const Knowledge& k, const Bike& bike) {
  const Traits traits(bike.traits);
  Chances out;
  double sum = 0;
  for (const Fault& f : k.faults) {
    if (f.applies.holds(traits)) sum += out[f.id] = f.share.of(traits);
  }
  for (auto& [fault, share] : out) share /= sum;
  return out;
}

struct Score {
  double bits = 0, brier = 0;
};

Score score(const Chances& said, const std::vector<std::string>& causes) {
  constexpr double kLeast = 0.001;
  Score s;
  const auto chance = [&](const std::string& fault) {
    const auto at = said.find(fault);
    return at == said.end() ? 0.0 : at->second;
  };
  for (const auto& [fault, p] : said) {
    const bool so = std::find(causes.begin(), causes.end(), fault) != causes.end();
    s.brier += (p - so) * (p - so);
  }
  for (const auto& cause : causes) {
    s.bits -= std::log2(std::max(chance(cause), kLeast)) / static_cast<double>(causes.size());
    if (said.count(cause) == 0) s.brier += 1;
  }
  return s;
}

}  // namespace

TrackRecord track_record(const Shop& shop) {
  std::map<int, std::vector<const Chances*>> by_job;
  const std::vector<Shop::Believed> believed = shop.believed(TrackRecord::kMostJobs);
  for (const Shop::Believed& b : believed) {
    if (b.act <= first_cure(shop.knowledge(), shop.job(b.job)) && !b.chances.empty())
      by_job[b.job].push_back(&b.chances);
  }
  TrackRecord r;
  for (const auto& [number, said] : by_job) {
    const Job& job = shop.job(number);
    const Score by_share = score(class_shares(shop.knowledge(), shop.bike(job.bike)), job.causes);
    Reliability leader;
    Score sum;
    for (const Chances* chances : said) {
      const auto most = std::max_element(chances->begin(), chances->end(),
                                         [](const auto& a, const auto& b) { return a.second < b.second; });
      leader.add(most->second, std::find(job.causes.begin(), job.causes.end(), most->first) != job.causes.end());
      const Score s = score(*chances, job.causes);
      sum.bits += s.bits;
      sum.brier += s.brier;
    }
    const double acts = static_cast<double>(said.size());
    ++r.jobs;
    r.leader.add_job(leader);
    r.bits += sum.bits / acts;
    r.brier += sum.brier / acts;
    r.share_bits += by_share.bits;
    r.share_brier += by_share.brier;
  }
  if (r.jobs > 0) {
    for (double* total : {&r.bits, &r.brier, &r.share_bits, &r.share_brier}) *total /= r.jobs;
  }
  return r;
}

}  // namespace crankwise
