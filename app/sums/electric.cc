#include <fmt/format.h>

#include <numbers>

#include "app/sums/sum.h"
#include "core/calc/compression.h"
#include "core/calc/electric.h"
#include "core/calc/spark.h"

namespace crankwise {
namespace {

constexpr double kRoomK = 293.15, kDeg = 180 / std::numbers::pi;

SumAnswer copper(const Inputs& in) {
  const Flagged f = copper_factor(in.si("temperature"), in.si("at"));
  const double ohm = in.si("resistance") * f.value;
  SumAnswer a{{{"at " + in.told("at"), ohm, "ohm", ohm < 10 ? 3 : 1}, {"factor", f.value, "", 4}},
              fmt::format("{} * (234.5 + {:g}) / (234.5 + {:g}) = {:.4g} ohm", in.told("resistance"),
                          in.si("at") - 273.15, in.si("temperature") - 273.15, ohm),
              {}};
  add_notes(a, f.flags);
  return a;
}

SumAnswer meter(const Inputs& in) {
  SumAnswer a;
  const Span limits{in.si("low"), in.si("high")};
  if (limits.low > limits.high) {
    a.notes.emplace_back("The lower limit is above the upper one: the two are swapped.");
    return a;
  }
  MeterReading reading{in.si("shows"), {}};
  if (in.has("leads")) reading.leads = in.si("leads");
  const Meter m{in.si("accuracy"), in.si("digits"), in.si("step")};
  const Judged j = judge_reading(reading, scaled(limits, copper_factor(kRoomK, in.si("temperature")).value), m);
  constexpr const char* kWords[] = {"too low", "within its limits", "too high", "this meter cannot tell"};
  a.values = {{"the value lies between", j.truth.low, "ohm", 3}, {"and", j.truth.high, "ohm", 3}};
  a.worked = fmt::format("{} +- ({} + {:g} digits of {}): {}", in.told("shows"), in.told("accuracy"), in.si("digits"),
                         in.told("step"), kWords[static_cast<size_t>(j.verdict)]);
  add_notes(a, j.flags);
  return a;
}

SumAnswer wire(const Inputs& in) {
  const Flagged f = wire_drop_v(in.si("length"), in.si("area"), in.si("current"), in.si("temperature"));
  SumAnswer a{{{"lost on the way", f.value, "V", 3}},
              fmt::format("1/58 ohm mm2/m * {} * {} / {} = {:.3f} V", in.told("length"), in.told("current"),
                          in.told("area"), f.value),
              {}};
  add_notes(a, f.flags);
  return a;
}

SumAnswer spark(const Inputs& in) {
  const CompressedGas gas = compressed(in.si("ambient"), in.si("temperature"), in.si("ratio"), in.si("exponent"));
  const SparkNeed need = spark_need({gas.pressure_pa, gas.temperature_k}, in.si("gap"));
  const SparkNeed open = spark_need({in.si("ambient"), in.si("temperature")}, in.si("gap"));
  SumAnswer a{{{"in the engine, about", 1e-3 * need.volts, "kV", 1},
               {"  from", 1e-3 * need.low_v, "kV", 1},
               {"  to", 1e-3 * need.high_v, "kV", 1},
               {"in the open air", 1e-3 * open.volts, "kV", 1}},
              fmt::format("{:.2f} MPa and {:.0f} K at the spark: {:.1f} kV", 1e-6 * gas.pressure_pa, gas.temperature_k,
                          1e-3 * need.volts),
              {}};
  add_notes(a, need.flags);
  return a;
}

SumAnswer slip(const Inputs& in) {
  const double rad = slip_rad(in.si("slip"), in.si("diameter") / 2);
  return {{{"timing moves by", kDeg * rad, "deg", 2}},
          fmt::format("{} / ({} / 2) = {:.2f} deg", in.told("slip"), in.told("diameter"), kDeg * rad),
          {}};
}

}  // namespace

std::vector<Sum> electric_sums() {
  const Input temperature{"temperature", "of the winding when it was measured", "degC", -40, 200};
  return {{"copper-at",
           "A winding's resistance at another temperature",
           "Electrics",
           "R * (234.5 + t) / (234.5 + t0)",
           "annealed copper, IEC 60028",
           {{"resistance", "as measured", "ohm", 0.001, 1e6},
            temperature,
            {"at", "temperature wanted", "degC", -40, 200, 20.0}},
           copper},
          {"ohm-meter",
           "What the ohm meter can tell",
           "Electrics",
           "reading - leads, give or take share * reading + digits * step",
           "the meter's own sheet; GUM for adding errors; lead resistance 0.1 to 0.5 ohm common practice",
           {{"shows", "the meter", "ohm", 0, 1e7},
            {"leads", "shown with the tips held together; left out: not tried", "ohm", 0, 5, {}, true},
            {"low", "limit of the handbook at 20 degC", "ohm", 0.001, 1e7},
            {"high", "limit of the handbook at 20 degC", "ohm", 0.001, 1e7},
            {"temperature", "of the winding", "degC", -40, 200, 20.0},
            {"accuracy", "of the reading, from the meter's sheet", "%", 0.01, 10, 0.8},
            {"digits", "of the last place, from the meter's sheet", "number", 0, 20, 2.0},
            {"step", "what the last place is worth in this range", "ohm", 0.001, 1e4, 0.1}},
           meter},
          {"wire-drop",
           "Volts lost along a wire",
           "Electrics",
           "length * current / (58 * area), there and back counted",
           "copper, IEC 60028",
           {{"length", "of wire, there and back", "m", 0.05, 50},
            {"area", "of the copper", "mm2", 0.1, 50},
            {"current", "through it", "A", 0.01, 200},
            {"temperature", "of the wire", "degC", -40, 150, 20.0}},
           wire,
           {"battery"}},
          {"spark-volts",
           "Voltage that a plug gap needs",
           "Electrics",
           "Paschen: B q / (ln(A q) - ln(ln(1 + 1/g))), q density of the air * gap",
           "Paschen's law for air, textbook constants; give or take 30 %",
           {{"gap", "of the plug", "mm", 0.1, 8},
            {"ratio", "how far the gas is compressed when it fires", ":1", 1, 16, 7.0},
            {"ambient", "air pressure here", "kPa", 50, 110, 101.325},
            {"temperature", "of the gas before it is compressed", "degC", -20, 150, 40.0},
            {"exponent", "of the compression", "number", 1.0, 1.4, 1.3}},
           spark,
           {"ignition-voltage", "spark-near-fuel"}},
          {"key-slip",
           "Timing moved by a slipped key",
           "Electrics",
           "slip / radius",
           "plain geometry",
           {{"slip", "along the arc", "mm", 0.01, 20},
            {"diameter", "of the shaft, or of the rim where it was measured", "mm", 5, 200}},
           slip,
           {"puller"}}};
}

}  // namespace crankwise
