#include "core/learn/calibration.h"

#include <algorithm>
#include <cmath>

namespace crankwise {

std::pair<int, int> hits_band(int count, double p) {
  constexpr double kLow = 0.05, kHigh = 0.95;
  if (p <= 0) return {0, 0};
  if (p >= 1) return {count, count};
  int low = -1;
  double below = 0;
  for (int k = 0; k <= count; ++k) {
    const double n = count;
    below += std::exp(std::lgamma(n + 1) - std::lgamma(k + 1.0) - std::lgamma(n - k + 1) + k * std::log(p) +
                      (n - k) * std::log1p(-p));
    if (low < 0 && below >= kLow) low = k;
    if (below >= kHigh) return {low, k};
  }
  return {std::max(low, 0), count};
}

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

}  // namespace crankwise
