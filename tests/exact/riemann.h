// The Riemann problem of a perfect gas solved exactly: the judge of the flow in ducts.
//
// Two states meet at x = 0 at time 0; at(x / t) is what is there later. Toro, Riemann Solvers and Numerical Methods for
// Fluid Dynamics, chapter 4, with the vacuum of section 4.6 between two gases that part too fast. Any consistent units.
#pragma once

namespace crankwise::exact {

struct RiemannState {
  double rho = 0, u = 0, p = 0;  // rho and p above 0
};

class RiemannProblem {
 public:
  RiemannProblem(double gamma, RiemannState left, RiemannState right);

  /// The gases part: nothing between them, and the star values are 0.
  bool vacuum() const { return vacuum_; }
  double star_p() const { return star_p_; }
  double star_u() const { return star_u_; }
  double star_rho_left() const { return beside(left_); }
  double star_rho_right() const { return beside(right_); }
  RiemannState at(double speed) const;

 private:
  double sound(const RiemannState& s) const;
  double change(const RiemannState& s, double p) const;  // of u through the wave to pressure p
  double beside(const RiemannState& s) const;
  RiemannState left_of_contact(const RiemannState& s, double star_u, double speed) const;

  double gamma_;
  RiemannState left_, right_;
  bool vacuum_ = false;
  double star_p_ = 0, star_u_ = 0;
};

}  // namespace crankwise::exact
