#include <fmt/format.h>

#include <cmath>

#include "app/inputs/air.h"
#include "app/sums/sum.h"
#include "core/calc/jetting.h"

namespace crankwise {
namespace {

JetNumbering numbering(const Inputs& in) {
  return in.word("numbered-by") == "flow" ? JetNumbering::flow : JetNumbering::diameter;
}

SumAnswer jet_today(const Inputs& in) {
  const Jet jet{in.si("jet"), numbering(in), in.si("step")};
  const MoistAir then = air_of(in, "-then"), today = air_of(in, "");
  const JetAdvice advice = jet_for_today(jet, {in.si("height-then"), then}, {in.si("height"), today});
  SumAnswer a;
  a.values = {{"jet by physics", advice.physical.number, "", 1},
              {"  nearest that can be bought", advice.physical.nearest, "", 1},
              {"jet by the trade rule", advice.trade.number, "", 1},
              {"  nearest that can be bought", advice.trade.nearest, "", 1},
              {advice.richer_if_left >= 0 ? "richer if the jet is left" : "leaner if the jet is left",
               100 * std::abs(advice.richer_if_left), "%", 1}};
  a.worked = fmt::format("fuel must be {:.3f} times: {} {:g} -> {:.1f}", advice.physical.fuel_ratio,
                         in.word("numbered-by") == "flow" ? "flow number" : "hole number, by its square,", jet.number,
                         advice.physical.number);
  add_notes(a, advice.flags);
  a.notes.emplace_back(
      "too lean overheats and seizes: come from the richer side, plug check before long full throttle");
  return a;
}

SumAnswer jet_fuel(const Inputs& in) {
  const double from = in.si("from"), to = in.si("to");
  const double ratio = fuel_ratio(from, to, numbering(in)), change = 100 * (ratio - 1);
  const bool flow = in.word("numbered-by") == "flow";
  return {{{change >= 0 ? "more fuel" : "less fuel", std::abs(change), "%", 1}},
          flow ? fmt::format("{:g} / {:g} = {:.4f}", to, from, ratio)
               : fmt::format("({:g} / {:g})^2 = {:.4f}", to, from, ratio),
          {}};
}

SumAnswer clip(const Inputs& in) {
  const Needle needle{in.si("tube"), in.si("needle"), in.si("taper"), in.si("groove")};
  const double wanted = in.si("fuel");
  SumAnswer a;
  if (needle.needle_m >= needle.tube_m) {
    a.notes.emplace_back("The needle is as thick as its tube: nothing would pass there. Measure again.");
    return a;
  }
  const ClipMove m = clip_for_fuel(needle, wanted);
  a.values = {{m.grooves >= 0 ? "needle up by" : "needle down by", std::abs(m.grooves), "grooves", 2},
              {"nearest", std::abs(static_cast<double>(m.nearest)), "grooves", 0},
              {"one groove up gives", 100 * (m.one_groove_up - 1), "% more", 1}};
  a.worked = fmt::format("one groove thins the needle by 2 * {} * tan({} / 2)", in.told("groove"), in.told("taper"));
  add_notes(a, m.flags);
  return a;
}

std::string circuit_words(Circuit c) {
  constexpr const char* kWords[] = {"pilot jet and its screw", "slide cut-away", "needle and its jet", "main jet"};
  return kWords[static_cast<size_t>(c)];
}

SumAnswer circuit(const Inputs& in) {
  const double opening = in.si("opening");
  const CircuitAt at = circuit_at(opening);
  SumAnswer a{{},
              fmt::format("{}: {} rules{}", in.told("opening"), circuit_words(at.rules),
                          at.counts_too ? ", " + circuit_words(*at.counts_too) + " still counts" : ""),
              {}};
  return a;
}

SumAnswer screw(const Inputs& in) {
  const ScrewKind kind = in.word("screw") == "air" ? ScrewKind::air : ScrewKind::fuel;
  const double turns = in.si("turns") / (2 * 3.14159265358979323846);
  const PilotJet pilot = pilot_by_screw(kind, turns);
  const ScrewTurn turn = screw_for_fuel(kind, in.si("fuel"));
  const char* jet = pilot == PilotJet::right        ? "the pilot jet is right"
                    : pilot == PilotJet::fit_bigger ? "fit a bigger pilot jet"
                                                    : "fit a smaller pilot jet";
  const char* way = turn == ScrewTurn::in ? "turn it in" : turn == ScrewTurn::out ? "turn it out" : "leave it";
  return {{{"a step", kScrewStepTurns, "turns", 2}},
          fmt::format("best idle {:g} turns out: {}; for so much fuel: {}", turns, jet, way),
          {}};
}

}  // namespace

std::vector<Sum> jetting_sums() {
  const Input by{"numbered-by", "what the jet's number is", "", 0, 0, {}, false, {"diameter", "flow"}};
  std::vector<Input> today{{"jet", "number of the jet that ran right", "number", 5, 800},
                           by,
                           {"step", "from one size that can be bought to the next", "number", 0.5, 10, 2.5}};
  for (const char* day : {"-then", ""}) {
    for (Input& i : air_inputs(day)) today.push_back(std::move(i));
  }
  return {{"jet-today",
           "The jet for today's air",
           "Jetting",
           "area of the jet goes as sqrt(density) * dry density / density; trade rule beside it, never averaged",
           "flow through fixed orifices (Heywood, Internal Combustion Engine Fundamentals, ch. 7, from memory); trade "
           "rule: common practice",
           std::move(today),
           jet_today,
           {"petrol-vapour", "ride-test"}},
          {"jet-change",
           "What another jet does to the fuel",
           "Jetting",
           "fuel goes with a flow number, and with the square of a hole's number",
           "flow through a hole goes with its area",
           {{"from", "number of the jet now", "number", 5, 800}, {"to", "number of the other", "number", 5, 800}, by},
           jet_fuel},
          {"needle-clip",
           "How many grooves for so much fuel",
           "Jetting",
           "ring = tube^2 - needle^2; a groove thins the needle by 2 * groove * tan(taper / 2)",
           "geometry; needles have five grooves, used from the middle: common practice",
           {{"tube", "bore of the needle jet", "mm", 1, 6},
            {"needle", "thickness of the needle there at that throttle opening", "mm", 0.8, 6},
            {"taper", "angle between its two sides there", "deg", 0.1, 10},
            {"groove", "from one groove to the next", "mm", 0.3, 2, 1.0},
            {"fuel", "wanted, against now", "%", 60, 150}},
           clip,
           {"petrol-vapour", "ride-test"}},
          {"circuit",
           "Which circuit rules at this throttle",
           "Jetting",
           "pilot to 1/8, cut-away to 1/4, needle to 3/4, main jet beyond; neighbours overlap",
           "common practice",
           {{"opening", "of the throttle", "%", 0, 100}},
           circuit},
          {"screw",
           "Air or fuel screw, and what it says of the pilot jet",
           "Jetting",
           "an air screw out is leaner, a fuel screw out richer; best idle 1 to 2.5 turns out",
           "common practice (from memory)",
           {{"screw", "which one", "", 0, 0, {}, false, {"air", "fuel"}},
            {"turns", "out, at the best idle", "turns", 0, 6},
            {"fuel", "wanted at idle, against now", "%", 60, 150, 100.0}},
           screw,
           {"petrol-vapour", "exhaust-gas", "hot-parts", "rotating-parts"}}};
}

}  // namespace crankwise
