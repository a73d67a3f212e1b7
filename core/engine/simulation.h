// The whole engine, many members in lanes: air box, intake, cylinder, crankcase and exhaust over as many cycles as it
// takes until they repeat.
//
// All members are of one cycle (two-stroke or four-stroke) and differ in whatever else: speed, dimensions, faults. Each
// lane has its own time step and its own crank angle.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "core/engine/burning.h"
#include "core/engine/carburettor.h"
#include "core/engine/gates.h"
#include "core/engine/knock.h"
#include "core/engine/reed.h"
#include "core/engine/run.h"
#include "core/engine/scavenge.h"
#include "core/engine/totals.h"
#include "core/engine/wall_heat.h"
#include "core/flow/volume.h"
#include "core/flow/wall.h"

namespace crankwise::engine {

template <typename Real>
class Simulation {
 public:
  Simulation(std::span<const Member> members, const Cells& cells);
  /// Goes on where another with other cells stands.
  Simulation(const Simulation& from, std::span<const Member> members, const Cells& cells);

  /// One time step of every lane but those that are held.
  void step();
  /// Each lane stays where it is once it has run so many cycles.
  void hold_at(double cycles) { hold_at_ = Real(cycles); }
  /// The last whole cycle of each lane, and how many there were.
  const Totals<Real>& cycle() const { return last_; }
  Real cycles() const { return cycles_; }
  const Burning<Real>& burning() const { return burning_; }
  Real angle() const { return angle_; }
  flow::Rest<Real> cylinder() const { return cylinder_.rest(gas_); }
  flow::Rest<Real> crankcase() const { return case_.rest(gas_); }
  flow::Rest<Real> inlet() const { return cage_.rest(gas_); }
  flow::Primitive<Real> exhaust_at(int cell) const { return exhaust_.at(gas_, cell); }
  Real cylinder_m3() const { return cylinder_.m3; }
  /// Where a lane lost its gas first, and how many lanes did.
  const LostGas& lost(int lane) const { return lost_[static_cast<size_t>(lane)]; }
  int losses() const { return losses_; }

 private:
  using Rest = flow::Rest<Real>;
  using Stream = flow::Stream<Real>;
  void set(int lane, const Member&);
  void shape(int lane, const Design&);
  Rest halfway(flow::Volume<Real>& volume, Real dt) const;
  void intake(Real dt);
  void two_stroke(Real dt, const Rest& cylinder);
  void four_stroke(Real dt, const Rest& cylinder);
  void turn(Real dt);
  void wall_heat(Real dt, const Rest& cylinder);
  void look_for_losses();
  LostGas place_of_loss(int lane) const;

  bool two_;
  flow::Gas<Real> gas_;
  flow::Duct<Real> runner_, port_, transfer_, exhaust_;
  flow::Packing<Real> packing_;
  flow::Volume<Real> box_, cage_, case_, cylinder_;
  Rest around_, cage_now_;
  Crank<Real> crank_;
  ReedValve<Real> reed_;
  PortGate<Real> transfers_, exhaust_port_;
  ValveGate<Real> inlet_, exhaust_valve_;
  Burning<Real> burning_;
  Real omega_, mean_speed_, bore_m_, angle_ = 0, tail_open_;
  Real throttle_open_, box_m2_;
  Real leak_intake_, leak_case_, leak_head_, leak_rings_, leak_header_, leak_pipe_;
  Real displaces_to_, short_circuit_, out_kg_s_ = 0;
  Real new_kg_ = 0, new_fuel_ = 0, new_burned_ = 0;
  Real air_to_fuel_, lambda_wanted_, injected_kg_, fuel_h_, spray_, fuel_rho_, supply_kg_s_, vent_;
  Real by_jets_ = 0, by_map_ = 0;
  Carburettor<Real> carburettor_;
  // Smoothed: what the spray tube's place is above the air box, and the velocity head there.
  Real outlet_pa_ = 0, head_pa_ = 0, behind_pa_ = 0;
  Real octane_, knock_ = 0, shuts_rad_, opens_rad_;
  Real ideal_kg_ = 0;  // a cycle's fuel for the mixture that is wanted, by the air of the last one
  Real head_k_, piston_k_, barrel_k_, case_k_;
  Real p_ref_ = 1e5, t_ref_ = 350, v_ref_ = 1e-4;  // at the closing: Woschni
  Real cycles_ = 0, hold_at_ = 1e9;
  Totals<Real> now_, last_;
  std::array<LostGas, static_cast<size_t>(flow::lanes_of<Real>())> lost_{};
  int losses_ = 0;
};

}  // namespace crankwise::engine
