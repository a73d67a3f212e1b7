// Under which names this machine is reached.
#pragma once

#include <string>
#include <vector>

namespace crankwise {

struct Addresses {
  std::vector<std::string> ips;    // IPv4, those of the network first, 127.0.0.1 last
  std::vector<std::string> names;  // "bench", "bench.local", "localhost"
};

Addresses own_addresses();

}  // namespace crankwise
