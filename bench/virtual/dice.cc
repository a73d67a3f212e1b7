#include "bench/virtual/dice.h"

#include <cmath>
#include <numbers>

namespace crankwise::bench {

double Dice::normal(int a, int b) const {  // Box and Muller
  const double u = 1 - uniform(Throw::noise, 2 * a, b), v = uniform(Throw::noise, 2 * a + 1, b);
  return std::sqrt(-2 * std::log(u)) * std::cos(2 * std::numbers::pi * v);
}

}  // namespace crankwise::bench
