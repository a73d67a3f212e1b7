// run() for one kind of lanes; each kind is compiled in a file of its own, for its own kind of machine.
#pragma once

#include <algorithm>
#include <cmath>

#include "core/engine/friction.h"
#include "core/engine/run.h"
#include "core/engine/simulation_set.h"
#include "core/engine/simulation_step.h"

namespace crankwise::engine {

/// The cycles of one member.
class Cycles {
 public:
  template <typename Real>
  void add(const Totals<Real>& t, int lane) {
    for (size_t i = 0; i < kParts; ++i)
      kept_[static_cast<size_t>(count_) % kept_.size()][i] = flow::lane(t.*Totals<Real>::parts()[i], lane);
    ++count_;
  }
  int count() const { return count_; }
  /// Of the last `over`, `before` them as many.
  Totals<double> mean(int over, int before = 0) const {
    Totals<double> mean;
    for (int n = 0; n < over; ++n)
      for (size_t i = 0; i < kParts; ++i) mean.*Totals<double>::parts()[i] += back(n + before)[i] / over;
    return mean;
  }
  /// Standard deviation of the work, as a share.
  double uneven(int over) const {
    double sum = 0, squares = 0;
    for (int n = 0; n < over; ++n) {
      const double work = back(n)[0] + back(n)[1];
      sum += work / over;
      squares += work * work / over;
    }
    return std::sqrt(std::max(squares - sum * sum, 0.0)) / std::max(std::abs(sum), 1e-3);
  }
  bool repeat(double within, int over = kMeanOver) const {
    if (count_ < 2 * over) return false;
    const Totals<double> now = mean(over), before = mean(over, over);
    return work_settles(now, before, within) && std::abs(now.air_kg - before.air_kg) <= within * std::abs(now.air_kg);
  }
  /// The last few are as one.
  static constexpr int kAlike = 4;
  bool steady(double within) const {
    if (count_ < kAlike) return false;
    const Totals<double> all = mean(kAlike);
    for (int n = 0; n < kAlike; ++n) {
      const Totals<double> one = mean(1, n);
      if (!work_settles(one, all, within) || std::abs(one.air_kg - all.air_kg) > within * std::abs(all.air_kg))
        return false;
    }
    return true;
  }
  /// It does not fire at all, and what it takes to drag it along settles. Its mixture may take a hundred cycles to.
  bool dragged_along(double within) const {
    if (count_ < 2 * kMeanOver) return false;
    const Totals<double> now = mean(kMeanOver);
    return now.misfire > 0.99 && work_settles(now, mean(kMeanOver, kMeanOver), within);
  }

 private:
  static constexpr size_t kParts = Totals<double>::parts().size();
  static bool work_settles(const Totals<double>& now, const Totals<double>& before, double within) {
    const double work = now.work_j + now.case_work_j, change = work - before.work_j - before.case_work_j;
    return std::abs(change) <= within * std::max(std::abs(work), 0.02 * now.air_kg * 1e6);
  }
  const std::array<double, kParts>& back(int n) const {
    return kept_[static_cast<size_t>(count_ - 1 - n) % kept_.size()];
  }
  int count_ = 0;
  std::array<std::array<double, kParts>, 2 * kMeanOfMany> kept_{};
};

inline Outcome outcome_of(const Cycles& cycles, const Member& m, int mean_over) {
  const Design& d = m.design;
  const Totals<double> t = cycles.mean(mean_over);
  const double swept = displacement_m3(d.train.bore_m, d.train.stroke_m), speed = d.train.stroke_m * m.rpm / 30;
  const double per_s = m.rpm / 60 / (d.cycle == Cycle::two_stroke ? 1 : 2);
  Outcome o;
  o.rpm = m.rpm;
  o.cycles = cycles.count();
  o.mean_over = mean_over;
  o.imep_pa = t.work_j / swept;
  o.pumping_pa = t.case_work_j / swept;
  o.peak_pa = t.most_pa;
  o.fmep_pa = chen_flynn_pa(o.peak_pa, speed, d.friction);
  o.bmep_pa = o.imep_pa + o.pumping_pa - o.fmep_pa;
  o.power_w = o.bmep_pa * swept * per_s;
  o.torque_nm = o.power_w / (m.rpm / 60 * 2 * std::numbers::pi);
  o.delivery_ratio = t.air_kg / (m.around.p_pa / (d.fuel.gas.air.constant_j_kg_k * m.around.temp_k) * swept);
  o.lambda = t.lambda;
  o.residual = t.residual;
  o.misfire = t.misfire;
  o.fuel_kg_s = t.fuel_kg * per_s;
  o.bsfc_kg_j = o.power_w > 0 ? o.fuel_kg_s / o.power_w : 0;
  o.lost_fuel = t.fuel_kg > 0 ? t.lost_fuel_kg / t.fuel_kg : 0;
  o.exhaust_k = t.exhaust_kg > 0 ? t.exhaust_k / t.exhaust_kg : 0;
  o.wall_w = t.heat_j * per_s;
  o.knock_margin = 1 - t.knock;
  o.uneven = cycles.uneven(mean_over);
  return o;
}

/// Each lane stops after its own cycles, whatever runs beside it, and stands for a step, so that all have.
template <typename Real>
Simulation<Real> on_half_the_cells(std::span<const Member> members, const RunOptions& options) {
  Simulation<Real> s(members, options.coarse_cycles > 0 ? options.cells.half() : options.cells);
  s.hold_at(options.coarse_cycles);
  while (flow::any(s.cycles() < Real(options.coarse_cycles)) && s.losses() < flow::lanes_of<Real>()) s.step();
  s.step();
  return s;
}

/// As many members as there are lanes, or fewer.
template <typename Real>
void run_side_by_side(std::span<const Member> members, const RunOptions& options, std::span<Outcome> out) {
  Simulation<Real> coarse = on_half_the_cells<Real>(members, options);
  Simulation<Real> s(coarse, members, options.cells);
  std::array<Cycles, flow::lanes_of<Real>()> cycles;
  std::array<bool, flow::lanes_of<Real>()> done{};
  for (size_t left = members.size(); left > 0;) {
    const Real before = s.cycles();
    const int losses = s.losses();
    s.step();
    if (!flow::any(s.cycles() > before) && s.losses() == losses) continue;
    for (size_t i = 0; i < members.size(); ++i) {
      const int lane = static_cast<int>(i);
      const LostGas& lost = s.lost(lane);
      const bool whole = flow::lane(s.cycles(), lane) > flow::lane(before, lane);
      if (done[i] || (!whole && lost.place == LostGas::Place::nowhere)) continue;
      if (whole) cycles[i].add(s.cycle(), lane);
      const bool gas = lost.place == LostGas::Place::nowhere, last = cycles[i].count() >= options.most_cycles;
      const bool steady = gas && cycles[i].steady(options.steady);
      const bool soon =
          steady || (gas && (cycles[i].repeat(options.within) || cycles[i].dragged_along(options.at_last)));
      if (gas && !soon && !last) continue;
      const bool in_the_mean = gas && !soon && cycles[i].repeat(options.at_last, kMeanOfMany);
      done[i] = true;
      --left;
      const int over = steady ? Cycles::kAlike : in_the_mean ? kMeanOfMany : kMeanOver;
      out[i] = outcome_of(cycles[i], members[i], std::clamp(cycles[i].count(), 1, over));
      out[i].lost = lost;
      out[i].state = !gas                  ? Outcome::State::lost_gas
                     : soon || in_the_mean ? Outcome::State::repeats
                                           : Outcome::State::does_not_repeat;
    }
  }
}

template <typename Real>
std::vector<Outcome> run_in(std::span<const Member> members, const RunOptions& options) {
  std::vector<Outcome> out(members.size());
  constexpr size_t kLanes = flow::lanes_of<Real>();
  for (size_t at = 0; at < members.size(); at += kLanes) {
    const size_t count = std::min(kLanes, members.size() - at);
    run_side_by_side<Real>(members.subspan(at, count), options, std::span(out).subspan(at, count));
  }
  return out;
}

}  // namespace crankwise::engine
