#include <fmt/format.h>

#include <cmath>

#include "app/sums/sum.h"
#include "core/calc/leak.h"

namespace crankwise {
namespace {

constexpr double kMm = 1e3;

SumAnswer leak(const Inputs& in) {
  const LeakTester tester{in.si("orifice"), in.si("pressure"), {}};
  SumAnswer a;
  if (in.has("held") == in.has("loss")) {
    a.notes.emplace_back("Tell either what is held or how much is lost.");
    return a;
  }
  const double held = in.has("held") ? in.si("held") : tester.regulated_pa * (1 - in.si("loss"));
  if (held > tester.regulated_pa) {
    a.notes.emplace_back("More is held than goes in: the two gauges are the wrong way round, or one is off.");
    return a;
  }
  const LeakDown d = leak_down(tester, held);
  const LeakTester other{in.si("other-orifice"), in.si("other-pressure"), {}};
  a.values = {{"lost", 100 * d.loss, "%", 1}, {"like a hole of", kMm * d.hole_m, "mm", 2}};
  if (std::isfinite(d.hole_m)) {
    a.values.push_back(
        {fmt::format("the same leak at {} through {}", in.told("other-pressure"), in.told("other-orifice")),
         100 * on_other_tester(d, other).loss, "% lost", 1});
  }
  a.worked = fmt::format("({} - {:.0f} kPa) / {} = {:.1f} %", in.told("pressure"), 1e-3 * held, in.told("pressure"),
                         100 * d.loss);
  add_notes(a, d.flags);
  return a;
}

SumAnswer crankcase(const Inputs& in) {
  const double sign = in.word("test") == "vacuum" ? -1 : 1;
  SumAnswer a;
  if (in.si("end") > in.si("start")) {
    a.notes.emplace_back("It ends further from the air outside than it began: the two values are swapped.");
    return a;
  }
  const CaseTest test{.volume_m3 = in.si("volume"),
                      .start_pa = sign * in.si("start"),
                      .end_pa = sign * in.si("end"),
                      .seconds = in.si("time"),
                      .cooled_k = in.si("cooled"),
                      .air = {}};
  const CaseLeak c = case_leak(test);
  a.values = {{"lost a minute", 60e-3 * c.loss_pa_s, "kPa/min", 2},
              {"  by cooling alone", 60e-3 * c.cooling_pa / test.seconds, "kPa/min", 2},
              {"  by leaking", 60e-3 * c.leak_pa_s, "kPa/min", 2},
              {"like a hole of", kMm * c.hole_m, "mm", 3},
              {"air that passes", 60e6 * c.free_air_m3_s, "mL/min", 1}};
  if (in.has("displacement")) {
    const double takes = engine_air_m3_s(in.si("displacement"), in.si("idle"), 0.25);
    a.values.push_back({"of what it breathes at idle", 100 * c.free_air_m3_s / takes, "%", 2});
  }
  a.worked = fmt::format("({} - {}) / {} = {:.2f} kPa/min", in.told("start"), in.told("end"), in.told("time"),
                         60e-3 * c.loss_pa_s);
  add_notes(a, c.flags);
  return a;
}

}  // namespace

std::vector<Sum> leak_sums() {
  return {{"leak-down",
           "Leak-down as the hole it stands for",
           "Leaks",
           "lost = (pressure in - held) / pressure in; two holes in a row",
           "flow through holes (NACA Report 1135); orifice of 0.040 in is aircraft practice (FAA AC 43.13-1B)",
           {{"pressure", "that goes in", "kPa", 30, 1000},
            {"held", "by the cylinder", "kPa", 0, 1000, {}, true},
            {"loss", "that the tester shows, if it shows per cent", "%", 0, 100, {}, true},
            {"orifice", "of your tester", "mm", 0.2, 5, 1.016},
            {"other-orifice", "to compare with", "mm", 0.2, 5, 1.016},
            {"other-pressure", "to compare with", "kPa", 30, 1000, 550.0}},
           leak,
           {"compressed-air"}},
          {"crankcase-leak",
           "Crankcase pressure or vacuum test",
           "Leaks",
           "leak = loss - p dT / T; hole by flow at the mean pressure",
           "ideal gas; flow through holes (NACA Report 1135)",
           {{"test", "which way", "", 0, 0, {}, false, {"pressure", "vacuum"}},
            {"start", "pressure or vacuum at first, against the air outside", "kPa", 1, 100},
            {"end", "the same at the end", "kPa", 0, 100},
            {"time", "between the two", "s", 5, 3600, 60.0},
            {"volume", "of the closed case, hoses included", "cm3", 50, 3000, 400.0},
            {"cooled", "by how many kelvin the engine cooled meanwhile", "number", -40, 60, 0.0},
            {"displacement", "of the engine, for the share of its idle air", "cm3", 20, 800, {}, true},
            {"idle", "its speed at idle", "rpm", 500, 4000, 1500.0}},
           crankcase,
           {"crankcase-pressure"}}};
}

}  // namespace crankwise
