// Unsteady flow in one duct whose area changes along it.
//
// Finite volumes, second order: slopes held by the limiter MC (van Leer 1977), each cell taken half a step on, then one
// Riemann problem at each face (MUSCL-Hancock; Toro, chapters 13 and 14). Wall friction by Fanning's factor, heat by
// Reynolds' analogy. At rest in a duct of any shape nothing moves. One pass over the cells.
#pragma once

#include <algorithm>
#include <cassert>
#include <span>
#include <utility>
#include <vector>

#include "core/flow/opening.h"

namespace crankwise::flow {

/// One member's duct: a stretch between two diameters.
struct Stretch {
  double length_m = 0, from_m = 0, to_m = 0;
  double wall_k = 300;
};

/// All members of an ensemble have the same number of cells in a duct; everything else may differ.
template <typename Real>
class Duct {
 public:
  /// `friction`: Fanning's factor, 0.004 to 0.01 in smooth metal (Moody's chart).
  Duct(int cells, double friction)
      : friction_(friction),
        faces_(static_cast<size_t>(cells) + 1),
        cells_(static_cast<size_t>(cells)),
        state_(cells_.size()) {
    assert(cells >= 3);
  }

  /// `member` is of this shape; lengths and diameters above 0.
  void shape(int member, std::span<const Stretch> stretches);
  void fill(const Gas<Real>& gas, const Primitive<Real>& w) {
    for (auto& c : state_) c = conserved_of(gas, w);
    const Side<Real> side = side_of(gas, w);
    speed_ = abs(w.u) + side.sound;
    least_ = 1;
  }

  /// What is in another duct of the same shape but other cells.
  void take_over(const Gas<Real>& gas, const Duct& from) {
    const double ratio = static_cast<double>(from.cells()) / static_cast<double>(cells());
    speed_ = 1, least_ = from.least_;
    for (size_t i = 0; i < state_.size(); ++i) {
      // Between the middles of the other's cells, straight lines of what is per volume.
      const double place = std::clamp((static_cast<double>(i) + 0.5) * ratio - 0.5, 0.0, from.cells() - 1.0);
      const int low = std::min(static_cast<int>(place), from.cells() - 2);
      const double part = place - low;
      const Conserved<Real>&a = from.cell(low), &b = from.cell(low + 1);
      const auto mix = [&](Real x, Real y) { return x * (1 - part) + y * part; };
      state_[i] = {mix(a.rho, b.rho), mix(a.momentum, b.momentum), mix(a.energy, b.energy), mix(a.fuel, b.fuel),
                   mix(a.burned, b.burned)};
      const Primitive<Real> w = primitive_of(gas, state_[i]);
      speed_ = max(speed_, abs(w.u) + side_of(gas, w).sound);
    }
  }

  int cells() const { return static_cast<int>(cells_.size()); }
  double friction() const { return friction_; }
  Real length() const { return dx_ * static_cast<double>(cells()); }
  Real left_area() const { return faces_.front(); }
  Real right_area() const { return faces_.back(); }
  Real face_area(int face) const { return faces_[static_cast<size_t>(face)]; }
  Real cell_volume(int cell) const { return 1.0 / cells_[static_cast<size_t>(cell)].per_volume; }
  const Conserved<Real>& cell(int i) const { return state_[static_cast<size_t>(i)]; }
  Conserved<Real>& cell(int i) { return state_[static_cast<size_t>(i)]; }
  /// The same in all lanes of a gas.
  Primitive<Real> at(const Gas<Real>& gas, int i) const { return primitive_of(gas, cell(i)); }

  /// Seconds that a wave takes through a cell, at the speeds of the last step.
  Real crossing_s() const { return dx_ / speed_; }
  /// The gas at the ends, half a step on; u outwards.
  Primitive<Real> left_end(const Gas<Real>& gas, Real dt_s) const;
  Primitive<Real> right_end(const Gas<Real>& gas, Real dt_s) const;
  /// One step. `left`, `right`: what goes out there, as through_end() gives it.
  void step(const Gas<Real>& gas, Real dt_s, const Stream<Real>& left, const Stream<Real>& right);
  /// The least of density and internal energy, in their usual sizes, that a step has started from since fill(). Not
  /// above 0, and for good, once a lane held a state that cannot be (no number is one); the next step shows it.
  Real least() const { return least_; }

 private:
  struct Cell {
    Real per_volume;  // 1 / m3
    Real widening;    // (right area - left area) / volume: d ln A / dx
    Real roughness;   // 2 f / D
    Real wall_k;
  };
  struct Halves {
    Primitive<Real> left, right, middle;
  };
  /// `half`: half a step over dx. `volume`: 1 / rho here.
  void halve(const Cell& c, Real half, const Primitive<Real>& before, const Primitive<Real>& here,
             const Primitive<Real>& after, Real volume, Real gamma, Halves* to) const;
  static Primitive<Real> beyond(const Primitive<Real>& end, const Primitive<Real>& next);

  static Primitive<Real> beyond(const Primitive<Real>& end, const Primitive<Real>& next, const Primitive<Real>& third);

  double friction_;
  Real dx_ = 1, speed_ = 1, least_ = 1;
  std::vector<Real> faces_;
  std::vector<Cell> cells_;
  std::vector<Conserved<Real>> state_;
};

template <typename Real>
CRANKWISE_INLINE Real limited(Real a, Real b) {
  const Real both = a + b, size = min(2.0 * min(abs(a), abs(b)), 0.5 * abs(both));
  return select(a * b > Real(0), with_sign(size, both), Real(0));
}

template <typename Real>
void Duct<Real>::shape(int member, std::span<const Stretch> stretches) {
  double length = 0;
  for (const Stretch& s : stretches) length += s.length_m;
  const double dx = length / static_cast<double>(cells_.size());
  set_lane(dx_, member, dx);
  constexpr double kQuarterPi = 0.78539816339744830962;
  struct Place {
    double diameter_m, wall_k;
  };
  const auto place = [&](double x) -> Place {
    for (const Stretch& s : stretches) {
      if (x <= s.length_m || &s == &stretches.back())
        return {s.from_m + (s.to_m - s.from_m) * std::min(1.0, x / s.length_m), s.wall_k};
      x -= s.length_m;
    }
    return {0, 0};
  };
  const auto area = [&](double x) { return kQuarterPi * place(x).diameter_m * place(x).diameter_m; };
  for (size_t i = 0; i < faces_.size(); ++i) set_lane(faces_[i], member, area(dx * static_cast<double>(i)));
  for (size_t i = 0; i < cells_.size(); ++i) {
    const double left = area(dx * static_cast<double>(i)), right = area(dx * static_cast<double>(i + 1)),
                 x = dx * (static_cast<double>(i) + 0.5), volume = dx * (left + 4 * area(x) + right) / 6;
    Cell& c = cells_[i];
    set_lane(c.per_volume, member, 1 / volume);
    set_lane(c.widening, member, (right - left) / volume);
    set_lane(c.roughness, member, 2 * friction_ / place(x).diameter_m);
    set_lane(c.wall_k, member, place(x).wall_k);
  }
}

/// A cell that is not there: the slope at the end goes on, held by the one before it, so that nothing swings where a
/// port opens.
template <typename Real>
Primitive<Real> Duct<Real>::beyond(const Primitive<Real>& end, const Primitive<Real>& next,
                                   const Primitive<Real>& third) {
  const auto on = [](Real a, Real b, Real c) { return a + limited(a - b, b - c); };
  return {max(on(end.rho, next.rho, third.rho), 0.3 * end.rho),
          on(end.u, next.u, third.u),
          max(on(end.p, next.p, third.p), 0.3 * end.p),
          {on(end.y.fuel, next.y.fuel, third.y.fuel), on(end.y.burned, next.y.burned, third.y.burned)}};
}

/// A cell that is not there: as if the slope at the end went on.
template <typename Real>
Primitive<Real> Duct<Real>::beyond(const Primitive<Real>& end, const Primitive<Real>& next) {
  const auto on = [](Real a, Real b) { return 2.0 * a - b; };
  return {max(on(end.rho, next.rho), 0.3 * end.rho),
          on(end.u, next.u),
          max(on(end.p, next.p), 0.3 * end.p),
          {on(end.y.fuel, next.y.fuel), on(end.y.burned, next.y.burned)}};
}

template <typename Real>
CRANKWISE_INLINE void Duct<Real>::halve(const Cell& c, Real half, const Primitive<Real>& before,
                                        const Primitive<Real>& here, const Primitive<Real>& after, Real volume,
                                        Real gamma, Halves* to) const {
  const Real rho = limited(here.rho - before.rho, after.rho - here.rho),
             u = limited(here.u - before.u, after.u - here.u), p = limited(here.p - before.p, after.p - here.p),
             fuel = limited(here.y.fuel - before.y.fuel, after.y.fuel - here.y.fuel),
             burned = limited(here.y.burned - before.y.burned, after.y.burned - here.y.burned);
  const Real spread = u + here.u * c.widening * dx_;  // of the gas over the cell
  Primitive<Real>& m = to->middle;
  m.rho = max(here.rho - half * (here.u * rho + here.rho * spread), 0.1 * here.rho);
  m.u = here.u - half * (here.u * u + p * volume);
  m.p = max(here.p - half * (here.u * p + gamma * here.p * spread), 0.1 * here.p);
  m.y.fuel = here.y.fuel - half * here.u * fuel;
  m.y.burned = here.y.burned - half * here.u * burned;
  const auto side = [&](double way, Primitive<Real>& w) {
    w.rho = max(m.rho + way * rho, 0.1 * m.rho);
    w.u = m.u + way * u;
    w.p = max(m.p + way * p, 0.1 * m.p);
    w.y.fuel = m.y.fuel + way * fuel;
    w.y.burned = m.y.burned + way * burned;
  };
  side(-0.5, to->left);
  side(0.5, to->right);
}

template <typename Real>
Primitive<Real> Duct<Real>::left_end(const Gas<Real>& gas, Real dt_s) const {
  const Primitive<Real> end = at(gas, 0), next = at(gas, 1);
  const Charge<Real> charge = charge_of(gas, end.y);
  const Real gamma = charge.gamma(end.p / (end.rho * charge.constant));
  Halves halved;
  halve(cells_.front(), 0.5 * dt_s / dx_, beyond(end, next, at(gas, 2)), end, next, 1.0 / end.rho, gamma, &halved);
  halved.left.u = -halved.left.u;
  return halved.left;
}

template <typename Real>
Primitive<Real> Duct<Real>::right_end(const Gas<Real>& gas, Real dt_s) const {
  const int n = cells();
  const Primitive<Real> end = at(gas, n - 1), next = at(gas, n - 2);
  const Charge<Real> charge = charge_of(gas, end.y);
  const Real gamma = charge.gamma(end.p / (end.rho * charge.constant));
  Halves halved;
  halve(cells_.back(), 0.5 * dt_s / dx_, next, end, beyond(end, next, at(gas, n - 3)), 1.0 / end.rho, gamma, &halved);
  return halved.right;
}

template <typename Real>
void Duct<Real>::step(const Gas<Real>& gas, Real dt_s, const Stream<Real>& left, const Stream<Real>& right) {
  struct Look {
    Primitive<Real> w;
    Real volume, temp_k, cv, constant;
    Real gamma() const { return 1.0 + constant / cv; }
  };
  Real least = least_;
  const auto look = [&](const Conserved<Real>& c, Look* to) {
    const Real volume = 1.0 / c.rho, u = c.momentum * volume;
    const Shares<Real> y{c.fuel * volume, c.burned * volume};
    const Charge<Real> charge = charge_of(gas, y);
    const Real energy = c.energy * volume - 0.5 * u * u;
    const Real here_least = min(c.rho, 1e-5 * energy);
    least = select(here_least > Real(0), min(here_least, least), Real(-1));
    const Real temp_k = charge.temperature(energy);
    to->w.rho = c.rho, to->w.u = u, to->w.p = c.rho * charge.constant * temp_k;
    to->w.y.fuel = y.fuel, to->w.y.burned = y.burned;
    to->volume = volume, to->temp_k = temp_k, to->cv = charge.cv(temp_k), to->constant = charge.constant;
  };
  const size_t n = cells_.size();
  const Real half = 0.5 * dt_s / dx_;
  // What is known of three cells, two halves and two faces; they take turns, and are not copied.
  Look looks[3];
  look(state_[0], &looks[0]);
  look(state_[1], &looks[1]);
  Halves halved_two[2];
  Look *here = &looks[0], *after = &looks[1], *far = &looks[2];
  Halves *halved = &halved_two[0], *next = &halved_two[1];
  Stream<Real> through[2] = {{-left.mass, left.momentum, -left.energy, -left.fuel, -left.burned}};
  Stream<Real>*in = &through[0], *out = &through[1];  // the faces on the left and the right
  halve(cells_[0], half, beyond(here->w, after->w), here->w, after->w, here->volume, here->gamma(), halved);
  Real speed = 0;
  for (size_t i = 0; i < n; ++i) {
    const Cell& c = cells_[i];
    if (i + 1 < n) {
      if (i + 2 < n)
        look(state_[i + 2], far);
      else
        far->w = beyond(after->w, here->w);
      halve(cells_[i + 1], half, here->w, after->w, far->w, after->volume, after->gamma(), next);
      const Side<Real> l = side_of(gas, halved->right), r = side_of(gas, next->left);
      speed = max(speed, max(abs(l.w.u) + l.sound, abs(r.w.u) + r.sound));
      const Flux<Real> flux = hllc(l, r);
      const Real area = faces_[i + 1];
      out->mass = flux.mass * area, out->momentum = flux.momentum * area, out->energy = flux.energy * area;
      out->fuel = flux.fuel * area, out->burned = flux.burned * area;
    } else {
      *out = right;
    }
    const Primitive<Real>& m = halved->middle;
    const Real rub = c.roughness * m.rho * abs(m.u);  // kg/(m3 s)
    const Real heat = rub * (here->cv + here->constant) * (c.wall_k - here->temp_k);
    const Real share = dt_s * c.per_volume;
    Conserved<Real>& s = state_[i];
    s.rho += share * (in->mass - out->mass);
    s.momentum += share * (in->momentum - out->momentum) + dt_s * (m.p * c.widening - rub * m.u);
    s.energy += share * (in->energy - out->energy) + dt_s * heat;
    s.fuel += share * (in->fuel - out->fuel);
    s.burned += share * (in->burned - out->burned);
    std::swap(in, out);
    Look* const gone = here;
    here = after, after = far, far = gone;
    std::swap(halved, next);
  }
  speed_ = speed;
  least_ = least;
}

}  // namespace crankwise::flow
