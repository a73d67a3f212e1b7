#include "app/inputs/drive.h"

namespace crankwise {

std::vector<Input> drive_inputs() {
  return {{"primary", "clutch basket over crank gear, or what the handbook gives", ":1", 1, 6},
          {"gear", "of the gear that is in", ":1", 0.5, 5},
          {"front", "teeth of the front sprocket", "number", 8, 25},
          {"rear", "teeth of the rear sprocket", "number", 25, 80},
          {"circumference", "of the rear tyre as it rolls; left out: from its size", "mm", 800, 2800, {}, true},
          {"tyre-width", "first number on its side", "mm", 50, 200, 110.0},
          {"tyre-aspect", "second number on its side", "%", 40, 100, 90.0},
          {"rim", "last number on its side", "in", 8, 23, 19.0}};
}

Gearing gearing_of(const Inputs& in) {
  return {{in.si("primary"), 1}, {in.si("gear"), 1}, {in.si("rear"), in.si("front")}};
}

double circumference_m(const Inputs& in) {
  if (in.has("circumference")) return in.si("circumference");
  return tyre_circumference({in.si("tyre-width"), in.si("tyre-aspect"), in.si("rim")}).free_m * 0.97;
}

}  // namespace crankwise
