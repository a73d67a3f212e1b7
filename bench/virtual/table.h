// The results as Markdown.
#pragma once

#include <string>

#include "bench/virtual/campaign.h"

namespace crankwise::bench {

std::string class_table(const Campaign&, const std::string& title);

}  // namespace crankwise::bench
