#include "tests/sounds/truth.h"

namespace crankwise::sounds {

double Truth::weak_share(double from_rpm, double to_rpm) const {
  double all = 0, weak = 0;
  for (const Firing& f : firings) {
    if (f.rpm < from_rpm || f.rpm > to_rpm) continue;
    all += 1;
    weak += f.weak() ? 1 : 0;
  }
  return all > 0 ? weak / all : 0;
}

}  // namespace crankwise::sounds
