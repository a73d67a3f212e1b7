// A phone in the hand of a mechanic: takes bikes in and does on them what the server says is next. What he finds comes
// from a virtual bike (bench/virtual).
#pragma once

#include <cstdint>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "edge/bike_model.h"

namespace crankwise::bench {

struct Load {
  std::string address;
  int phones = 50, bikes = 200;
  double seconds = 60, think_s = 3;
  std::uint64_t seed = 1;
};

/// Something that the server said was written down.
struct Sent {
  std::string key, subject;
  Json said;  // as said_in() reads it back from the shop
};

struct PhoneLog {
  std::map<std::string, std::vector<double>> ms;  // by sort of request
  std::vector<Sent> sent;
  std::vector<std::string> odd;  // answers that should not have come, in words
  int refused = 0;               // orders, as bad input
  int closed = 0;                // jobs
};

/// Works until the time is up. `real`: the bikes as they are, by kind (closed_jobs.h).
PhoneLog work(const Load&, int phone, const std::vector<BikeModel>& real);

}  // namespace crankwise::bench
