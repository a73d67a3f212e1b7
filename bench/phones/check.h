// Is all that the server acknowledged in the shop file?
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "bench/phones/phone.h"

namespace crankwise::bench {

struct Found {
  std::size_t acknowledged = 0, entries = 0;  // orders, and the entries in them
  std::vector<std::string> lost;              // acknowledged, but not there or not as it was sent: in words
  std::size_t unasked = 0;  // written since without an acknowledged order: doubled, or its answer never arrived
};

/// `before`: the number of the last event when the load began.
Found check(const Knowledge&, const std::filesystem::path& shop, std::int64_t before, std::span<const PhoneLog>);

}  // namespace crankwise::bench
