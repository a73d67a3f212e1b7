// Compression gauge, leak-down tester and case pressure.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "app/readings/method.h"
#include "core/calc/air.h"
#include "core/calc/compression.h"
#include "core/calc/leak.h"

namespace crankwise::methods {
namespace {

using Of = AskedCondition::Of;

bool two_stroke(const Taken& t) { return Traits(t.bike->traits).has("two-stroke"); }

/// What is swept after the port or valve has closed, and the ratio that follows: told, or usual for its kind.
struct Chamber {
  double clearance_m3 = 0, ratio = 1;
  bool known = false;  // else guessed from the displacement
};
std::optional<Chamber> chamber(const Taken& t) {
  if (t.at.has("clearance") && t.at.has("trapped-ratio"))
    return Chamber{t.at.si("clearance"), t.at.si("trapped-ratio"), true};
  if (t.bike->displacement_cc <= 0) return {};
  // About half of a two-stroke's stroke is above the port, of a four-stroke's four fifths after the inlet valve has
  // closed; ratios from there on 7 and 9. Common practice.
  const double trapped_m3 = 1e-6 * t.bike->displacement_cc * (two_stroke(t) ? 0.55 : 0.8);
  const double ratio = two_stroke(t) ? 7 : 9;
  return Chamber{trapped_m3 / (ratio - 1), ratio, false};
}

Correction compression_corrected(const Taken& t) {
  constexpr double kSlow = 1.20, kUsualKick = 1.25, kBrisk = 1.30;  // exponents; common practice (compression.h)
  constexpr double kUnknownHeight = 0.03;  // spread of the air's pressure over the places where people ride
  constexpr double kCold = 0.06;           // a cold engine reads less, by an amount that nobody knows; common practice
  constexpr double kGuessedChamber = 0.3;  // share of a correction that rests on a guessed chamber
  Correction c = as_read(t);
  const auto ambient = air_pressure(t);
  if (!ambient) c.log_spread = kUnknownHeight;
  const auto head = chamber(t);
  double hose = t.at.has("hose") ? t.at.si("hose") : 0;
  if (hose > 0 && !head) {
    c.notes.emplace_back(
        "what the hose takes off cannot be worked out: neither the displacement of the bike nor its "
        "clearance and trapped ratio are known");
    hose = 0;
  }
  const std::string& kick = t.at.word("kick");
  const double exponent = kick == "slow" ? kSlow : kick == "brisk" ? kBrisk : kUsualKick;
  GaugeTest test{.trapped_m3 = 60e-6, .clearance_m3 = 10e-6, .exponent = exponent};  // any ratio does without a hose
  if (head) test.trapped_m3 = head->clearance_m3 * (head->ratio - 1), test.clearance_m3 = head->clearance_m3;
  test.ambient_pa = ambient.value_or(kStandardPressurePa);
  test.dead_m3 = hose;
  test.decompressor = Traits(t.bike->traits).has("decompressor") && t.at.word("decompressor") == "at-work";
  const CorrectedGauge at_sea = corrected_gauge(test, to_si(t, t.value));
  double pa = at_sea.sea_level_pa;
  if (exponent != kUsualKick) {
    GaugeTest usual = test, same = test;
    usual.ambient_pa = same.ambient_pa = kStandardPressurePa, usual.dead_m3 = same.dead_m3 = 0,
    usual.exponent = kUsualKick;
    pa *= expected_gauge(usual).gauge_pa / expected_gauge(same).gauge_pa;
  }
  if (hose > 0) {
    GaugeTest bare = test;
    bare.dead_m3 = 0;
    const double part = std::abs(std::log(expected_gauge(bare).gauge_pa / expected_gauge(test).gauge_pa));
    if (!head->known) c.log_spread = std::hypot(c.log_spread, kGuessedChamber * part);
  }
  if (ambient) c.brought_to("at sea level");
  if (hose > 0) c.brought_to("without the hose");
  if (exponent != kUsualKick) c.brought_to("with a usual kick");
  c.value = from_si(t, pa);
  if (t.at.has("trapped-ratio") && !test.decompressor) {
    // Tight, kicked slowly to briskly; a sound engine loses up to a tenth of it; common practice.
    constexpr double kLoses = 0.9, kMost = 8;
    GaugeTest sea = test;
    sea.trapped_m3 = sea.clearance_m3 * (t.at.si("trapped-ratio") - 1);
    sea.ambient_pa = kStandardPressurePa, sea.dead_m3 = 0, sea.exponent = kUsualKick;
    const ExpectedGauge tight = expected_gauge(sea);
    c.worked = ReadingYardstick{FigureFrom::worked, "worked out from its trapped ratio",
                                from_si(t, kLoses * tight.low_pa), from_si(t, tight.high_pa)};
    c.worked->most_ratio = kMost;
  }
  if (t.at.word("engine") == "cold") {
    c.log_spread = std::hypot(c.log_spread, kCold);
    c.notes.emplace_back("measured cold: warm it up and measure again before a part is blamed");
  }
  if (t.at.word("oil") == "wet") {
    c.most_ratio = 1;
    c.notes.emplace_back(
        "with oil in the cylinder it is only good against the dry reading: 15 % more or better says "
        "rings or bore");
  }
  add_flags(c, at_sea.flags);
  return c;
}

Correction leak_down_corrected(const Taken& t) {
  constexpr double kUnknownTester = 0.25;  // another orifice or pressure gives another per cent; common practice
  constexpr double kPsi = 6894.757293168;
  Correction c = as_read(t);
  if (!t.at.has("orifice")) {
    c.log_spread = kUnknownTester;
    return c;
  }
  const LeakTester tester{.orifice_m = t.at.si("orifice"), .regulated_pa = t.at.si("tester-pressure"), .air = {}};
  const LeakDown leak = leak_down(tester, tester.regulated_pa * std::clamp(1 - to_si(t, t.value), 0.0, 1.0));
  if (!has(leak.flags, CalcFlag::nothing_held)) {
    c.notes.push_back(fmt::format("like one hole of {:.2f} mm", 1e3 * leak.hole_m));
    c.value = from_si(t, on_other_tester(leak, {.regulated_pa = 80 * kPsi, .air = {}}).loss);
    c.reads_as = "on a tester with a 1.02 mm orifice at 80 psi";
  }
  add_flags(c, leak.flags);
  return c;
}

/// What the gauge still shows, as per cent lost.
std::optional<double> held_as_loss(const Taken& t, double si, Quantity q) {
  if (q != Quantity::pressure_gauge || !t.was_told("tester-pressure") || si > t.at.si("tester-pressure")) return {};
  return from_si(t, 1 - si / t.at.si("tester-pressure"));
}

Correction case_corrected(const Taken& t) {
  constexpr double kStandardStart = 40e3, kMinute = 60, kDischarge = 0.65;
  constexpr double kBottomRatio = 0.4;  // a case holds about 2.5 times the displacement at bottom dead centre
  Correction c = as_read(t);
  const bool vacuum = t.at.word("test") == "vacuum";
  const double sign = vacuum ? -1 : 1, start = t.at.si("start");
  const double lost = std::min(kMinute * to_si(t, t.value), start);
  CaseTest test{
      .volume_m3 = 1e-3, .start_pa = sign * start, .end_pa = sign * (start - lost), .seconds = kMinute, .air = {}};
  if (t.at.has("volume")) test.volume_m3 = t.at.si("volume");
  const bool volume_known = t.at.has("volume") || t.bike->displacement_cc > 0;
  if (!t.at.has("volume") && volume_known) test.volume_m3 = 1e-6 * t.bike->displacement_cc / kBottomRatio;
  if (t.at.has("from-temperature") && t.at.has("to-temperature")) {
    test.cooled_k = t.at.si("from-temperature") - t.at.si("to-temperature");
    test.air.temperature_k = t.at.si("from-temperature");
    c.brought_to("with its cooling taken off");
  }
  if (t.at.has("from-temperature") != t.at.has("to-temperature"))
    c.notes.emplace_back("the temperature at both ends is wanted to take its cooling off");
  const CaseLeak leak = case_leak(test);
  const double from = test.air.ambient_pa + sign * start;
  const auto free_air = [&](double a, double b) {
    return free_air_through_m3_s(1e-4, kDischarge, std::max(a, b), std::min(a, b), test.air);
  };
  const double to_standard =
      free_air(test.air.ambient_pa + kStandardStart, test.air.ambient_pa) / free_air(from, test.air.ambient_pa);
  if (vacuum || std::abs(start / kStandardStart - 1) > 0.02) c.brought_to("from 40 kPa");
  c.value = from_si(t, leak.leak_pa_s * to_standard);
  if (leak.hole_m > 0 && volume_known && !has(leak.flags, CalcFlag::nothing_held)) {
    constexpr double kIdleRpm = 1700, kIdleDelivery = 0.25;  // usual idle of a two-stroke; from memory
    std::string words = fmt::format("like one hole of {:.2f} mm", 1e3 * leak.hole_m);
    if (t.bike->displacement_cc > 0) {
      const double idle =
          engine_air_m3_s(1e-6 * t.bike->displacement_cc, kIdleRpm * 2 * std::numbers::pi / 60, kIdleDelivery);
      words += fmt::format(", {:.1f} % of the air at idle; running, it pulls harder than the test",
                           100 * leak.free_air_m3_s / idle);
    }
    c.notes.push_back(words);
  }
  add_flags(c, leak.flags);
  return c;
}

}  // namespace

const Method& compression() {
  static const Method kMethod{
      with_height(
          {quantity(Of::shop, "hose",
                    "volume of the gauge's hose before its valve; none if the valve sits in the plug end", "cm3", 0,
                    12),
           choice(Of::test, "kick", "how it was turned over", {"usual", "slow", "brisk"}),
           choice(Of::test, "engine", "", {"warm", "cold"}),
           choice(Of::test, "oil", "wet: a teaspoon of oil was put in before", {"dry", "wet"}),
           choice(Of::test, "decompressor", "out: it was kept from working", {"at-work", "out"}, "decompressor"),
           quantity(Of::bike, "clearance", "volume above the piston at top dead centre", "cm3", 1, 200),
           quantity(Of::bike, "trapped-ratio", "compression ratio after the port or inlet valve has closed", ":1", 3,
                    20)}),
      compression_corrected};
  return kMethod;
}

const Method& leak_down() {
  static const Method kMethod{
      {quantity(Of::shop, "tester-pressure", "of the leak-down tester, before its orifice", "psi", 10, 150, 80),
       quantity(Of::shop, "orifice", "of the leak-down tester", "mm", 0.3, 5)},
      leak_down_corrected,
      held_as_loss,
      "a pressure that it held, up to the tester-pressure told"};
  return kMethod;
}

const Method& case_leak() {
  static const Method kMethod{
      {choice(Of::test, "test", "pressure pumped in, or drawn off", {"pressure", "vacuum"}),
       quantity(Of::test, "start", "on the gauge, above or (without a sign) below the air outside", "kPa", 5, 60, 40),
       quantity(Of::test, "from-temperature", "of the case at the start", "degC", -10, 110),
       quantity(Of::test, "to-temperature", "of the case at the end", "degC", -10, 110),
       quantity(Of::bike, "volume", "of the closed case with the hoses, piston at the bottom", "cm3", 50, 3000)},
      case_corrected};
  return kMethod;
}

}  // namespace crankwise::methods
