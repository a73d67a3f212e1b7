#include "app/sound/pull_told.h"

#include <fmt/format.h>

#include "app/inputs/drive.h"
#include "edge/problem.h"

namespace crankwise {
namespace {

const char* name(sound::PullProblem::Field field) {
  using Field = sound::PullProblem::Field;
  switch (field) {
    case Field::tooth_pair:
      return "gear";
    case Field::overall_ratio:
      return "the overall ratio";
    case Field::circumference_m:
      return "circumference in m";
    case Field::mass_kg:
      return "mass in kg";
    case Field::drag_area_m2:
      return "drag in m2";
    case Field::rolling:
      return "rolling";
    case Field::air_kg_m3:
      return "air in kg/m3";
    case Field::rotating_share:
      return "rotating";
    case Field::slope:
      return "slope";
    case Field::slip:
      return "slip";
  }
  return "";
}

}  // namespace

std::vector<Input> pull_inputs() {
  std::vector<Input> all = drive_inputs();
  all.push_back({"mass", "of bike and rider together", "kg", 70, 350});
  all.push_back({"drag", "area times its coefficient", "m2", 0.15, 1.2, 0.6});
  all.push_back(
      {"rolling", "resistance over weight: hard ground 0.02 to 0.04, sand 0.1 and more", "number", 0.008, 0.3, 0.03});
  all.push_back({"slope", "of the strip, uphill above 0", "%", -15, 15, 0.0});
  all.push_back({"slip", "of the driven wheel: hard ground 3, loose 10 to 20", "%", 0, 30, 5.0});
  all.push_back({"air", "its density", "kg/m3", 0.7, 1.5, 1.2});
  return all;
}

sound::PullSetup pull_told(const std::vector<std::string>& pairs) {
  const Inputs in = read_inputs(pull_inputs(), pairs, "a pull");
  sound::PullSetup setup;
  setup.gearing = gearing_of(in);
  setup.circumference_m = circumference_m(in);
  setup.load.mass_kg = in.si("mass");
  setup.load.drag_area_m2 = in.si("drag");
  setup.load.rolling = in.si("rolling");
  setup.load.air_kg_m3 = in.si("air");
  setup.slope = in.si("slope");
  setup.slip = in.si("slip");
  std::vector<Problem> wrong;
  for (const sound::PullProblem& p : sound::problems(setup)) {
    wrong.push_back({"", 0, name(p.field), fmt::format("{:g} is that of no such bike", p.value),
                     fmt::format("{:g} to {:g}", p.low, p.high)});
  }
  if (!wrong.empty()) throw BadInput(std::move(wrong));
  return setup;
}

}  // namespace crankwise
