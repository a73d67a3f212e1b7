#include "core/engine/trace.h"

#include <numbers>

#include "core/engine/run_lanes.h"

namespace crankwise::engine {

Trace trace(const Member& member, const RunOptions& options) {
  const std::span<const Member> one(&member, 1);
  Simulation<double> s(on_half_the_cells<double>(one, options), one, options.cells);
  Cycles cycles;
  Trace out;
  // Until it repeats, then one cycle more.
  while (out.state == Outcome::State::does_not_repeat && cycles.count() < options.most_cycles) {
    const double before = s.cycles();
    s.step();
    if (s.losses() > 0) break;
    if (s.cycles() <= before) continue;
    cycles.add(s.cycle(), 0);
    if (cycles.settled(options) > 0) out.state = Outcome::State::repeats;
  }
  constexpr double kDegree = std::numbers::pi / 180;
  double last = -100;
  for (const double before = s.cycles(); s.cycles() <= before && s.losses() == 0;) {
    s.step();
    if (s.angle() - last < kDegree) continue;
    last = s.angle();
    const auto cylinder = s.cylinder();
    const auto pipe = s.exhaust_at(1);
    out.at.push_back({.crank_rad = s.angle(),
                      .cylinder_m3 = s.cylinder_m3(),
                      .cylinder_pa = cylinder.p,
                      .cylinder_k = cylinder.temp_k,
                      .crankcase_pa = s.crankcase().p,
                      .exhaust_port_pa = pipe.p,
                      .exhaust_m_s = pipe.u,
                      .inlet_pa = s.inlet().p});
  }
  if (s.losses() > 0) return {.state = Outcome::State::lost_gas, .lost = s.lost(0), .at = {}};
  return out;
}

}  // namespace crankwise::engine
