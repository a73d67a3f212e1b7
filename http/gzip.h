// Answers packed for the line.
#pragma once

#include <string>

#include "http/message.h"

namespace crankwise {

/// Is it text, long enough, and not packed yet?
bool worth_packing(const HttpAnswer&);
std::string gzip(const std::string&);

}  // namespace crankwise
