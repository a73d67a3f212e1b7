#include <fmt/format.h>

#include <numbers>

#include "app/inputs/drive.h"
#include "app/sums/sum.h"
#include "core/calc/gas.h"
#include "core/calc/pipe.h"

namespace crankwise {
namespace {

constexpr double kRpm = 60 / (2 * std::numbers::pi), kKmh = 3.6;

SumAnswer road(const Inputs& in) {
  const Gearing g = gearing_of(in);
  const double round = circumference_m(in), v = road_speed_m_s(g, round, in.si("speed"));
  return {{{"speed", kKmh * v, "km/h", 1}, {"overall ratio", overall_ratio(g), ":1", 3}, {"tyre rolls", round, "m", 3}},
          fmt::format("{} / {:.3f} * {:.3f} m = {:.1f} km/h", in.told("speed"), overall_ratio(g), round, kKmh * v),
          {}};
}

SumAnswer engine(const Inputs& in) {
  const Gearing g = gearing_of(in);
  const double round = circumference_m(in), w = crank_for_speed_rad_s(g, round, in.si("road"));
  return {{{"engine", kRpm * w, "rpm", 0}, {"overall ratio", overall_ratio(g), ":1", 3}, {"tyre rolls", round, "m", 3}},
          fmt::format("{} / {:.3f} m * {:.3f} = {:.0f} rpm", in.told("road"), round, overall_ratio(g), kRpm * w),
          {}};
}

SumAnswer chamber(const Inputs& in) {
  const double c = sound_speed_m_s(kExhaustGas, in.si("gas"));
  const TunedLength t = tuned_length({c, in.si("open"), in.si("speed")});
  SumAnswer a{
      {{"port face to the middle of the baffle cone", 1e3 * t.length_m, "mm", 0}, {"sound in the gas", c, "m/s", 0}},
      fmt::format("{:.0f} m/s / 2 * time that the port is open = {:.0f} mm", c, 1e3 * t.length_m),
      {}};
  add_notes(a, t.flags);
  return a;
}

SumAnswer quarter(const Inputs& in) {
  const double c = sound_speed_m_s(kExhaustGas, in.si("gas")), f = quarter_wave_hz(in.si("length"), c);
  return {{{"swings at", f, "Hz", 1}, {"sound in the gas", c, "m/s", 0}},
          fmt::format("{:.0f} m/s / (4 * {}) = {:.1f} Hz", c, in.told("length"), f),
          {}};
}

}  // namespace

std::vector<Sum> vehicle_sums() {
  const auto with = [](Input more) {
    std::vector<Input> all = drive_inputs();
    all.push_back(std::move(more));
    return all;
  };
  const Input gas{"gas", "mean temperature in the pipe", "degC", 20, 1000, 500.0};
  return {
      {"road-speed", "Road speed at an engine speed", "Gearing and pipes", "turns of the wheel * what the tyre rolls",
       "teeth counted; a loaded tyre rolls 2 to 4 % less than its size: common practice",
       with({"speed", "of the engine", "rpm", 500, 20000}), road},
      {"engine-speed", "Engine speed at a road speed", "Gearing and pipes", "road speed / what the tyre rolls * ratio",
       "teeth counted; a loaded tyre rolls 2 to 4 % less than its size: common practice",
       with({"road", "road speed", "km/h", 1, 250}), engine},
      {"chamber-length",
       "Tuned length of an expansion chamber",
       "Gearing and pipes",
       "sound / 2 * time that the port is open",
       "Jennings, Two-Stroke Tuner's Handbook, 1973 (from memory)",
       {{"open", "how long the exhaust port is open", "deg", 120, 220},
        {"speed", "at peak power", "rpm", 2000, 16000},
        gas},
       chamber},
      {"quarter-wave",
       "A pipe closed at one end",
       "Gearing and pipes",
       "sound / (4 * length)",
       "acoustics of small waves; no end correction",
       {{"length", "of the pipe", "mm", 50, 3000}, gas},
       quarter}};
}

}  // namespace crankwise
