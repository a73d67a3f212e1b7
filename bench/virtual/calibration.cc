#include "bench/virtual/calibration.h"

#include <algorithm>
#include <cmath>

namespace crankwise::bench {

double Reliability::Bin::error() const { return count > 0 ? std::sqrt(job_squares) / static_cast<double>(count) : 0; }

void Reliability::add(double said, bool so) {
  Bin& b = bins_[std::min(static_cast<size_t>(said * 10), bins_.size() - 1)];
  ++b.count;
  b.hits += so;
  b.said += said;
  squares_ += (said - so) * (said - so);
  constexpr double kClip = 0.001;
  bits_ -= std::log2(std::max(so ? said : 1 - said, kClip));
}

void Reliability::add_job(const Reliability& more) {
  for (size_t i = 0; i < bins_.size(); ++i) {
    bins_[i].count += more.bins_[i].count;
    bins_[i].hits += more.bins_[i].hits;
    bins_[i].said += more.bins_[i].said;
    const double off = static_cast<double>(more.bins_[i].hits) - more.bins_[i].said;
    bins_[i].job_squares += off * off;
  }
  squares_ += more.squares_;
  bits_ += more.bits_;
}

long Reliability::count() const {
  long n = 0;
  for (const Bin& b : bins_) n += b.count;
  return n;
}

double Reliability::brier() const { return count() > 0 ? squares_ / static_cast<double>(count()) : 0; }
double Reliability::log_bits() const { return count() > 0 ? bits_ / static_cast<double>(count()) : 0; }

Reliability::Split Reliability::split() const {
  Split s;
  const double n = static_cast<double>(count());
  if (n <= 0) return s;
  double hits = 0;
  for (const Bin& b : bins_) hits += static_cast<double>(b.hits);
  const double rate = hits / n;
  for (const Bin& b : bins_) {
    if (b.count == 0) continue;
    const double k = static_cast<double>(b.count), so = static_cast<double>(b.hits) / k;
    s.reliability += k * (b.said / k - so) * (b.said / k - so) / n;
    s.resolution += k * (so - rate) * (so - rate) / n;
  }
  s.uncertainty = rate * (1 - rate);
  return s;
}

void Calibration::add(const std::vector<double>& forecast, const std::vector<double>& share,
                      const std::vector<int>& there) {
  std::vector<char> so(forecast.size(), 0);
  for (int f : there) so[static_cast<size_t>(f)] = 1;
  for (size_t f = 0; f < forecast.size(); ++f) {
    faults.add(std::clamp(forecast[f], 0.0, 1.0), so[f] != 0);
    by_share.add(share[f], so[f] != 0);
  }
  const auto most = std::max_element(forecast.begin(), forecast.end());
  leader.add(std::min(*most, 1.0), so[static_cast<size_t>(most - forecast.begin())] != 0);
}

void Calibration::add_job(const Calibration& more) {
  faults.add_job(more.faults);
  leader.add_job(more.leader);
  by_share.add_job(more.by_share);
}

}  // namespace crankwise::bench
