// One time step of the whole engine.
#pragma once

#include "core/engine/simulation.h"

namespace crankwise::engine {

/// Cycles that it comes firing: with the mixture that it should have, and whatever there is burns, until the pipe is
/// full of burned gas and the jets feel their flow. A state that fires is found so if there is one.
inline constexpr double kComesFiring = 6;

template <typename Real>
void Simulation<Real>::step() {
  Real dt = min(runner_.crossing_s(), exhaust_.crossing_s());
  dt = min(dt, two_ ? transfer_.crossing_s() : port_.crossing_s()) * 0.85;
  dt = min(dt, Real(std::numbers::pi / 180) / omega_);
  dt = select(cycles_ < hold_at_, dt, Real(0));
  const Rest cylinder = halfway(cylinder_, dt);
  intake(dt);
  if (two_)
    two_stroke(dt, cylinder);
  else
    four_stroke(dt, cylinder);
  cylinder_.give(flow::through_hole(gas_, cylinder, around_, leak_head_), dt);
  packing_.exchange(gas_, exhaust_, dt);
  // At the header's joint, which lies in the second cell, and halfway down the pipe.
  if (flow::any(leak_header_ + leak_pipe_ > Real(0))) {
    flow::hole_in_wall(gas_, exhaust_, 1, around_, leak_header_, dt);
    flow::hole_in_wall(gas_, exhaust_, exhaust_.cells() / 2, around_, leak_pipe_, dt);
  }
  wall_heat(dt, cylinder);
  turn(dt);
  look_for_losses();
}

/// Not a number is never above 0.
template <typename Real>
void Simulation<Real>::look_for_losses() {
  Real least = Real(1);
  const auto sound = [&](Real x) { least = select(x > Real(0), least, Real(-1)); };
  for (const auto* d : {&runner_, &exhaust_, two_ ? &transfer_ : &port_}) sound(d->least());
  for (const auto* v : {&box_, &cage_, &cylinder_, two_ ? &case_ : &box_}) {
    sound(v->mass);
    sound(v->energy);
  }
  if (!flow::any(least < Real(0))) return;
  for (int i = 0; i < flow::lanes_of<Real>(); ++i) {
    LostGas& lost = lost_[static_cast<size_t>(i)];
    if (flow::lane(least, i) > 0 || lost.place != LostGas::Place::nowhere) continue;
    lost = place_of_loss(i);
    lost.crank_rad = flow::lane(angle_, i);
    lost.cycle = static_cast<int>(flow::lane(cycles_, i)) + 1;
    ++losses_;
  }
}

template <typename Real>
LostGas Simulation<Real>::place_of_loss(int i) const {
  using Place = LostGas::Place;
  const auto gone = [&](const Real& x) { return !(flow::lane(x, i) > 0); };
  // A duct tells a step late, when the vessel at its end may have drawn from the lost cell: so the ducts first.
  const auto in = [&](const flow::Duct<Real>& d, Place place) -> LostGas {
    const double length = flow::lane(d.length(), i);
    for (int c = 0; c < d.cells(); ++c) {
      const auto& s = d.cell(c);
      if (gone(s.rho) || gone(s.energy - 0.5 * s.momentum * s.momentum / s.rho))
        return {.place = place, .at_m = length * (c + 0.5) / d.cells()};
    }
    return {.place = place, .at_m = length / 2};
  };
  if (gone(exhaust_.least())) return in(exhaust_, Place::exhaust);
  if (gone(runner_.least())) return in(runner_, Place::runner);
  if (two_ && gone(transfer_.least())) return in(transfer_, Place::transfer);
  if (!two_ && gone(port_.least())) return in(port_, Place::port);
  const auto volume = [&](const flow::Volume<Real>& v) { return gone(v.mass) || gone(v.energy); };
  if (volume(cylinder_)) return {.place = Place::cylinder};
  if (two_ && volume(case_)) return {.place = Place::crankcase};
  return {.place = volume(box_) ? Place::air_box : Place::inlet};
}

/// The state of a volume that all flows of this step see.
template <typename Real>
flow::Rest<Real> Simulation<Real>::halfway(flow::Volume<Real>& volume, Real dt) const {
  const Rest rest = volume.rest_halfway(gas_, dt);
  volume.begin(dt);
  return rest;
}

template <typename Real>
void Simulation<Real>::intake(Real dt) {
  const Rest box = halfway(box_, dt), cage = cage_now_ = halfway(cage_, dt);
  const Stream in = flow::through_hole(gas_, around_, box, box_m2_);
  const auto left = flow::through_end(gas_, runner_.left_end(gas_, dt), runner_.left_area(), Real(0.97), box);
  const auto right = flow::through_end(gas_, runner_.right_end(gas_, dt), runner_.right_area(), throttle_open_, cage);
  box_.take(in, dt);
  box_.take(left.out, dt);
  runner_.step(gas_, dt, left.out, right.out);
  cage_.take(right.out, dt);
  const Stream leak = flow::through_hole(gas_, around_, cage, leak_intake_);
  cage_.take(leak, dt);

  // Fuel. The pressure at the spray tube is smoothed by the fuel's own inertia in jets and passages: a column
  // that counts as 10 mm of the jet's own bore, at 1.6 m/s. The hood of the spray tube stands against the stream: air
  // that is blown back presses where it else draws. A vent that is blocked lets the bowl follow the outlet instead of
  // the air box.
  constexpr double kLagS = 0.006;
  const Real air_rho = around_.p / (gas_.air.constant * around_.temp_k), lag = min(dt * (1.0 / kLagS), Real(1));
  outlet_pa_ += (right.p - box.p - outlet_pa_) * lag;
  // In the gap under the slide, which is narrower than the runner's end.
  const Real gap_m_s = right.u / max(throttle_open_, Real(0.05));
  head_pa_ += (with_sign(venturi_drop_pa(air_rho, gap_m_s), right.u) - head_pa_) * lag;
  behind_pa_ += (cage.p - box.p - behind_pa_) * lag;
  const Real main_outlet = outlet_pa_ - spray_ * head_pa_;
  const auto drawn = [&](const FuelCircuit<Real>& circuit, Real outlet) {
    return circuit_fuel_kg_s(circuit, {}, Bowl<Real>{vent_ * (-outlet) + outlet, Real(0), fuel_rho_}, outlet, air_rho);
  };
  const Real drawn_now = drawn(carburettor_.main, main_outlet) + drawn(carburettor_.pilot, behind_pa_);
  const Real full = Real(two_ ? 2 * std::numbers::pi : 4 * std::numbers::pi);
  const Real mapped = injected_kg_ * omega_ / full;
  const Real air = right.out.mass - right.out.fuel - right.out.burned;
  const Real ideal = max(ideal_kg_, Real(0)) * omega_ / full;
  const Real jets = select(cycles_ < Real(kComesFiring), ideal, drawn_now);
  const Real flow = min(by_jets_ * jets + by_map_ * mapped + (1.0 - by_jets_ - by_map_) * ideal, supply_kg_s_);
  cage_.take({flow, Real(0), flow * fuel_h_, flow, Real(0)}, dt);
  now_.fuel_kg += flow * dt;
  now_.air_kg += air * dt;
}

template <typename Real>
void Simulation<Real>::two_stroke(Real dt, const Rest& cylinder) {
  const Real drop = crank_.drop(abs(angle_ + 0.5 * dt * omega_));
  const Rest &cage = cage_now_, below = halfway(case_, dt);
  const Stream through_reed = flow::through_hole(gas_, cage, below, reed_.area_m2());
  cage_.give(through_reed, dt);
  case_.take(through_reed, dt);
  reed_.move(cage.p - below.p, dt);
  case_.take(flow::through_hole(gas_, around_, below, leak_case_), dt);
  const Stream past_rings = flow::through_hole(gas_, cylinder, below, leak_rings_);
  cylinder_.give(past_rings, dt);
  case_.take(past_rings, dt);

  const auto from_case = flow::through_end(gas_, transfer_.left_end(gas_, dt), transfer_.left_area(), Real(0.9), below);
  const Real port = min(transfers_.area_m2(drop) / transfer_.right_area(), Real(1));
  const auto to_cylinder =
      flow::through_end(gas_, transfer_.right_end(gas_, dt), transfer_.right_area(), port, cylinder);
  case_.take(from_case.out, dt);
  transfer_.step(gas_, dt, from_case.out, to_cylinder.out);

  const Real fresh_share = min(max(new_kg_ / cylinder_.mass, Real(0)), Real(1));
  const Real in_over_out = max(to_cylinder.out.mass, Real(0)) / max(out_kg_s_, Real(1e-4));
  const LeavingGas<Real> gas = leaving_gas(displaces_to_, short_circuit_, fresh_share, in_over_out);
  const Real fresh = gas.entering + gas.mixed * fresh_share;
  const Real new_kg = max(new_kg_, Real(1e-12)), old_kg = max(cylinder_.mass - new_kg_, Real(1e-9));
  const auto share = [&](Real part_new, Real part) {
    const Real of_new = part_new / new_kg, of_old = max(part - part_new, Real(0)) / old_kg;
    return fresh * of_new + (1.0 - fresh) * of_old;
  };
  Rest leaving = cylinder;
  leaving.y = {min(share(new_fuel_, cylinder_.fuel), Real(1)), min(share(new_burned_, cylinder_.burned), Real(1))};
  const Real exhaust_open = min(exhaust_port_.area_m2(drop) / exhaust_.left_area(), Real(1));
  const auto exhaust =
      flow::through_end(gas_, exhaust_.left_end(gas_, dt), exhaust_.left_area(), exhaust_open, leaving);
  const auto tail = flow::through_end(gas_, exhaust_.right_end(gas_, dt), exhaust_.right_area(), tail_open_, around_);
  exhaust_.step(gas_, dt, exhaust.out, tail.out);

  const Real out = max(-exhaust.out.mass, Real(0)) * dt;
  new_kg_ = max(new_kg_ + to_cylinder.out.mass * dt - fresh * out, Real(0));
  new_fuel_ = max(new_fuel_ + to_cylinder.out.fuel * dt - fresh * out * new_fuel_ / new_kg, Real(0));
  new_burned_ = max(new_burned_ + to_cylinder.out.burned * dt - fresh * out * new_burned_ / new_kg, Real(0));
  out_kg_s_ = select(dt > Real(0), max(-exhaust.out.mass, Real(0)), out_kg_s_);
  cylinder_.take(to_cylinder.out, dt);
  cylinder_.take(exhaust.out, dt);
  now_.lost_fuel_kg -= exhaust.out.fuel * dt;
  now_.exhaust_kg += out;
  now_.exhaust_k += out * cylinder.temp_k;
}

template <typename Real>
void Simulation<Real>::four_stroke(Real dt, const Rest& cylinder) {
  const Real angle = angle_ + 0.5 * dt * omega_ + select(angle_ < Real(0), Real(4 * std::numbers::pi), Real(0));
  const Rest& body = cage_now_;
  const auto from_body = flow::through_end(gas_, port_.left_end(gas_, dt), port_.left_area(), Real(0.97), body);
  const Real inlet = min(inlet_.area_m2(angle) / port_.right_area(), Real(1));
  const auto in = flow::through_end(gas_, port_.right_end(gas_, dt), port_.right_area(), inlet, cylinder);
  cage_.take(from_body.out, dt);
  port_.step(gas_, dt, from_body.out, in.out);
  const Real open = min(exhaust_valve_.area_m2(angle) / exhaust_.left_area(), Real(1));
  const auto exhaust = flow::through_end(gas_, exhaust_.left_end(gas_, dt), exhaust_.left_area(), open, cylinder);
  const auto tail = flow::through_end(gas_, exhaust_.right_end(gas_, dt), exhaust_.right_area(), tail_open_, around_);
  exhaust_.step(gas_, dt, exhaust.out, tail.out);
  cylinder_.give(flow::through_hole(gas_, cylinder, around_, leak_rings_), dt);
  cylinder_.take(in.out, dt);
  cylinder_.take(exhaust.out, dt);
  const Real out = max(-exhaust.out.mass, Real(0)) * dt;
  now_.lost_fuel_kg -= exhaust.out.fuel * dt;
  now_.exhaust_kg += out;
  now_.exhaust_k += out * cylinder.temp_k;
}

template <typename Real>
void Simulation<Real>::wall_heat(Real dt, const Rest& cylinder) {
  const Real drop = crank_.drop(abs(angle_));
  const auto closed =
      select(angle_ > shuts_rad_, Real(1), Real(0)) * select(angle_ < opens_rad_, Real(1), Real(0)) > Real(0);
  const auto burning = angle_ > burning_.spark_rad;
  const MotoredState<Real> motored{2.0 * crank_.radius_m * crank_.piston_m2, v_ref_, t_ref_, p_ref_,
                                   p_ref_ * pow(v_ref_ / cylinder_.m3, Real(1.33))};
  const Real c1 = select(closed, Real(kWoschniClosed), Real(kWoschniGasExchange));
  const Real c2 = select(closed, select(burning, Real(kWoschniBurning), Real(0)), Real(0));
  const Real h =
      woschni_w_m2_k(bore_m_, cylinder.p, cylinder.temp_k, woschni_gas_m_s(c1, mean_speed_, c2, cylinder.p, motored));
  const Real barrel = std::numbers::pi * bore_m_ * (drop + 0.002);
  const Real watts = h * (crank_.piston_m2 * (1.2 * (head_k_ - cylinder.temp_k) + (piston_k_ - cylinder.temp_k)) +
                          barrel * (barrel_k_ - cylinder.temp_k));
  cylinder_.energy += watts * dt;
  now_.heat_j -= watts * dt;
}

template <typename Real>
void Simulation<Real>::turn(Real dt) {
  const double half = two_ ? std::numbers::pi : 2 * std::numbers::pi;
  const Real before = angle_, after = angle_ + omega_ * dt;
  // The cylinder shuts: what Woschni and the end gas go by.
  const auto compressing = select(before < shuts_rad_, after, Real(-100)) >= shuts_rad_;
  const auto sparks = select(before < burning_.spark_rad, after, Real(-100)) >= burning_.spark_rad;
  const Rest before_spark = cylinder_.rest(gas_);
  burning_.spark(sparks, cycles_ < Real(kComesFiring), burning_.spark_rad, cylinder_, before_spark);
  new_kg_ = select(sparks, Real(0), new_kg_);
  new_fuel_ = select(sparks, Real(0), new_fuel_);
  new_burned_ = select(sparks, Real(0), new_burned_);
  now_.lambda = select(sparks, burning_.lambda, now_.lambda);
  now_.residual = select(sparks, burning_.residual, now_.residual);
  now_.misfire = select(sparks, burning_.misfire, now_.misfire);
  // The end gas is compressed with the rest: from the state at the reference on, as if without heat.
  const Real share = burning_.burn(after, cylinder_);
  const Real end_gas_k = t_ref_ * pow(before_spark.p / p_ref_, Real(0.26));
  // Until the spark all of it waits; what burned is of the last cycle then.
  const Real gone = select(after < burning_.spark_rad, Real(0), share);
  const auto waits = select(after > shuts_rad_, gone, Real(2)) < Real(0.95);
  knock_ += select(waits, induction_rate(octane_, before_spark.p, end_gas_k), Real(0)) * dt;
  now_.knock = knock_;
  const Real drop = crank_.drop(min(abs(after), Real(2 * std::numbers::pi)));
  now_.work_j += cylinder_.resize(gas_, crank_.cylinder_m3(drop));
  if (two_) now_.case_work_j += case_.resize(gas_, crank_.crankcase_m3(drop));
  const Rest gas = cylinder_.rest(gas_);
  now_.most_pa = max(now_.most_pa, gas.p);
  p_ref_ = select(compressing, gas.p, p_ref_);
  t_ref_ = select(compressing, gas.temp_k, t_ref_);
  v_ref_ = select(compressing, cylinder_.m3, v_ref_);
  const auto over = after > Real(half);
  angle_ = select(over, after - 2.0 * half, after);
  if (!flow::any(over)) return;
  // In the lanes whose cycle is over.
  ideal_kg_ = select(over, 0.5 * (ideal_kg_ + now_.air_kg / (air_to_fuel_ * lambda_wanted_)), ideal_kg_);
  cycles_ += select(over, Real(1), Real(0));
  knock_ = select(over, Real(0), knock_);
  for (auto part : Totals<Real>::parts()) {
    last_.*part = select(over, now_.*part, last_.*part);
    now_.*part = select(over, Real(0), now_.*part);
  }
}

}  // namespace crankwise::engine
