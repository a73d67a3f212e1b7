// run() for one kind of lanes; each kind is compiled in a file of its own, for its own kind of machine.
#pragma once

#include <algorithm>
#include <cmath>

#include "core/engine/run.h"
#include "core/engine/simulation_set.h"
#include "core/engine/simulation_step.h"

namespace crankwise::engine {

template <typename Real>
Outcome outcome_of(const Simulation<Real>& s, int lane, const Member& m) {
  const Design& d = m.design;
  const auto of = [lane](const Real& x) { return flow::lane(x, lane); };
  const Totals<Real>& t = s.cycle();
  const double swept = displacement_m3(d.train.bore_m, d.train.stroke_m), speed = d.train.stroke_m * m.rpm / 30;
  const double per_s = m.rpm / 60 / (d.cycle == Cycle::two_stroke ? 1 : 2);
  Outcome o;
  o.rpm = m.rpm;
  o.cycles = static_cast<int>(of(s.cycles()));
  o.imep_pa = of(t.work_j) / swept;
  o.pumping_pa = of(t.case_work_j) / swept;
  o.peak_pa = of(t.most_pa);
  const Friction& f = d.friction;
  o.fmep_pa = f.constant_pa + f.per_pmax * o.peak_pa + f.per_m_s_pa * speed + f.per_m2_s2_pa * speed * speed;
  o.bmep_pa = o.imep_pa + o.pumping_pa - o.fmep_pa;
  o.power_w = o.bmep_pa * swept * per_s;
  o.torque_nm = o.power_w / (m.rpm / 60 * 2 * std::numbers::pi);
  o.delivery_ratio = of(t.air_kg) / (m.around.p_pa / (d.fuel.gas.air.constant_j_kg_k * m.around.temp_k) * swept);
  o.lambda = of(s.burning().lambda);
  o.residual = of(s.burning().residual);
  o.misfire = of(s.burning().misfire);
  o.fuel_kg_s = of(t.fuel_kg) * per_s;
  o.bsfc_kg_j = o.power_w > 0 ? o.fuel_kg_s / o.power_w : 0;
  o.lost_fuel = of(t.fuel_kg) > 0 ? of(t.lost_fuel_kg) / of(t.fuel_kg) : 0;
  o.exhaust_k = of(t.exhaust_kg) > 0 ? of(t.exhaust_k) / of(t.exhaust_kg) : 0;
  o.wall_w = of(t.heat_j) * per_s;
  return o;
}

/// As many members as there are lanes, or fewer.
template <typename Real>
void run_side_by_side(std::span<const Member> members, const RunOptions& options, std::span<Outcome> out) {
  Simulation<Real> s(members, options.cells);
  const int count = static_cast<int>(members.size());
  std::array<int, flow::lanes_of<Real>()> seen{}, alike{};
  std::array<bool, flow::lanes_of<Real>()> done{};
  for (int left = count; left > 0;) {
    const Real before = s.cycles();
    s.step();
    if (!flow::any(s.cycles() > before)) continue;
    for (int i = 0; i < count; ++i) {
      const auto n = static_cast<size_t>(i);
      const int cycles = static_cast<int>(flow::lane(s.cycles(), i));
      if (done[n] || cycles == seen[n]) continue;
      seen[n] = cycles;
      const double change = flow::lane(s.change(), i);
      alike[n] = change < options.within ? alike[n] + 1 : 0;
      // Not a number fails every comparison.
      const bool gas = flow::lane(s.least(), i) > 0 && change >= 0;
      const bool repeats = cycles >= options.least_cycles && alike[n] >= 2;
      if (gas && !repeats && cycles < options.most_cycles) continue;
      done[n] = true;
      --left;
      out[n] = outcome_of(s, i, members[n]);
      out[n].state = !gas      ? Outcome::State::lost_gas
                     : repeats ? Outcome::State::repeats
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
