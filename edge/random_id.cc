#include "edge/random_id.h"

#include <fmt/format.h>

#include <random>

namespace crankwise {

std::string random_id() {
  std::random_device bits;  // of the system, with GCC on Linux
  std::string id;
  for (int i = 0; i < 4; ++i) id += fmt::format("{:08x}", bits());
  return id;
}

}  // namespace crankwise
