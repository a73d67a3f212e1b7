// How members become lanes.
#pragma once

#include <algorithm>
#include <cmath>

#include "core/engine/simulation.h"

namespace crankwise::engine {

template <typename Real>
Simulation<Real>::Simulation(std::span<const Member> members, const Cells& cells)
    : two_(members.front().design.cycle == Cycle::two_stroke),
      gas_(members.front().design.fuel.gas),
      runner_(cells.runner, 0.008),
      port_(two_ ? 3 : cells.port, 0.008),
      transfer_(two_ ? cells.transfer : 3, 0.01),
      exhaust_(cells.exhaust, 0.008),
      packing_(cells.exhaust) {
  for (int i = 0; i < flow::lanes_of<Real>(); ++i)
    set(i, members[std::min(static_cast<size_t>(i), members.size() - 1)]);
  const auto at_rest = [&](Real temp_k, const flow::Shares<Real>& y) {
    const Real constant = flow::charge_of(gas_, y).constant;
    return flow::Primitive<Real>{around_.p / (constant * temp_k), Real(0), around_.p, y};
  };
  const flow::Shares<Real> mixture{1.0 / (1.0 + air_to_fuel_ * 0.9), Real(0)}, burned{Real(0), Real(1)},
      air{Real(0), Real(0)};
  runner_.fill(gas_, at_rest(around_.temp_k, air));
  port_.fill(gas_, at_rest(around_.temp_k, mixture));
  transfer_.fill(gas_, at_rest(case_k_, mixture));
  exhaust_.fill(gas_, at_rest(Real(600), burned));
  packing_.fill(gas_, around_.p, burned);
  box_.fill(gas_, {around_.p, around_.temp_k, air});
  cage_.fill(gas_, {around_.p, around_.temp_k, mixture});
  ideal_kg_ = 0.8 * 1.2 * 2.0 * crank_.radius_m * crank_.piston_m2 / (air_to_fuel_ * lambda_wanted_);
  angle_ = -Real(two_ ? std::numbers::pi : 2 * std::numbers::pi) * 0.999;
  const Real drop = crank_.drop(abs(angle_));
  case_.m3 = crank_.crankcase_m3(drop);
  case_.fill(gas_, {around_.p, Real(330), mixture});
  cylinder_.m3 = crank_.cylinder_m3(drop);
  cylinder_.fill(gas_, {around_.p, Real(400), mixture});
}

template <typename Real>
Simulation<Real>::Simulation(const Simulation& from, std::span<const Member> members, const Cells& cells)
    : Simulation(from) {
  hold_at_ = Real(1e9);
  const auto finer = [](flow::Duct<Real>& duct, int count) { duct = flow::Duct<Real>(count, duct.friction()); };
  finer(runner_, cells.runner);
  finer(exhaust_, cells.exhaust);
  two_ ? finer(transfer_, cells.transfer) : finer(port_, cells.port);
  packing_.divide(cells.exhaust);
  for (int i = 0; i < flow::lanes_of<Real>(); ++i)
    shape(i, members[std::min(static_cast<size_t>(i), members.size() - 1)].design);
  runner_.take_over(gas_, from.runner_);
  exhaust_.take_over(gas_, from.exhaust_);
  two_ ? transfer_.take_over(gas_, from.transfer_) : port_.take_over(gas_, from.port_);
}

template <typename Real>
void Simulation<Real>::shape(int i, const Design& d) {
  runner_.shape(i, d.runner);
  exhaust_.shape(i, d.exhaust);
  packing_.set(i, d.exhaust, d.silencer.volume_m3, d.silencer.resistance_pa_s_m);
  const flow::Stretch unused{0.1, 0.03, 0.03, 300};
  port_.shape(i, two_ ? std::span(&unused, 1) : std::span<const flow::Stretch>(d.four.port));
  transfer_.shape(i, std::span(two_ ? &d.two.transfer : &unused, 1));
}

template <typename Real>
void Simulation<Real>::set(int i, const Member& m) {
  constexpr double kPi = std::numbers::pi;
  using flow::set_lane;
  const Design& d = m.design;
  const double omega = m.rpm / 60 * 2 * kPi, piston = kPi / 4 * d.train.bore_m * d.train.bore_m;
  set_lane(around_.p, i, m.around.p_pa);
  set_lane(around_.temp_k, i, m.around.temp_k);
  around_.y = {Real(0), Real(0)};
  set_lane(omega_, i, omega);
  set_lane(mean_speed_, i, d.train.stroke_m * m.rpm / 30);
  set_lane(bore_m_, i, d.train.bore_m);
  set_lane(crank_.radius_m, i, d.train.stroke_m / 2);
  set_lane(crank_.rod_m, i, d.train.rod_m);
  set_lane(crank_.piston_m2, i, piston);
  set_lane(crank_.clearance_m3, i, d.clearance_m3);
  set_lane(crank_.case_m3, i, d.two.case_m3);

  set_lane(box_.m3, i, d.box.volume_m3);
  const double inlet = d.box.inlet_m2, filter = d.box.filter_m2;
  set_lane(box_m2_, i, inlet * filter / std::sqrt(inlet * inlet + filter * filter + 1e-18));
  shape(i, d);
  const double narrower = d.throttle.bore_m > 0 ? std::min(d.throttle.bore_m / d.runner.back().to_m, 1.0) : 1;
  set_lane(throttle_open_, i, d.throttle.open * narrower * narrower);
  set_lane(cage_.m3, i, two_ ? d.two.cage_m3 : d.four.body_m3);
  set_lane(tail_open_, i, d.tail_open);

  // Where the cylinder shuts: before top dead centre, its exhaust port or its inlet valves.
  double shuts = -kPi + d.four.inlet.closes_rad;
  if (two_) {
    reed_.set(i, d.two.reed);
    transfers_.set(i, d.two.transfer_port, d.train, d.two.transfer_port.opens_rad);
    const ExhaustValve& v = d.two.exhaust_valve;
    const double up = v.fitted ? std::clamp((m.rpm - v.rises_rpm) / (v.up_rpm - v.rises_rpm), 0.0, 1.0) : 1;
    const double opens = v.fitted ? v.low_opens_rad + up * (d.two.exhaust_port.opens_rad - v.low_opens_rad)
                                  : d.two.exhaust_port.opens_rad;
    exhaust_port_.set(i, d.two.exhaust_port, d.train, opens);
    shuts = -opens;
    set_lane(displaces_to_, i, d.two.scavenging.displaced);
    set_lane(short_circuit_, i, d.two.scavenging.short_circuit);
  } else {
    const Valve &in = d.four.inlet, &ex = d.four.exhaust;
    inlet_.set(i, in, 2 * kPi - in.opens_rad, kPi + in.opens_rad + in.closes_rad);
    exhaust_valve_.set(i, ex, kPi - ex.opens_rad, kPi + ex.opens_rad + ex.closes_rad);
  }

  set_lane(shuts_rad_, i, shuts);
  set_lane(opens_rad_, i, two_ ? -shuts : kPi - d.four.exhaust.opens_rad);
  set_lane(burning_.spark_rad, i, -d.burn.spark_rad.at(m.rpm));
  set_lane(burning_.duration_rad, i, d.burn.duration_rad);
  set_lane(burning_.turns_per_s, i, m.rpm / 60);
  set_lane(burning_.shape, i, d.burn.shape);
  set_lane(burning_.efficiency, i, d.burn.efficiency);
  set_lane(burning_.strength, i, d.burn.spark);
  set_lane(burning_.missing, i, d.burn.limit_rpm > 0 && m.rpm > d.burn.limit_rpm ? 1 : d.burn.missing);
  set_lane(octane_, i, d.fuel.octane);
  set_lane(burning_.air_to_fuel, i, d.fuel.air_to_fuel);
  set_lane(burning_.heat_j_kg, i, d.fuel.heat_j_kg);

  const Mixture& x = d.mixture;
  set_lane(air_to_fuel_, i, d.fuel.air_to_fuel);
  set_lane(lambda_wanted_, i, x.lambda);
  set_lane(by_jets_, i, x.by == Fuelling::carburettor ? 1 : 0);
  set_lane(by_map_, i, x.by == Fuelling::injection ? 1 : 0);
  // The box goes by the air's pressure and temperature.
  const double denser = m.around.p_pa / kMappedPa * kMappedK / m.around.temp_k;
  set_lane(injected_kg_, i, x.by == Fuelling::injection ? x.injected_kg.at(m.rpm) * x.injected_share * denser : 0);
  set_lane(supply_kg_s_, i, x.supply_kg_s);
  set_lane(vent_, i, x.jets.vent);
  const CarburettorJets& jets = x.jets;
  const auto circuit = [&](FuelCircuit<Real>& c, double jet_m2, double ring_m2, double bleed_m2) {
    for (Real* cd : {&c.jet_cd, &c.ring_cd, &c.bleed_cd}) set_lane(*cd, i, 1);  // it is in the areas
    set_lane(c.jet_m2, i, jet_m2);
    set_lane(c.ring_m2, i, ring_m2);
    set_lane(c.bleed_m2, i, bleed_m2);
    set_lane(c.lip_m, i, jets.lip_m);
  };
  circuit(carburettor_.main, jets.main_m2, jets.needle_m2, jets.bleed_m2);
  circuit(carburettor_.pilot, jets.pilot_m2, 4 * jets.pilot_m2, 0);
  set_lane(spray_, i, x.jets.spray);
  set_lane(fuel_rho_, i, d.fuel.density_kg_m3);
  // Half of it evaporates from warm walls, half takes its heat from the air (from memory).
  const thermo::LinearGas& vapour = d.fuel.gas.fuel;
  const double t = m.around.temp_k;
  set_lane(
      fuel_h_, i,
      t * (vapour.cv0_j_kg_k + vapour.cv1_j_kg_k2 * t / 2 + vapour.constant_j_kg_k) - 0.5 * d.fuel.evaporation_j_kg);

  set_lane(leak_intake_, i, d.leaks.intake_m2);
  set_lane(leak_case_, i, d.leaks.case_m2);
  set_lane(leak_head_, i, d.leaks.head_m2);
  set_lane(leak_rings_, i, d.leaks.rings_m2);
  set_lane(leak_header_, i, d.leaks.header_m2);
  set_lane(leak_pipe_, i, d.leaks.pipe_m2);
  set_lane(head_k_, i, d.walls.head_k);
  set_lane(piston_k_, i, d.walls.piston_k);
  set_lane(barrel_k_, i, d.walls.barrel_k);
  set_lane(case_k_, i, d.walls.case_k);
}

}  // namespace crankwise::engine
