#include "app/inputs/air.h"

namespace crankwise {

std::vector<Input> air_inputs(const std::string& day) {
  return {{"height" + day, "above the sea", "m", -500, 5000, 0.0},
          {"pressure" + day,
           "of the air here (not a forecast's, which is reduced to the sea); left out: usual at that height",
           "hPa",
           500,
           1100,
           {},
           true},
          {"temperature" + day, "of the air in the shade", "degC", -40, 55, 15.0},
          {"humidity" + day, "relative", "%", 0, 100, 0.0}};
}

MoistAir air_of(const Inputs& in, const std::string& day) {
  const double pressure =
      in.has("pressure" + day) ? in.si("pressure" + day) : standard_air(in.si("height" + day)).pressure_pa;
  return air_from_humidity(pressure, in.si("temperature" + day), in.si("humidity" + day));
}

}  // namespace crankwise
