#include "core/calc/jetting.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise {
namespace {

constexpr double kTradeHeightM = 304.8;           // 1000 ft
constexpr double kTradeWarmthK = 10 / 1.8;        // 10 F
constexpr double kTradeNumber = 200;              // of the table
constexpr double kPerHeight = 6, kPerWarmth = 4;  // numbers at that one

JetFit fit(const Jet& jet, double number) {
  return {number, jet.number + std::round((number - jet.number) / jet.step) * jet.step,
          fuel_ratio(jet.number, std::max(number, 0.0), jet.numbering)};
}

double trade_number(const Jet& jet, double heights, double warmths) {
  if (jet.numbering == JetNumbering::diameter) return jet.number - jet.step * (heights + warmths);
  return jet.number - jet.number / kTradeNumber * (kPerHeight * heights + kPerWarmth * warmths);
}

bool odd_number(const Jet& jet) {
  if (jet.numbering == JetNumbering::diameter) return jet.number < 30 || jet.number > 250;
  return jet.number < 20 || jet.number > 700;
}

double ring(double tube_m, double needle_m) { return tube_m * tube_m - needle_m * needle_m; }

}  // namespace

double fuel_ratio(double from_number, double to_number, JetNumbering numbering) {
  assert(from_number > 0 && to_number >= 0);
  const double ratio = to_number / from_number;
  return numbering == JetNumbering::flow ? ratio : ratio * ratio;
}

double number_for_fuel(double number, double fuel_ratio, JetNumbering numbering) {
  assert(number > 0 && fuel_ratio >= 0);
  return number * (numbering == JetNumbering::flow ? fuel_ratio : std::sqrt(fuel_ratio));
}

double jet_area_factor(const MoistAir& known, const MoistAir& today) {
  assert(known.dry_density_kg_m3 > 0 && today.dry_density_kg_m3 > 0);
  return today.dry_density_kg_m3 / known.dry_density_kg_m3 * std::sqrt(known.density_kg_m3 / today.density_kg_m3);
}

double richer_if_left(const MoistAir& known, const MoistAir& today) { return 1 / jet_area_factor(known, today) - 1; }

JetAdvice jet_for_today(const Jet& jet, const JetDay& known, const JetDay& today) {
  assert(jet.number > 0 && jet.step > 0);
  const double heights = (today.height_m - known.height_m) / kTradeHeightM;
  const double warmths = (today.air.temperature_k - known.air.temperature_k) / kTradeWarmthK;
  JetAdvice advice;
  advice.physical = fit(jet, number_for_fuel(jet.number, jet_area_factor(known.air, today.air), jet.numbering));
  advice.trade = fit(jet, trade_number(jet, heights, warmths));
  advice.richer_if_left = richer_if_left(known.air, today.air);

  if (odd_number(jet)) advice.flags.push_back(CalcFlag::jet_number_odd);
  if (std::abs(advice.physical.fuel_ratio - 1) > 0.1) advice.flags.push_back(CalcFlag::large_jet_change);
  if (jet.numbering == JetNumbering::flow && (jet.number < 160 || jet.number > 240))
    advice.flags.push_back(CalcFlag::trade_rule_scaled);
  if (std::abs(heights) > 10 || std::abs(warmths) > 10 || advice.trade.number <= 0)
    advice.flags.push_back(CalcFlag::trade_rule_stretched);
  if (std::abs(advice.trade.number - advice.physical.number) >= jet.step)
    advice.flags.push_back(CalcFlag::jet_rules_differ);
  for (const JetDay* day : {&known, &today})
    for (const CalcFlag flag : day->air.flags)
      if (!has(advice.flags, flag)) advice.flags.push_back(flag);
  return advice;
}

double ring_ratio(const Needle& n, double other_needle_m) {
  assert(n.needle_m >= 0 && n.tube_m > n.needle_m && other_needle_m >= 0 && other_needle_m <= n.tube_m);
  return ring(n.tube_m, other_needle_m) / ring(n.tube_m, n.needle_m);
}

ClipMove clip_for_fuel(const Needle& n, double fuel_ratio) {
  assert(n.needle_m > 0 && n.tube_m > n.needle_m && n.taper_rad > 0 && n.groove_m > 0 && fuel_ratio > 0);
  const double thinner_m = 2 * n.groove_m * std::tan(n.taper_rad / 2);  // by a groove
  ClipMove move;
  move.one_groove_up = ring_ratio(n, std::max(0.0, n.needle_m - thinner_m));
  const double wanted_squared = n.tube_m * n.tube_m - fuel_ratio * ring(n.tube_m, n.needle_m);
  if (wanted_squared < 0) move.flags.push_back(CalcFlag::needle_cannot_give_this);
  move.grooves = (n.needle_m - std::sqrt(std::max(0.0, wanted_squared))) / thinner_m;
  move.nearest = static_cast<int>(std::lround(move.grooves));
  if (std::abs(move.nearest) > 2) move.flags.push_back(CalcFlag::beyond_the_clip);
  return move;
}

ScrewTurn screw_for_fuel(ScrewKind kind, double fuel_ratio) {
  assert(fuel_ratio > 0);
  if (std::abs(fuel_ratio - 1) <= 0.01) return ScrewTurn::leave;
  return (fuel_ratio > 1) == (kind == ScrewKind::fuel) ? ScrewTurn::out : ScrewTurn::in;
}

PilotJet pilot_by_screw(ScrewKind kind, double turns_out) {
  assert(turns_out >= 0);
  if (turns_out >= 1 && turns_out <= 2.5) return PilotJet::right;
  return (turns_out < 1) == (kind == ScrewKind::air) ? PilotJet::fit_bigger : PilotJet::fit_smaller;
}

CircuitAt circuit_at(double opening) {
  assert(opening >= 0 && opening <= 1);
  if (opening < 0.125) return {Circuit::pilot, std::nullopt};
  if (opening < 0.25) return {Circuit::slide, opening <= 0.2 ? std::optional(Circuit::pilot) : std::nullopt};
  return {opening < 0.75 ? Circuit::needle : Circuit::main_jet, std::nullopt};
}

}  // namespace crankwise
