#include "core/calc/fuel_supply.h"

#include <cassert>
#include <cmath>
#include <numbers>

#include "core/calc/air.h"

namespace crankwise {
namespace {

constexpr double kPerKwh = 1 / 3.6e6;  // kg/J

double area(double bore_m) { return std::numbers::pi / 4 * bore_m * bore_m; }

FuelDemand demand(double mass_kg_s, const Fuel& fuel) {
  assert(fuel.density_kg_m3 > 0);
  return {mass_kg_s, mass_kg_s / fuel.density_kg_m3, {}};
}

Supply supply(double flow_m3_s, double demand_m3_s) {
  assert(flow_m3_s >= 0 && demand_m3_s > 0);
  Supply result{flow_m3_s, flow_m3_s / demand_m3_s, {}};
  if (result.margin < 1)
    result.flags.push_back(CalcFlag::short_of_demand);
  else if (result.margin < kEnoughMargin)
    result.flags.push_back(CalcFlag::thin_margin);
  return result;
}

}  // namespace

FuelDemand demand_from_power(const PowerLoad& load, const Fuel& fuel) {
  assert(load.power_w >= 0 && load.kg_per_j > 0);
  FuelDemand result = demand(load.power_w * load.kg_per_j, fuel);
  if (load.kg_per_j < 0.25 * kPerKwh || load.kg_per_j > 0.70 * kPerKwh)
    result.flags.push_back(CalcFlag::consumption_unusual);
  return result;
}

FuelDemand demand_from_air(const AirLoad& load, const Fuel& fuel) {
  assert(load.displacement_m3 > 0 && load.turns_per_s >= 0 && load.delivery_ratio > 0 && load.air_density_kg_m3 > 0 &&
         load.lambda > 0 && fuel.stoichiometric_air > 0);
  const double intakes_per_s = load.turns_per_s * (load.cycle == Cycle::two_stroke ? 1 : 0.5);
  const double air_kg_s = load.displacement_m3 * intakes_per_s * load.delivery_ratio * load.air_density_kg_m3;
  FuelDemand result = demand(air_kg_s / (fuel.stoichiometric_air * load.lambda), fuel);
  if (load.delivery_ratio < 0.4 || load.delivery_ratio > 1.2) result.flags.push_back(CalcFlag::delivery_unusual);
  if (load.lambda < 0.7 || load.lambda > 1.1) result.flags.push_back(CalcFlag::mixture_unusual);
  return result;
}

double flow_by_head(double bore_m, double head_m, double cd) {
  assert(bore_m > 0 && head_m >= 0 && cd > 0);
  return cd * area(bore_m) * std::sqrt(2 * kGravity * head_m);
}

HoseLoss hose_loss(double flow_m3_s, double bore_m, double length_m, const Fuel& fuel) {
  assert(flow_m3_s >= 0 && bore_m > 0 && length_m >= 0 && fuel.viscosity_m2_s > 0);
  const double speed = flow_m3_s / area(bore_m);
  const double mu = fuel.viscosity_m2_s * fuel.density_kg_m3;
  HoseLoss loss;
  loss.reynolds = speed * bore_m / fuel.viscosity_m2_s;
  loss.laminar_pa = 128 * mu * length_m * flow_m3_s / (std::numbers::pi * std::pow(bore_m, 4));
  loss.likely_pa = loss.laminar_pa;
  if (loss.reynolds > 2300) {
    const double friction = 0.316 / std::pow(loss.reynolds, 0.25);
    loss.likely_pa = friction * length_m / bore_m * fuel.density_kg_m3 * speed * speed / 2;
    loss.flags.push_back(CalcFlag::rough_flow);
  }
  return loss;
}

Supply gravity_supply(const GravityFeed& feed, const Fuel& fuel, double demand_m3_s) {
  const double rho_g = fuel.density_kg_m3 * kGravity;
  const double tap_m3_s = flow_by_head(feed.tap_bore_m, 1, feed.tap_cd);  // under a metre
  double low = 0, high = flow_by_head(feed.tap_bore_m, feed.head_m, feed.tap_cd);
  for (int k = 0; k < 60; ++k) {
    const double flow = 0.5 * (low + high);
    const double used_m =
        flow * flow / (tap_m3_s * tap_m3_s) + hose_loss(flow, feed.hose_bore_m, feed.hose_m, fuel).likely_pa / rho_g;
    (used_m < feed.head_m ? low : high) = flow;
  }
  Supply result = supply(low, demand_m3_s);
  for (const CalcFlag flag : hose_loss(low, feed.hose_bore_m, feed.hose_m, fuel).flags) result.flags.push_back(flag);
  return result;
}

Supply measured_gravity_supply(double volume_m3, double seconds, double demand_m3_s) {
  assert(volume_m3 >= 0 && seconds > 0);
  return supply(volume_m3 / seconds, demand_m3_s);
}

Supply pump_supply(const PumpTest& test, double demand_m3_s) {
  assert(test.volume_m3 >= 0 && test.seconds > 0 && test.pressure_pa >= 0 && test.regulated_pressure_pa > 0);
  Supply result = supply(test.volume_m3 / test.seconds, demand_m3_s);
  if (test.pressure_pa < 0.5 * test.regulated_pressure_pa)
    result.flags.push_back(CalcFlag::not_under_pressure);
  else if (test.pressure_pa < 0.9 * test.regulated_pressure_pa)
    result.flags.push_back(CalcFlag::pressure_low);
  return result;
}

VentAnswer blocked_vent(const VentTest& test, const Fuel& fuel, double demand_m3_s) {
  const double head_pa = fuel.density_kg_m3 * kGravity * test.head_m;
  assert(test.air_space_m3 >= 0 && test.head_m >= 0 && test.bowl_m3 >= 0 && head_pa < test.ambient_pa &&
         demand_m3_s > 0);
  const double drawn = test.air_space_m3 * head_pa / (test.ambient_pa - head_pa);
  return {drawn, (drawn + test.bowl_m3) / demand_m3_s, {CalcFlag::vapour_left_out}};
}

double vacuum_after_draw(double air_space_m3, double drawn_m3, double ambient_pa) {
  assert(air_space_m3 > 0 && drawn_m3 >= 0 && ambient_pa > 0);
  return ambient_pa * drawn_m3 / (air_space_m3 + drawn_m3);
}

InjectorFlow injector_flow(const Injector& injector, double pressure_pa, double demand_m3_s) {
  assert(injector.rated_m3_s > 0 && injector.rated_pressure_pa > 0 && pressure_pa > 0 && demand_m3_s >= 0);
  const double ratio = pressure_pa / injector.rated_pressure_pa;
  InjectorFlow result;
  result.flow_m3_s = injector.rated_m3_s * std::sqrt(ratio);
  result.open_share = demand_m3_s / result.flow_m3_s;
  if (ratio < 0.5 || ratio > 2) result.flags.push_back(CalcFlag::injector_pressure_far);
  if (result.open_share > 0.85) result.flags.push_back(CalcFlag::injector_open_too_long);
  return result;
}

}  // namespace crankwise
