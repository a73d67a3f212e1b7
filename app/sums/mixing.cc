#include <fmt/format.h>

#include <cmath>

#include "app/inputs/air.h"
#include "app/sums/sum.h"
#include "core/calc/mixing.h"

namespace crankwise {
namespace {

const Input kRatio{"ratio", "parts of petrol to one of oil", ":1", 10, 200};

SumAnswer oil_for(const Inputs& in) {
  const double fuel = in.si("fuel"), ratio = in.si("ratio"), oil = oil_for_fuel(fuel, ratio);
  SumAnswer a{{{"oil", 1e6 * oil, "mL", 0},
               {"mix in all", 1e3 * (fuel + oil), "L", 2},
               {"oil in it", 100 * oil_share(ratio), "%", 2}},
              fmt::format("{} / {:g} = {:.0f} mL", in.told("fuel"), ratio, 1e6 * oil),
              {}};
  add_notes(a, ratio_flags(ratio));
  return a;
}

SumAnswer put_right(const Inputs& in) {
  const Can can = in.has("mixed") ? split_mix(in.si("can"), in.si("mixed")) : Can{in.si("can"), 0};
  const CanCorrection c = correct_can(can, in.si("ratio"));
  const bool oil = c.add_oil_m3 > 0;
  SumAnswer a;
  a.values = {{"petrol in it now", 1e3 * can.fuel_m3, "L", 2},
              {"oil in it now", 1e6 * can.oil_m3, "mL", 0},
              {"add oil", 1e6 * c.add_oil_m3, "mL", 0},
              {"add petrol", 1e3 * c.add_fuel_m3, "L", 2},
              {"mix in all then", 1e3 * (c.after.fuel_m3 + c.after.oil_m3), "L", 2}};
  a.worked = oil ? fmt::format("{:.3f} L / {:g} - {:.0f} mL = {:.0f} mL of oil", 1e3 * can.fuel_m3, in.si("ratio"),
                               1e6 * can.oil_m3, 1e6 * c.add_oil_m3)
                 : fmt::format("{:.0f} mL * {:g} - {:.3f} L = {:.2f} L of petrol", 1e6 * can.oil_m3, in.si("ratio"),
                               1e3 * can.fuel_m3, 1e3 * c.add_fuel_m3);
  add_notes(a, c.flags);
  return a;
}

SumAnswer other_mix(const Inputs& in) {
  const double from = in.si("from"), to = in.si("to");
  const MixChange m = mixture_after(from, to);
  const double change = 100 * (m.petrol_factor - 1);
  SumAnswer a{{{change >= 0 ? "richer by" : "leaner by", std::abs(change), "%", 2}},
              fmt::format("({1:g} / {2:g}) / ({0:g} / {3:g}) = {4:.4f}", from, to, to + 1, from + 1, m.petrol_factor),
              {}};
  add_notes(a, m.flags);
  return a;
}

}  // namespace

std::vector<Sum> mixing_sums() {
  return {{"oil-for-fuel",
           "Oil for so much petrol",
           "Mixing fuel",
           "oil = petrol / ratio",
           "what the ratio means: 32:1 is 32 parts of petrol to one of oil",
           {{"fuel", "petrol that the oil goes into", "L", 0.01, 1000}, kRatio},
           oil_for,
           {"petrol-vapour"}},
          {"put-can-right",
           "A can that was mixed wrong",
           "Mixing fuel",
           "oil to add = petrol / ratio - oil; or petrol to add = oil * ratio - petrol",
           "what the ratio means",
           {{"can", "what is in the can", "L", 0.01, 1000},
            {"mixed", "ratio at which it was mixed; left out: plain petrol", ":1", 5, 1000, {}, true},
            kRatio},
           put_right,
           {"petrol-vapour"}},
          {"other-mix",
           "What another mix does to the mixture",
           "Mixing fuel",
           "petrol through one jet goes as its share of the mix, ratio / (ratio + 1)",
           "what the ratio means; that thicker fuel flows worse is left out",
           {{"from", "ratio it was jetted for", ":1", 10, 200}, {"to", "ratio in the tank now", ":1", 10, 200}},
           other_mix,
           {"petrol-vapour"}}};
}

}  // namespace crankwise
