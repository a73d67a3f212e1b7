// What passes through a duct's wall: a hole in it, and the packing round a perforated tube.
//
// Packing lets gas through slowly, by Darcy's law: speed through the wall = difference of pressure / resistance. Air
// pulses lose their energy in it while the steady flow in the tube does not see it, which is how an absorption silencer
// works. The wool keeps the gas within it as warm as itself.
#pragma once

#include <algorithm>
#include <vector>

#include "core/flow/duct.h"
#include "core/flow/volume.h"

namespace crankwise::flow {

/// What leaves a cell through its wall during dt_s; what comes in brings no momentum along the duct.
template <typename Real>
void out_of_cell(Duct<Real>& duct, int cell, const Stream<Real>& out, Real dt_s) {
  Conserved<Real>& c = duct.cell(cell);
  const Real share = dt_s / duct.cell_volume(cell), u = c.momentum / c.rho;
  const Real leaves = max(out.mass, Real(0));
  c.rho -= share * out.mass;
  c.momentum -= share * leaves * u;
  c.energy -= share * (out.energy + 0.5 * leaves * u * u);
  c.fuel -= share * out.fuel;
  c.burned -= share * out.burned;
}

/// The gas of a cell as if at rest.
template <typename Real>
Rest<Real> cell_at_rest(const Gas<Real>& gas, const Duct<Real>& duct, int cell) {
  const Primitive<Real> w = duct.at(gas, cell);
  return {w.p, w.p / (w.rho * charge_of(gas, w.y).constant), w.y};
}

template <typename Real>
void hole_in_wall(const Gas<Real>& gas, Duct<Real>& duct, int cell, const Rest<Real>& outside, Real area_m2,
                  Real dt_s) {
  out_of_cell(duct, cell, through_hole(gas, cell_at_rest(gas, duct, cell), outside, area_m2), dt_s);
}

template <typename Real>
class Packing {
 public:
  explicit Packing(int cells) : wall_m2_(static_cast<size_t>(cells), Real(0)), first_(cells) {}

  /// Other cells; set() must follow for each member.
  void divide(int cells) {
    wall_m2_.assign(static_cast<size_t>(cells), Real(0));
    first_ = cells;
  }
  /// Round the last stretch of a duct. volume_m3 0: there is none. resistance_pa_s_m: of perforation and wool together.
  void set(int member, std::span<const Stretch> duct, double volume_m3, double resistance_pa_s_m) {
    set_lane(volume_.m3, member, volume_m3 > 0 ? volume_m3 : 1);
    set_lane(resistance_, member, resistance_pa_s_m);
    set_lane(wool_k_, member, duct.back().wall_k);
    if (volume_m3 <= 0) return;
    double length = 0;
    for (const Stretch& s : duct) length += s.length_m;
    const auto n = static_cast<double>(wall_m2_.size());
    const double dx = length / n, begins = length - duct.back().length_m;
    const double around_m = 1.5707963267948966 * (duct.back().from_m + duct.back().to_m);
    for (size_t i = 0; i < wall_m2_.size(); ++i) {
      const double covered = std::clamp(dx * static_cast<double>(i + 1) - begins, 0.0, dx);
      set_lane(wall_m2_[i], member, covered * around_m);
      if (covered > 0) first_ = std::min(first_, static_cast<int>(i));
    }
  }
  void fill(const Gas<Real>& gas, Real p, const Shares<Real>& y) { volume_.fill(gas, {p, wool_k_, y}); }
  const Volume<Real>& volume() const { return volume_; }

  void exchange(const Gas<Real>& gas, Duct<Real>& duct, Real dt_s) {
    if (first_ == static_cast<int>(wall_m2_.size())) return;
    const Rest<Real> in = volume_.rest(gas);
    const Charge<Real> charge = charge_of(gas, in.y);
    const Real rho = in.p / (charge.constant * in.temp_k), h = charge.enthalpy(in.temp_k);
    Real packed = 0;  // what the packed cells hold to what the packing does
    for (int i = first_; i < static_cast<int>(wall_m2_.size()); ++i)
      packed += select(wall_m2_[static_cast<size_t>(i)] > Real(0), duct.cell_volume(i), Real(0));
    packed = packed / volume_.m3;
    for (int i = first_; i < static_cast<int>(wall_m2_.size()); ++i) {
      const Real wall = wall_m2_[static_cast<size_t>(i)];
      const Primitive<Real> w = duct.at(gas, i);
      // No more than evens the two out within the step, all cells together: stable whatever the resistance.
      const Real stiff = 1.4 * w.p * wall * dt_s / (resistance_ * duct.cell_volume(i));
      const Real through = wall * (w.p - in.p) / (resistance_ * (1.0 + stiff * (1.0 + packed)));  // m3/s
      const auto outwards = through > Real(0);
      const auto pick = [&](Real a, Real b) { return select(outwards, a, b); };
      const Charge<Real> here = charge_of(gas, w.y);
      const Real mass = through * pick(w.rho, rho);
      const Stream<Real> s{mass, Real(0), mass * pick(here.enthalpy(w.p / (w.rho * here.constant)), h),
                           mass * pick(w.y.fuel, in.y.fuel), mass * pick(w.y.burned, in.y.burned)};
      out_of_cell(duct, i, s, dt_s);
      volume_.take(s, dt_s);
    }
    const Shares<Real> y{volume_.fuel / volume_.mass, volume_.burned / volume_.mass};
    volume_.energy = volume_.mass * charge_of(gas, y).energy(wool_k_);
  }

 private:
  std::vector<Real> wall_m2_;  // of each cell, within the packing
  int first_;                  // cell with any
  Real resistance_ = 1, wool_k_ = 300;
  Volume<Real> volume_;
};

}  // namespace crankwise::flow
