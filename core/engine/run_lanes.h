// run() for one kind of lanes; each kind is compiled in a file of its own, for its own kind of machine.
#pragma once

#include <algorithm>
#include <cmath>

#include "core/engine/cycles.h"
#include "core/engine/friction.h"
#include "core/engine/run.h"
#include "core/engine/simulation_set.h"
#include "core/engine/simulation_step.h"

namespace crankwise::engine {

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
      const int over = gas ? cycles[i].settled(options) : 0;
      if (gas && over == 0 && !last) continue;
      done[i] = true;
      --left;
      out[i] = outcome_of(cycles[i], members[i], over > 0 ? over : std::clamp(cycles[i].count(), 1, kMeanOver));
      out[i].lost = lost;
      out[i].state = !gas       ? Outcome::State::lost_gas
                     : over > 0 ? Outcome::State::repeats
                                : Outcome::State::does_not_repeat;
    }
  }
}

template <typename Real>
std::vector<Outcome> run_in_batches(std::span<const Member> members, const RunOptions& options) {
  std::vector<Outcome> out(members.size());
  constexpr size_t kLanes = flow::lanes_of<Real>();
  for (size_t at = 0; at < members.size(); at += kLanes) {
    const size_t count = std::min(kLanes, members.size() - at);
    run_side_by_side<Real>(members.subspan(at, count), options, std::span(out).subspan(at, count));
  }
  return out;
}

/// A batch takes as long as its slowest. So those that do not settle soon are put aside and run again among their like.
template <typename Real>
std::vector<Outcome> run_in(std::span<const Member> members, const RunOptions& options) {
  constexpr int kPatience = 36;
  if (members.size() <= static_cast<size_t>(flow::lanes_of<Real>()) || options.most_cycles <= kPatience)
    return run_in_batches<Real>(members, options);
  RunOptions patient = options;
  patient.most_cycles = kPatience;
  std::vector<Outcome> out = run_in_batches<Real>(members, patient);
  std::vector<size_t> which;
  std::vector<Member> slow;
  for (size_t i = 0; i < out.size(); ++i) {
    if (out[i].state != Outcome::State::does_not_repeat) continue;
    which.push_back(i);
    slow.push_back(members[i]);
  }
  const std::vector<Outcome> again = run_in_batches<Real>(slow, options);
  for (size_t i = 0; i < which.size(); ++i) out[which[i]] = again[i];
  return out;
}

}  // namespace crankwise::engine
