#include "core/engine/ceiling.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

namespace crankwise::engine {
namespace {

std::vector<Outcome> that_repeat(std::span<const Outcome> curve) {
  std::vector<Outcome> kept;
  for (const Outcome& o : curve)
    if (o.state == Outcome::State::repeats) kept.push_back(o);
  return kept;
}

Peak peak_of(std::span<const Outcome> curve, double Outcome::*value) {
  const std::vector<Outcome> at = that_repeat(curve);
  if (at.empty()) return {};
  size_t best = 0;
  for (size_t i = 1; i < at.size(); ++i)
    if (at[i].*value > at[best].*value) best = i;
  Peak peak{at[best].rpm, at[best].*value};
  if (best == 0 || best + 1 == at.size()) return peak;
  const Outcome &l = at[best - 1], &m = at[best], &r = at[best + 1];
  // Newton's divided differences.
  const double first = (m.*value - l.*value) / (m.rpm - l.rpm), second = (r.*value - m.*value) / (r.rpm - m.rpm);
  const double bend = (second - first) / (r.rpm - l.rpm);
  if (bend >= 0) return peak;
  peak.rpm = 0.5 * (l.rpm + m.rpm - first / bend);
  peak.value = l.*value + (peak.rpm - l.rpm) * (first + bend * (peak.rpm - m.rpm));
  return peak;
}

/// `spare`: what the engine has left at a point, above 0 while it still rises.
Ceiling ceiling_of(std::span<const Outcome> curve, double limit_rpm,
                   const std::function<double(const Outcome&)>& spare) {
  const std::vector<Outcome> at = that_repeat(curve);
  if (at.empty()) return {0, Stop::never_pulls, 1};
  // Up from where it has most to spare: what it cannot pull through below that is no ceiling, but weak low down.
  size_t last = 0;
  for (size_t i = 1; i < at.size(); ++i)
    if (spare(at[i]) > spare(at[last])) last = i;
  const double most = spare(at[last]);
  if (most <= 0) return {0, Stop::never_pulls, at.front().lambda};
  while (last + 1 < at.size() && spare(at[last + 1]) > 0) ++last;
  if (last + 1 == at.size()) {
    const bool unknown = curve.back().rpm > at.back().rpm && at.back().rpm < limit_rpm;
    return {std::min(limit_rpm, at.back().rpm), unknown ? Stop::unknown : Stop::limit, at.back().lambda};
  }
  const Outcome &a = at[last], &b = at[last + 1];
  const double left = spare(a), short_of = -spare(b), part = left / (left + short_of);
  Ceiling c{a.rpm + part * (b.rpm - a.rpm), Stop::flat, a.lambda + part * (b.lambda - a.lambda)};
  if (c.rpm >= limit_rpm || (b.rpm > limit_rpm && b.misfire > 0.95)) return {limit_rpm, Stop::limit, a.lambda};
  constexpr double kMisses = 0.08, kRich = 0.75, kLean = 1.15, kSharp = 0.06;
  if (std::max(a.misfire, b.misfire) > kMisses)
    c.how = c.lambda < kRich ? Stop::rich_misfires : c.lambda > kLean ? Stop::lean_misfires : Stop::spark_misfires;
  else {
    // From half of the most to nothing within 6 % of the speed is sharp.
    size_t half = last;
    while (half > 0 && spare(at[half]) < 0.5 * most) --half;
    if (c.rpm - at[half].rpm < kSharp * c.rpm) c.how = Stop::sharp;
  }
  return c;
}

}  // namespace

Peak power_peak(std::span<const Outcome> curve) { return peak_of(curve, &Outcome::power_w); }
Peak torque_peak(std::span<const Outcome> curve) { return peak_of(curve, &Outcome::torque_nm); }

double Ride::power_w(double rpm) const {
  constexpr double kGravity = 9.80665;
  const double v = rpm / 60 * wheel_m_per_turn;
  const double force = mass_kg * (rolling * kGravity + least_m_s2) + 0.5 * air_kg_m3 * drag_m2 * v * v;
  return force * v / (1 - share_lost);
}

const char* in_words(Stop how) {
  switch (how) {
    case Stop::limit:
      return "it pulls to its limit";
    case Stop::flat:
      return "it fades";
    case Stop::sharp:
      return "it ends as at a wall";
    case Stop::rich_misfires:
      return "it misfires, too rich";
    case Stop::lean_misfires:
      return "it misfires, too lean";
    case Stop::spark_misfires:
      return "it misfires, the mixture right";
    case Stop::unknown:
      return "what it does above that is not known";
    case Stop::never_pulls:
      return "it makes no power";
  }
  return "";
}

Ceiling neutral_ceiling(std::span<const Outcome> curve, double limit_rpm) {
  return ceiling_of(curve, limit_rpm, [](const Outcome& o) { return o.torque_nm; });
}

Ceiling gear_ceiling(std::span<const Outcome> curve, const Ride& ride, double limit_rpm) {
  return ceiling_of(curve, limit_rpm, [&](const Outcome& o) { return o.power_w - ride.power_w(o.rpm); });
}

}  // namespace crankwise::engine
