// The cycles of one member, and when enough of them have been run.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "core/engine/run.h"
#include "core/engine/totals.h"

namespace crankwise::engine {

class Cycles {
 public:
  template <typename Real>
  void add(const Totals<Real>& t, int lane) {
    Totals<double>& one = all_.emplace_back();
    constexpr auto kFrom = Totals<Real>::parts();
    constexpr auto kTo = Totals<double>::parts();
    for (size_t i = 0; i < kTo.size(); ++i) one.*kTo[i] = flow::lane(t.*kFrom[i], lane);
  }
  int count() const { return static_cast<int>(all_.size()); }
  /// Of the last `over`, `before` later ones left out; zeros if there is none.
  Totals<double> mean(int over, int before = 0) const {
    Totals<double> mean;
    for (int n = 0; n < std::min(over, count() - before); ++n)
      for (auto part : Totals<double>::parts()) mean.*part += back(n + before).*part / over;
    return mean;
  }
  /// Standard deviation of the work, as a share.
  double uneven(int over) const {
    double sum = 0, squares = 0;
    for (int n = 0; n < std::min(over, count()); ++n) {
      sum += work(back(n)) / over;
      squares += work(back(n)) * work(back(n)) / over;
    }
    return std::sqrt(std::max(squares - sum * sum, 0.0)) / std::max(std::abs(sum), 1e-3);
  }
  /// Of how many of the last cycles the mean may be taken; 0: they have not settled.
  int settled(const RunOptions& o) const {
    if (steady(o.steady)) return kAlike;
    if (repeats(o.within) || dragged_along(o.dragged)) return kMeanOver;
    return count() % kTogether == 0 && surges_evenly(o.surging) ? surge() : 0;
  }

 private:
  static constexpr int kAlike = 4, kBatches = 4, kTogether = 20;
  /// What a sound engine makes of a kilogram of air, J; below a fortieth of it work is nothing.
  static constexpr double kWorkOfAir = 0.8e6;

  static double work(const Totals<double>& t) { return t.work_j + t.case_work_j; }
  const Totals<double>& back(int n) const { return all_[all_.size() - 1 - static_cast<size_t>(n)]; }
  static bool works_alike(const Totals<double>& a, const Totals<double>& b, double within) {
    return std::abs(work(a) - work(b)) <= within * std::max(std::abs(work(a)), kWorkOfAir / 40 * a.air_kg);
  }
  static bool alike(const Totals<double>& a, const Totals<double>& b, double within) {
    return works_alike(a, b, within) && std::abs(a.air_kg - b.air_kg) <= within * std::abs(a.air_kg);
  }
  /// The last few are as one.
  bool steady(double within) const {
    if (count() < kAlike) return false;
    const Totals<double> all = mean(kAlike);
    for (int n = 0; n < kAlike; ++n)
      if (!alike(all, back(n), within)) return false;
    return true;
  }
  /// The mean of some is that of as many before them.
  bool repeats(double within) const {
    return count() >= 2 * kMeanOver && alike(mean(kMeanOver), mean(kMeanOver, kMeanOver), within);
  }
  /// It does not fire at all, and what it takes to drag it along settles. Its mixture may take a hundred cycles to.
  bool dragged_along(double within) const {
    return count() >= 2 * kMeanOver && mean(kMeanOver).misfire > 0.99 &&
           works_alike(mean(kMeanOver), mean(kMeanOver, kMeanOver), within);
  }
  /// All but the first, in whole batches.
  int surge() const { return count() - kTogether; }
  /// It hunts, but its means over long batches agree so well that the standard error of the whole mean is small.
  bool surges_evenly(double within) const {
    if (count() < 3 * kTogether) return false;
    const Totals<double> whole = mean(surge());
    double works = 0, airs = 0;
    for (int i = 0; i < kBatches; ++i) {
      const Totals<double> batch = mean(surge() / kBatches, i * surge() / kBatches);
      works += std::pow(work(batch) - work(whole), 2);
      airs += std::pow(batch.air_kg - whole.air_kg, 2);
    }
    const auto error = [](double squares) { return std::sqrt(squares / (kBatches * (kBatches - 1))); };
    return error(works) <= within * kWorkOfAir * whole.air_kg && error(airs) <= within * whole.air_kg;
  }

  std::vector<Totals<double>> all_;
};

}  // namespace crankwise::engine
