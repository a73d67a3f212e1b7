#include <fmt/format.h>

#include <numbers>

#include "app/sums/sum.h"
#include "core/calc/compression.h"
#include "core/calc/geometry.h"

namespace crankwise {
namespace {

using std::numbers::pi;
constexpr double kDeg = 180 / pi, kMm = 1e3, kCc = 1e6;

const std::vector<Input> kTrain{{"bore", "of the cylinder", "mm", 20, 130},
                                {"stroke", "of the crank", "mm", 20, 130},
                                {"rod", "between centres", "mm", 40, 250}};

std::vector<Input> with_train(std::vector<Input> more) {
  std::vector<Input> all = kTrain;
  for (Input& i : more) all.push_back(std::move(i));
  return all;
}

CrankTrain train(const Inputs& in) { return {in.si("bore"), in.si("stroke"), in.si("rod")}; }

/// Says so if such a crank cannot turn.
bool turns(const CrankTrain& t, SumAnswer& a) {
  if (t.rod_m > t.stroke_m / 2) return true;
  a.notes.emplace_back("The rod is not longer than half the stroke: no such crank turns. Measure again.");
  return false;
}

SumAnswer ratios(const Inputs& in) {
  SumAnswer a;
  const CrankTrain t = train(in);
  if (!turns(t, a)) return a;
  const double closes = in.has("exhaust-opens") ? in.si("exhaust-opens") : pi;
  const CompressionRatios c = compression_ratios(t, in.si("clearance"), closes);
  a.values = {{"displacement", kCc * c.swept_m3, "cm3", 1},
              {"compression ratio, whole stroke", c.full, ":1", 2},
              {"compression ratio, trapped", c.trapped, ":1", 2},
              {"stroke after the port has closed", kMm * c.trapped_stroke_m, "mm", 2}};
  a.worked = fmt::format("({:.1f} + {:.1f}) / {:.1f} = {:.2f}; trapped ({:.1f} + {:.1f}) / {:.1f} = {:.2f}",
                         kCc * c.swept_m3, kCc * in.si("clearance"), kCc * in.si("clearance"), c.full,
                         kCc * c.trapped_m3, kCc * in.si("clearance"), kCc * in.si("clearance"), c.trapped);
  add_notes(a, c.flags);
  return a;
}

SumAnswer changed(const Inputs& in) {
  SumAnswer a;
  TopEnd top{train(in), in.si("clearance"), in.si("squish"), pi, pi};
  if (!turns(top.train, a)) return a;
  if (in.has("exhaust-opens")) top.exhaust_opens_rad = in.si("exhaust-opens");
  if (in.has("transfer-opens")) top.transfer_opens_rad = in.si("transfer-opens");
  const TopEndChange change{in.si("thicker-base") - in.si("thinner-base"),
                            in.si("thicker-head") - in.si("thinner-head"), in.si("cut")};
  const ChangedTopEnd c = change_top_end(top, change);
  a.values = {{"clearance volume then", kCc * c.after.clearance_m3, "cm3", 2},
              {"squish then", kMm * c.after.squish_m, "mm", 2},
              {"ratio then, whole stroke", c.ratios.full, ":1", 2},
              {"ratio then, trapped", c.ratios.trapped, ":1", 2}};
  if (in.has("exhaust-opens")) a.values.push_back({"exhaust opens then", kDeg * c.after.exhaust_opens_rad, "deg", 1});
  if (in.has("transfer-opens"))
    a.values.push_back({"transfers open then", kDeg * c.after.transfer_opens_rad, "deg", 1});
  a.worked = fmt::format("squish {} + {:.2f} mm + {:.2f} mm - {:.2f} mm = {:.2f} mm", in.told("squish"),
                         kMm * change.base_gasket_m, kMm * change.head_gasket_m, kMm * change.head_cut_m,
                         kMm * c.after.squish_m);
  add_notes(a, c.flags);
  return a;
}

SumAnswer drop(const Inputs& in) {
  SumAnswer a;
  const CrankTrain t{1, in.si("stroke"), in.si("rod")};
  if (!turns(t, a)) return a;
  const double d = piston_drop_m(t, in.si("angle"));
  return {{{"piston below top dead centre", kMm * d, "mm", 3}},
          fmt::format("r (1 - cos a) + l - sqrt(l^2 - r^2 sin^2 a), r = {:g} mm, l = {}, a = {}: {:.3f} mm",
                      kMm * t.stroke_m / 2, in.told("rod"), in.told("angle"), kMm * d),
          {}};
}

SumAnswer angle(const Inputs& in) {
  SumAnswer a;
  const CrankTrain t{1, in.si("stroke"), in.si("rod")};
  if (!turns(t, a)) return a;
  if (in.si("drop") > t.stroke_m) {
    a.notes.emplace_back("That is more than the stroke. Measure again.");
    return a;
  }
  const double rad = crank_at_drop_rad(t, in.si("drop"));
  return {{{"crank from top dead centre", kDeg * rad, "deg", 2}},
          fmt::format("r (1 - cos a) + l - sqrt(l^2 - r^2 sin^2 a) = {} at {:.2f} deg", in.told("drop"), kDeg * rad),
          {}};
}

SumAnswer port(const Inputs& in) {
  SumAnswer a;
  const CrankTrain t{1, in.si("stroke"), in.si("rod")};
  if (!turns(t, a)) return a;
  const double down = in.si("top-edge");
  if (down >= t.stroke_m) {
    a.notes.emplace_back("The port would lie below the stroke and never open. Measure again.");
    return a;
  }
  const PortTiming p = port_at_drop(t, down);
  return {{{"opens after top dead centre", kDeg * p.opens_rad, "deg", 1},
           {"open for", kDeg * p.duration_rad, "deg", 1},
           {"top edge above the crown at the bottom", kMm * p.height_m, "mm", 2}},
          fmt::format("2 * (180 - {:.1f}) = {:.1f} deg", kDeg * p.opens_rad, kDeg * p.duration_rad),
          {}};
}

SumAnswer time_area(const Inputs& in) {
  SumAnswer a;
  const CrankTrain t = train(in);
  if (!turns(t, a)) return a;
  const TimeArea x = port_time_area(t, in.si("opens"), in.si("width"), in.si("speed"));
  return {{{"time-area over displacement", 1e-2 * x.specific_s_m, "s/cm", 5},
           {"angle-area", 1e4 * kDeg * x.angle_area_m2_rad, "deg cm2", 1}},
          fmt::format("open area added up over the time at {}, over {:.1f} cm3", in.told("speed"),
                      kCc * displacement_m3(t.bore_m, t.stroke_m)),
          {}};
}

SumAnswer speed(const Inputs& in) {
  SumAnswer a;
  const CrankTrain t{1, in.si("stroke"), in.si("rod")};
  if (!turns(t, a)) return a;
  const PistonSpeed p = piston_speed(t, in.si("speed"));
  return {{{"mean", p.mean_m_s, "m/s", 2}, {"most", p.most_m_s, "m/s", 2}, {"most at", kDeg * p.most_at_rad, "deg", 1}},
          fmt::format("2 * {} * {} / 60 = {:.2f} m/s", in.told("stroke"), in.told("speed"), p.mean_m_s),
          {}};
}

SumAnswer squish(const Inputs& in) {
  SumAnswer a;
  const SquishBand band{train(in), in.si("bowl"), in.si("bowl-volume"), in.si("gap")};
  if (!turns(band.train, a)) return a;
  if (band.bowl_diameter_m >= band.train.bore_m) {
    a.notes.emplace_back("The bowl is as wide as the bore: there is no squish band. Measure again.");
    return a;
  }
  const SquishPeak p = squish_peak(band, in.si("speed"));
  a.values = {{"fastest", p.speed_m_s, "m/s", 1}, {"before top dead centre", kDeg * p.before_tdc_rad, "deg", 1}};
  a.worked = fmt::format("Sp (Db / 4z) ((B / Db)^2 - 1) Vb / (A z + Vb), highest {:.1f} m/s", p.speed_m_s);
  add_notes(a, p.flags);
  return a;
}

SumAnswer gauge(const Inputs& in) {
  const GaugeTest test{
      in.si("clearance") * (in.si("ratio") - 1), in.si("clearance"), in.si("ambient"), in.si("exponent"), in.si("hose"),
      in.word("decompressor") == "yes"};
  const ExpectedGauge e = expected_gauge(test);
  SumAnswer a{
      {{"should read", 1e-3 * e.gauge_pa, "kPa", 0},
       {"", e.gauge_pa / 6894.757293168, "psi", 0},
       {"at the least (slow, cold)", e.low_pa / 6894.757293168, "psi", 0},
       {"at the most (fast, hot)", e.high_pa / 6894.757293168, "psi", 0}},
      fmt::format("{} * ({:.2f}^{:g} - 1) = {:.0f} kPa", in.told("ambient"), e.ratio, test.exponent, 1e-3 * e.gauge_pa),
      {}};
  if (in.has("read")) {
    const CorrectedGauge c = corrected_gauge(test, in.si("read"));
    a.values.push_back({"yours is, of what it should be", 100 * c.share, "%", 0});
    a.values.push_back({"at sea level without a hose it would read", c.sea_level_pa / 6894.757293168, "psi", 0});
  }
  add_notes(a, e.flags);
  return a;
}

}  // namespace

std::vector<Sum> engine_sums() {
  const Input &stroke = kTrain[1], &rod = kTrain[2];
  const Input clearance{
      "clearance", "volume above the piston at top dead centre, measured with oil; not the head's own", "cm3", 1, 200};
  const Input exhaust{"exhaust-opens", "after top dead centre; left out: no ports", "deg", 60, 179, {}, true};
  const Input rpm{"speed", "of the engine", "rpm", 200, 20000};
  const char* plain = "plain geometry (Heywood, Internal Combustion Engine Fundamentals, section 2.2)";
  return {{"compression-ratio", "Compression ratio, whole stroke and trapped", "Engine",
           "(volume + clearance) / clearance; the gauge follows the trapped one", plain,
           with_train({clearance, exhaust}), ratios},
          {"gasket-change", "Another gasket or a cut head", "Engine",
           "clearance and squish change by area * thickness; ports open earlier by what lies under the cylinder",
           "plain geometry; squish limits of two-strokes from a textbook (as quoted)",
           with_train({clearance,
                       {"squish", "now", "mm", 0.2, 10},
                       exhaust,
                       {"transfer-opens", "after top dead centre", "deg", 60, 179, {}, true},
                       {"thicker-base", "base gasket thicker by", "mm", 0, 5, 0.0},
                       {"thinner-base", "base gasket thinner by", "mm", 0, 5, 0.0},
                       {"thicker-head", "head gasket thicker by", "mm", 0, 5, 0.0},
                       {"thinner-head", "head gasket thinner by", "mm", 0, 5, 0.0},
                       {"cut", "off the face of the head", "mm", 0, 5, 0.0}}),
           changed},
          {"degrees-to-mm",
           "Crank angle to piston travel",
           "Engine",
           "r (1 - cos a) + l - sqrt(l^2 - r^2 sin^2 a)",
           plain,
           {stroke, rod, {"angle", "before or after top dead centre", "deg", 0, 180}},
           drop},
          {"mm-to-degrees",
           "Piston travel to crank angle",
           "Engine",
           "r (1 - cos a) + l - sqrt(l^2 - r^2 sin^2 a)",
           plain,
           {stroke, rod, {"drop", "of the piston below top dead centre", "mm", 0, 130}},
           angle},
          {"port-timing",
           "When a port opens",
           "Engine",
           "open for 2 * (180 deg - opening)",
           plain,
           {stroke, rod, {"top-edge", "of the port below the crown's edge at top dead centre", "mm", 1, 130}},
           port},
          {"time-area", "Time-area of a port", "Engine", "open area over time, over displacement",
           "rectangular port opened by the crown; compare only like with like",
           with_train({{"opens", "after top dead centre", "deg", 60, 179},
                       {"width", "of all its openings together", "mm", 5, 150},
                       rpm}),
           time_area},
          {"piston-speed", "Piston speed", "Engine", "mean = 2 * stroke * turns", plain, {stroke, rod, rpm}, speed},
          {"squish-speed", "Squish speed", "Engine", "Sp (Db / 4z) ((B / Db)^2 - 1) Vb / (A z + Vb)",
           "Heywood, chapter 8; ideal: no leak, no heat",
           with_train({{"bowl", "inner edge of the band", "mm", 10, 120},
                       {"bowl-volume", "of the chamber inside it", "cm3", 1, 200},
                       {"gap", "squish at top dead centre", "mm", 0.2, 10},
                       rpm}),
           squish},
          {"gauge-pressure",
           "What a compression gauge should read",
           "Engine",
           "air pressure * (ratio^n - 1)",
           "ideal, no leak; n 1.20 to 1.30 when kicked over: common practice",
           {{"ratio", "trapped compression ratio", ":1", 3, 20},
            clearance,
            {"ambient", "air pressure here", "kPa", 50, 110, 101.325},
            {"exponent", "of the kick", "number", 1.0, 1.45, 1.25},
            {"hose", "volume of hose and gauge before the check valve", "cm3", 0, 30, 0.0},
            {"decompressor", "at work", "", 0, 0, {}, false, {"no", "yes"}},
            {"read", "what yours shows", "kPa", 0, 3000, {}, true}},
           gauge,
           {"ignition-voltage", "spark-near-fuel"}}};
}

}  // namespace crankwise
