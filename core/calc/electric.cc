#include "core/calc/electric.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace crankwise {
namespace {

constexpr double kZeroC_k = 273.15, kCopper_c = 234.5, kRoom_k = 293.15;
constexpr Span kUsualLeads{0.1, 0.5};
constexpr double kMostUneven = 1.2;

bool far_from_room(double kelvin) { return kelvin < kZeroC_k - 50 || kelvin > kZeroC_k + 150; }

[[maybe_unused]] bool good(const Span& s) { return s.low > 0 && s.high >= s.low; }

[[maybe_unused]] bool good(const NtcTable& t) {
  const auto wrong = [](const NtcRow& a, const NtcRow& b) { return !(a.kelvin < b.kelvin && a.ohm > b.ohm); };
  return t.size() >= 2 && t.front().kelvin > 0 && t.back().ohm > 0 &&
         std::adjacent_find(t.begin(), t.end(), wrong) == t.end();
}

double beta_of(const NtcTable& table, std::size_t stretch) { return beta_k(table[stretch], table[stretch + 1]); }

CalcFlags flags_of(const NtcTable& table, std::size_t stretch, bool outside) {
  CalcFlags flags;
  if (outside) flags.push_back(CalcFlag::outside_table);
  const double here = beta_of(table, stretch);
  const auto bends = [&](std::size_t other) {
    const double there = beta_of(table, other);
    return std::max(here, there) > kMostUneven * std::min(here, there);
  };
  if ((stretch > 0 && bends(stretch - 1)) || (stretch + 2 < table.size() && bends(stretch + 1))) {
    flags.push_back(CalcFlag::table_uneven);
  }
  return flags;
}

/// The stretch between two rows that this lies in, or the nearest one. `before(row)`: the row comes before it.
template <class Before>
std::size_t stretch_of(const NtcTable& table, Before before) {
  std::size_t stretch = 0;
  while (stretch + 2 < table.size() && before(table[stretch + 1])) ++stretch;
  return stretch;
}

}  // namespace

Span scaled(const Span& span, double factor) {
  assert(good(span) && factor > 0);
  return {span.low * factor, span.high * factor};
}

Flagged copper_factor(double from_k, double to_k) {
  assert(from_k > kZeroC_k - kCopper_c && to_k > kZeroC_k - kCopper_c);
  Flagged out{(kCopper_c + to_k - kZeroC_k) / (kCopper_c + from_k - kZeroC_k), {}};
  if (far_from_room(from_k) || far_from_room(to_k)) out.flags.push_back(CalcFlag::copper_far_from_room);
  return out;
}

double meter_error(const Meter& meter, double reading) {
  assert(meter.share >= 0 && meter.digits >= 0 && meter.step > 0 && reading >= 0);
  return meter.share * reading + meter.digits * meter.step;
}

Judged judge_reading(const MeterReading& r, const Span& limits, const Meter& meter) {
  assert(good(limits) && (!r.leads || *r.leads >= 0));
  Judged out;
  const auto error = [&](double reading) {
    return r.leads ? std::hypot(meter_error(meter, reading), meter_error(meter, *r.leads))
                   : meter_error(meter, reading);
  };
  const Span leads = r.leads ? Span{*r.leads, *r.leads} : kUsualLeads;
  const auto inside = [&](const Span& s) { return s.low >= limits.low && s.high <= limits.high; };
  out.truth = {std::max(r.reading - leads.high - error(r.reading), 0.0),
               std::max(r.reading - leads.low + error(r.reading), 0.0)};
  if (out.truth.high < limits.low) out.verdict = MeterVerdict::too_low;
  if (out.truth.low > limits.high) out.verdict = MeterVerdict::too_high;
  if (inside(out.truth)) out.verdict = MeterVerdict::within;
  const double middle = (limits.low + limits.high) / 2, off = error(middle + leads.low);
  if (!inside({middle - off, middle + off})) out.flags.push_back(CalcFlag::meter_too_coarse);
  if (!r.leads) out.flags.push_back(CalcFlag::leads_not_subtracted);
  return out;
}

double beta_k(const NtcRow& a, const NtcRow& b) {
  assert(a.kelvin > 0 && b.kelvin > 0 && a.kelvin != b.kelvin && a.ohm > 0 && b.ohm > 0);
  return std::log(a.ohm / b.ohm) / (1 / a.kelvin - 1 / b.kelvin);
}

Flagged ntc_ohm(const NtcTable& table, double kelvin) {
  assert(good(table) && kelvin > 0);
  const std::size_t at = stretch_of(table, [&](const NtcRow& row) { return row.kelvin < kelvin; });
  const bool outside = kelvin < table.front().kelvin || kelvin > table.back().kelvin;
  const double ohm = table[at].ohm * std::exp(beta_of(table, at) * (1 / kelvin - 1 / table[at].kelvin));
  return {ohm, flags_of(table, at, outside)};
}

Flagged ntc_kelvin(const NtcTable& table, double ohm) {
  assert(good(table) && ohm > 0);
  const std::size_t at = stretch_of(table, [&](const NtcRow& row) { return row.ohm > ohm; });
  const bool outside = ohm > table.front().ohm || ohm < table.back().ohm;
  const double inverse = 1 / table[at].kelvin + std::log(ohm / table[at].ohm) / beta_of(table, at);
  const double held = std::clamp(inverse, 0.5 / table.back().kelvin, 2 / table.front().kelvin);
  return {1 / held, flags_of(table, at, outside)};
}

ScaledSpan at_supply(const Span& limits_v, double specified_v, double supply_v) {
  assert(specified_v > 0 && supply_v > 0);
  ScaledSpan out{scaled(limits_v, supply_v / specified_v), {}};
  if (supply_v < 4.5 || supply_v > 5.5) out.flags.push_back(CalcFlag::supply_unusual);
  return out;
}

Flagged wire_drop_v(double length_m, double area_m2, double current_a, double kelvin) {
  assert(length_m > 0 && area_m2 > 0 && current_a >= 0);
  constexpr double kResistivity = 1e-6 / 58;  // ohm m at 20 C
  Flagged out = copper_factor(kRoom_k, kelvin);
  out.value *= kResistivity * length_m / area_m2 * current_a;
  return out;
}

}  // namespace crankwise
