#include "bench/virtual/handbook.h"

#include <algorithm>
#include <cmath>

#include "edge/yardstick.h"

namespace crankwise::bench {

void type_in_handbook(Bike& bike, const Knowledge& k) {
  constexpr double kBand = 1.2;  // as factory handbooks give it for windings
  const Traits traits(bike.traits);
  for (const Reading& r : k.readings) {
    if (!r.applies.holds(traits)) continue;
    const auto kind = yardstick_for(r, bike);
    const double middle = kind ? std::sqrt(kind->low * kind->high) : std::sqrt(std::max(r.least, 1.0) * r.most);
    const double band = kind ? std::min(std::sqrt(kind->high / kind->low), kBand) : kBand;
    bike.figures[r.id] = {middle / band, middle * band, r.unit};
  }
}

}  // namespace crankwise::bench
